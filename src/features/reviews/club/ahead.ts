/** What of the coming two weeks needs people to talk: hands, clashes, windows. From the plan as it is stored; pure. */
import { linkOfWash, type StoredPiece, type StoredPlan } from '../../planning/public.ts'
import type { ClashLine, HandsLine, SkillLine, WindowLine } from './model.ts'

export type TaskRow = { readonly id: string; readonly name: string; readonly buildId: string; readonly kind: string; readonly handsFrom: number }
export type Door = { readonly start: number; readonly end: number; readonly siteId: string; /** Members who said they come. */ readonly said: number }

/** All that the lines are made from. `builds`: those that the reader may see, by id. */
export type Known = {
  readonly builds: ReadonlyMap<string, string>
  readonly tasks: ReadonlyMap<string, TaskRow>
  /** Ends of links by their ids. */
  readonly links: ReadonlyMap<string, { readonly fromId: string; readonly toId: string }>
  /** What a hold keeps, by its id. */
  readonly holds: ReadonlyMap<string, { readonly buildId: string }>
  readonly names: { readonly tools: ReadonlyMap<string, string>; readonly places: ReadonlyMap<string, string>; readonly competences: ReadonlyMap<string, string> }
  readonly siteOf: ReadonlyMap<string, string>
  readonly doors: readonly Door[]
}

/** From so many on, work is arranged for: people are asked to come. */
export const MANY_HANDS = 3
const BAY = 'bay:'

const taskOf = (known: Known, id: string): TaskRow | undefined => {
  const link = linkOfWash(id)
  return known.tasks.get(link === null ? id : (known.links.get(link)?.toId ?? ''))
}
const isWash = (id: string): boolean => linkOfWash(id) !== null
const nameOf = (known: Known, id: string): string => `${isWash(id) ? 'wash and sand before ' : ''}${taskOf(known, id)?.name ?? ''}`

/** Big-hands work that too few have said yes to, and what can't be planned because too few ever come. */
export function handsLines(known: Known, pieces: readonly StoredPiece[], unplanned: StoredPlan['unplanned']): HandsLine[] {
  const planned = new Map<string, HandsLine>()
  for (const p of pieces) {
    const [task, build] = [taskOf(known, p.taskId), known.builds.get(p.buildId)]
    if (!task || build === undefined || isWash(p.taskId) || p.projected || task.kind === 'unattended' || task.handsFrom < MANY_HANDS || planned.has(task.id)) continue
    const door = known.doors.find((d) => p.start < d.end && p.end > d.start && (p.placeId === null || known.siteOf.get(p.placeId) === d.siteId))
    if (!door || door.said >= task.handsFrom) continue
    planned.set(task.id, { buildId: p.buildId, build, taskId: task.id, task: task.name, need: task.handsFrom, start: p.start, said: door.said, most: null })
  }
  const never = unplanned.flatMap(({ taskId, reason }): HandsLine[] => {
    const task = taskOf(known, taskId)
    const build = task && known.builds.get(task.buildId)
    if (!task || build === undefined || reason.kind !== 'hands') return []
    return [{ buildId: task.buildId, build, taskId: task.id, task: nameOf(known, taskId), need: reason.need, start: null, said: 0, most: reason.most }]
  })
  return [...planned.values(), ...never]
}

export const skillLines = (known: Known, unplanned: StoredPlan['unplanned']): SkillLine[] =>
  unplanned.flatMap(({ taskId, reason }): SkillLine[] => {
    const task = taskOf(known, taskId)
    const build = task && known.builds.get(task.buildId)
    if (!task || build === undefined || reason.kind !== 'competence') return []
    return [{ buildId: task.buildId, build, taskId: task.id, task: nameOf(known, taskId), competence: known.names.competences.get(reason.competenceId) ?? '' }]
  })

type Rival = Pick<ClashLine, 'what' | 'name' | 'until'> & { readonly holder: { readonly buildId: string; readonly task: string | null } | null }

