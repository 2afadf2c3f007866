/** Whether a task can ever be done in this club, and the way out when not. Pure. */
import { shortestApplication } from './work-left.ts'
import { hours } from './words.ts'

export type Reach = { members: number; longestMin: number | null; longestName: string }
export type ReachTask = {
  name: string
  kind: 'shared' | 'together' | 'unattended'
  workLikelyMin: number
  handsFrom: number
  handsTo: number
  smallestMin: number | null
  setUpMin: number
  clearUpMin: number
}

/** Field and message of the first fault, or null. */
export function beyondReach(task: ReachTask, reach: Reach): { field: 'handsFrom' | 'handsTo' | 'likely' | 'smallest'; message: string } | null {
  if (task.kind === 'unattended') return null
  const people = `the club has ${reach.members} ${reach.members === 1 ? 'member' : 'members'}`
  if (task.handsFrom > reach.members) return { field: 'handsFrom', message: `“${task.name}” asks for ${task.handsFrom} hands and ${people}: ask for fewer, or add the helpers as members` }
  if (task.handsTo > reach.members) return { field: 'handsTo', message: `“${task.name}” takes up to ${task.handsTo} hands and ${people}: at most ${reach.members}` }
  if (reach.longestMin === null) return null
  const around = task.setUpMin + task.clearUpMin
  if (task.smallestMin !== null) {
    if (task.smallestMin + around <= reach.longestMin) return null
    return { field: 'smallest', message: `A piece of ${hours(task.smallestMin + around)} with set-up and clear-up fits no session: the longest is ${reach.longestName}, ${hours(reach.longestMin)}. Allow smaller pieces` }
  }
  const need = around + shortestApplication(task)
  if (need <= reach.longestMin) return null
  return {
    field: 'likely',
    message:
      `“${task.name}” takes ${hours(need)} in one go with ${task.handsTo} hands, and the longest session is ${reach.longestName}, ${hours(reach.longestMin)}: ` +
      'allow more hands, let it be done in pieces (smallest piece), split it in two, or enter a longer session first',
  }
}
