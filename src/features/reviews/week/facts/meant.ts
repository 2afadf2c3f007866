/** What was meant and what was done, task by task. Pure. */
import { CRAFTS, type Craft } from '../../../../core/forecast/types.ts'
import type { CraftHours, DoneLine, MeantLine } from '../../model.ts'

const MS = 60_000
/** Meant minutes of which so much was worked count as worked. */
export const AS_MEANT = 0.9

export type MeantIn = { taskId: string; washLinkId: string | null; name: string; start: string; end: string; people: readonly string[] }
export type WorkIn = { taskId: string; linkId: string | null; elapsedMin: number; people: readonly unknown[] }
export type TaskIn = { id: string; name: string; craft: Craft; finishedAt: Date | null }
export type StepIn = { taskId: string; text: string }

export type Asked = {
  meant: readonly MeantIn[]
  work: readonly WorkIn[]
  tasks: ReadonlyMap<string, TaskIn>
  steps: readonly StepIn[]
  /** Tasks whose coat went on. */
  coats: ReadonlySet<string>
  /** Washes that were done by then, by link. */
  washed: ReadonlySet<string>
  from: Date
  asOf: Date
}

export const keyOf = (taskId: string, linkId: string | null): string => (linkId === null ? taskId : `wash:${linkId}`)
/** As the task is called now; one that is gone since, as the week called it. */
const nameOf = (name: string, linkId: string | null): string => (linkId === null ? name : `Wash and sand before ${name}`)
const handsOn = (w: WorkIn): number => w.elapsedMin * w.people.length
/** Washing and sanding is sanding whatever the coat is. */
const craftOf = (task: TaskIn | undefined, linkId: string | null): Craft => (linkId !== null ? 'sanding' : (task?.craft ?? 'wood'))

function grouped<T>(rows: readonly T[], key: (row: T) => string): Map<string, T[]> {
  const groups = new Map<string, T[]>()
  for (const row of rows) {
    const mine = groups.get(key(row))
    if (mine) mine.push(row)
    else groups.set(key(row), [row])
  }
  return groups
}

/** In the order in which they were meant. */
export function meantLines(asked: Asked): MeantLine[] {
  const worked = grouped(asked.work, (w) => keyOf(w.taskId, w.linkId))
  return [...grouped(asked.meant, (m) => keyOf(m.taskId, m.washLinkId))].map(([key, pieces]) => {
    const first = pieces[0]!
    const task = asked.tasks.get(first.taskId)
    const meantMin = pieces.reduce((n, p) => n + ((Date.parse(p.end) - Date.parse(p.start)) / MS) * p.people.length, 0)
    const workedMin = (worked.get(key) ?? []).reduce((n, w) => n + handsOn(w), 0)
    return {
      key, name: nameOf(first.name === '' ? (task?.name ?? 'A task that is gone') : first.name, first.washLinkId), craft: craftOf(task, first.washLinkId), meantMin, workedMin,
      start: Date.parse(first.start) / MS,
      came: isDone(asked, first.washLinkId, task) ? 'finished' : workedMin >= AS_MEANT * meantMin && meantMin > 0 ? 'worked' : workedMin > 0 ? 'part' : 'none',
    }
  })
}

function isDone({ washed, asOf }: Asked, linkId: string | null, task: TaskIn | undefined): boolean {
  if (linkId !== null) return washed.has(linkId)
  return task?.finishedAt !== null && task?.finishedAt !== undefined && task.finishedAt < asOf
}

/** Everything that something came of: hours, steps, a coat, a finish; most work first. */
export function doneLines(asked: Asked): DoneLine[] {
  const isMeant = new Set(asked.meant.map((m) => keyOf(m.taskId, m.washLinkId)))
  const worked = grouped(asked.work, (w) => keyOf(w.taskId, w.linkId))
  const steps = grouped(asked.steps, (s) => s.taskId)
  const finished = [...asked.tasks.values()].filter((t) => t.finishedAt !== null && t.finishedAt >= asked.from && t.finishedAt < asked.asOf).map((t) => t.id)
  const keys = new Set([...worked.keys(), ...steps.keys(), ...asked.coats, ...finished])
  return [...keys].map((key): DoneLine => {
    const mine = worked.get(key) ?? []
    const linkId = key.startsWith('wash:') ? key.slice(5) : null
    const task = asked.tasks.get(mine[0]?.taskId ?? key)
    return {
      key, name: nameOf(task?.name ?? 'A task that is gone', linkId), craft: craftOf(task, linkId), workedMin: mine.reduce((n, w) => n + handsOn(w), 0),
      isFinished: linkId === null ? finished.includes(key) : asked.washed.has(linkId), isCoat: asked.coats.has(key), ticked: (steps.get(key) ?? []).map((s) => s.text), wasMeant: isMeant.has(key),
    }
  }).sort((a, b) => b.workedMin - a.workedMin || (a.name < b.name ? -1 : 1))
}

/** By kind of work, in the order of the kinds; kinds without hours are left out. */
export function craftHours(meant: readonly MeantLine[], done: readonly DoneLine[]): CraftHours[] {
  return CRAFTS.map((craft) => ({
    craft, meantMin: meant.filter((m) => m.craft === craft).reduce((n, m) => n + m.meantMin, 0), workedMin: done.filter((d) => d.craft === craft).reduce((n, d) => n + d.workedMin, 0),
  })).filter((h) => h.meantMin > 0 || h.workedMin > 0)
}