/** Pieces that are kept by another build's work: each pair of builds and thing once, at its first piece. */
export function clashLines(known: Known, pieces: readonly StoredPiece[]): ClashLine[] {
  const lines = new Map<string, ClashLine>()
  for (const p of pieces) {
    const build = known.builds.get(p.buildId)
    const rival = build === undefined ? null : rivalOf(known, pieces, p)
    if (build === undefined || !rival?.holder || rival.holder.buildId === p.buildId) continue
    const other = known.builds.get(rival.holder.buildId) ?? null
    const key = `${p.buildId}|${rival.holder.buildId}|${rival.what}|${rival.name ?? ''}`
    if (lines.has(key)) continue
    const { what, name, until } = rival
    lines.set(key, { buildId: p.buildId, build, task: nameOf(known, p.taskId), start: p.start, other, otherTask: other === null ? null : rival.holder.task, what, name, until })
  }
  return [...lines.values()]
}

function rivalOf(known: Known, pieces: readonly StoredPiece[], piece: StoredPiece): Rival | null {
  const { binding } = piece
  const holder = (id: string | null): Rival['holder'] => {
    if (id === null) return null
    const [task, hold] = [taskOf(known, id), known.holds.get(id)]
    return task ? { buildId: task.buildId, task: nameOf(known, id) } : hold ? { buildId: hold.buildId, task: null } : null
  }
  switch (binding.kind) {
    case 'resource': {
      const isBay = binding.resourceId.startsWith(BAY)
      const name = (isBay ? known.names.places.get(binding.resourceId.slice(BAY.length)) : known.names.tools.get(binding.resourceId)) ?? null
      return { what: isBay ? 'bay' : 'tool', name, until: binding.until, holder: holder(binding.taskId) }
    }
    case 'hands':
      return { what: 'people', name: null, until: null, holder: holder(binding.taskId) }
    case 'dust':
      return { what: 'dust', name: known.names.places.get(binding.placeId) ?? null, until: null, holder: holder(binding.taskId) }
    case 'place': {
      // The core tells until when the place is taken, not by whom: whose piece ends there then has it.
      const there = pieces.find((p) => p.placeId === binding.placeId && p.buildId !== piece.buildId && p.end === binding.until)
      return { what: 'place', name: known.names.places.get(binding.placeId) ?? null, until: binding.until, holder: there ? { buildId: there.buildId, task: nameOf(known, there.taskId) } : null }
    }
    default:
      return null
  }
}

/** Windows of the coming days that open while the shed is shut, and those that are let go. One that opens and is met within a session is on its sheet. */
export function windowLines(known: Known, plan: Pick<StoredPlan, 'met' | 'missed' | 'pieces'>, now: number, until: number): WindowLine[] {
  const isShut = (from: number, to: number) => !known.doors.some((d) => d.start <= to && from <= d.end)
  const coatOf = (linkId: string) => {
    const task = known.tasks.get(known.links.get(linkId)?.toId ?? '')
    const build = task && known.builds.get(task.buildId)
    return task && build !== undefined ? { buildId: task.buildId, build, task: task.name, taskId: task.id } : null
  }
  const met = plan.met.flatMap(({ linkId, opens, closes }): WindowLine[] => {
    const coat = coatOf(linkId)
    const piece = coat && plan.pieces.find((p) => p.taskId === coat.taskId)
    if (!coat || !piece || piece.projected || piece.start <= now || opens >= until || !isShut(opens, opens)) return []
    return [{ ...coat, opens, closes, start: piece.start, why: 'met' }]
  })
  const missed = plan.missed.flatMap(({ linkId, opens, closes, why }): WindowLine[] => {
    const coat = coatOf(linkId)
    if (!coat || opens === null || why === 'fact' || opens >= until || (closes !== null && closes <= now)) return []
    const isNone = closes !== null && closes <= opens
    return [{ ...coat, opens, closes, start: null, why: isNone ? 'none' : isShut(opens, closes ?? Infinity) ? 'nobody' : 'let-go' }]
  })
  return [...met, ...missed].sort((a, b) => a.opens - b.opens || (a.taskId < b.taskId ? -1 : 1))
}
