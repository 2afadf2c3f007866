import { isoWeek } from '../../core/calendar/index.ts'
import type { Move, Slot, StoredMissed, StoredPiece, StoredPlan, Window } from './model.ts'

export type DiffQuestion = {
  readonly before: StoredPlan
  readonly after: Omit<StoredPlan, 'id' | 'moves' | 'suggestions' | 'coversRequest' | 'causes'>
  /** Tasks (and washes) that facts have finished. */
  readonly finished: ReadonlySet<string>
  /** When each task was last worked on. */
  readonly lastWork: ReadonlyMap<string, number>
  readonly linkTo: ReadonlyMap<string, { readonly to: string; readonly buildId: string }>
  readonly buildOf: ReadonlyMap<string, string>
  readonly localDate: (t: number) => string
}

/** What differs between two plans, one row a task, in no particular order. Far pieces count when their week changes. */
export function diffPlans(q: DiffQuestion): Move[] {
  return [...pieceMoves(q), ...unplannedMoves(q), ...missedMoves(q), ...launchMoves(q), ...droppedMoves(q)]
}

export const slotOf = (p: { start: number; end: number; projected: boolean }): Slot => ({ start: p.start, end: p.end, projected: p.projected })

function pieceMoves(q: DiffQuestion): Move[] {
  const before = byTask(q.before.pieces)
  const after = byTask(q.after.pieces)
  const windows = windowsByTask(q)
  const moves: Move[] = []
  for (const [taskId, now] of after) {
    const { same, gone, come } = match(q, taskId, before.get(taskId) ?? [], now)
    moves.push(...same.flatMap(([was, is]) => within(q, was, is)))
    const first = come[0]
    if (!first) continue
    const reasoned = { taskId, start: first.start, binding: first.binding, fixed: first.fixed, window: windows.get(taskId) ?? null }
    const from = gone[0]
    if (from) {
      if (isElsewhere(q, from, first)) moves.push({ kind: 'moved', buildId: first.buildId, from: slotOf(from), to: slotOf(first), others: Math.min(gone.length, come.length) - 1, ...reasoned })
    } else {
      const more = before.has(taskId)
      // One more far piece of work that goes on anyway is no news.
      if (!more || !first.projected) moves.push({ kind: 'planned', buildId: first.buildId, to: slotOf(first), others: come.length - 1, more, ...reasoned })
    }
  }
  return moves
}

/** Pieces at the same time are the same; of the rest, what was worked on since is done and no longer compared. */
function match(q: DiffQuestion, taskId: string, before: readonly StoredPiece[], after: readonly StoredPiece[]) {
  const starts = new Map(after.map((p) => [p.start, p]))
  const same: [StoredPiece, StoredPiece][] = []
  const gone: StoredPiece[] = []
  for (const piece of before) {
    const is = starts.get(piece.start)
    if (is) {
      same.push([piece, is])
      starts.delete(piece.start)
    } else if (!(piece.start < q.after.fromAt && (q.lastWork.get(taskId) ?? -Infinity) >= piece.start)) gone.push(piece)
  }
  const come = after.filter((p) => starts.has(p.start))
  return { same, gone, come }
}

/** Nearer than this the hour matters; further off the day, and where people are only assumed to come, the week. */
const HOURS_COUNT = 8 * 1440
/** Who and where is settled no further ahead than this. */
const PEOPLE_COUNT = 14 * 1440

function isElsewhere(q: DiffQuestion, from: StoredPiece, to: StoredPiece): boolean {
  if (Math.min(from.start, to.start) > q.after.fromAt + HOURS_COUNT && q.localDate(from.start) === q.localDate(to.start)) return false
  if (!from.projected || !to.projected) return true
  const week = (t: number) => {
    const { year, week: n } = isoWeek(q.localDate(t))
    return year * 100 + n
  }
  return week(from.start) !== week(to.start)
}

/** Same time, but other people, another place or another end. */
function within(q: DiffQuestion, was: StoredPiece, is: StoredPiece): Move[] {
  if (is.projected || was.projected || is.start > q.after.fromAt + PEOPLE_COUNT) return []
  const { buildId, taskId, start } = is
  const moves: Move[] = []
  if (is.end !== was.end) moves.push({ kind: 'ends', buildId, taskId, start, from: was.end, to: is.end, projected: false })
  if (is.placeId !== was.placeId) moves.push({ kind: 'place', buildId, taskId, start, from: was.placeId, to: is.placeId })
  const come = is.people.filter((id) => !was.people.includes(id))
  const go = was.people.filter((id) => !is.people.includes(id))
  if (come.length + go.length > 0) moves.push({ kind: 'people', buildId, taskId, start, come, go })
  return moves
}

function unplannedMoves({ before, after, buildOf }: DiffQuestion): Move[] {
  const known = new Set(before.unplanned.map((u) => u.taskId))
  return after.unplanned.flatMap(({ taskId, reason }): Move[] => {
    if (known.has(taskId)) return []
    const was = before.pieces.find((p) => p.taskId === taskId)
    return [{ kind: 'unplanned', buildId: buildOf.get(taskId) ?? was?.buildId ?? '', taskId, from: was ? slotOf(was) : null, reason }]
  })
}

function missedMoves({ before, after, linkTo }: DiffQuestion): Move[] {
  const known = new Set(before.missed.map((m) => m.linkId))
  const isNews = (m: StoredMissed) => !known.has(m.linkId)
  return after.missed.filter(isNews).map(({ linkId, why, opens, closes }): Move => ({ kind: 'missed', buildId: linkTo.get(linkId)?.buildId ?? '', linkId, why, opens, closes }))
}

function launchMoves({ before, after, localDate }: DiffQuestion): Move[] {
  return after.builds.flatMap(({ buildId }): Move[] => {
    const was = before.builds.find((b) => b.buildId === buildId)
    if (!was) return []
    const from = launchSlot(before, buildId)
    const to = launchSlot(after, buildId)
    if (from === null && to === null) return []
    if (from && to && (from.projected && to.projected ? weekKey(localDate(from.start)) === weekKey(localDate(to.start)) : localDate(from.start) === localDate(to.start))) return []
    return [{ kind: 'launch', buildId, from, to }]
  })
}

const weekKey = (date: string): string => {
  const { year, week } = isoWeek(date)
  return `${year}-${week}`
}

/** A plan as the planner answers it, or as it is stored. */
export type Launches = {
  readonly builds: readonly { readonly buildId: string; readonly launch: number | null }[]
  readonly pieces: readonly { readonly buildId: string; readonly end: number; readonly projected: boolean }[]
}

/** The launch of a build with whether its day is known: the last piece tells. */
export function launchSlot(plan: Launches, buildId: string): Slot | null {
  const launch = plan.builds.find((b) => b.buildId === buildId)?.launch ?? null
  if (launch === null) return null
  return { start: launch, end: launch, projected: plan.pieces.some((p) => p.buildId === buildId && p.projected && p.end >= launch) }
}

function droppedMoves({ after, buildOf }: DiffQuestion): Move[] {
  return after.dropped.map(({ taskId, start, why, fault }): Move => ({ kind: 'dropped', buildId: buildOf.get(taskId) ?? '', taskId, start, why, fault }))
}

/** The recoat window that each coat meets. */
function windowsByTask({ after, linkTo }: Pick<DiffQuestion, 'after' | 'linkTo'>): Map<string, Window> {
  return new Map(after.met.flatMap(({ linkId, opens, closes }) => {
    const to = linkTo.get(linkId)?.to
    return to ? [[to, { opens, closes }] as const] : []
  }))
}

function byTask(pieces: readonly StoredPiece[]): Map<string, StoredPiece[]> {
  const found = new Map<string, StoredPiece[]>()
  for (const piece of pieces) {
    const list = found.get(piece.taskId)
    if (list) list.push(piece)
    else found.set(piece.taskId, [piece])
  }
  for (const list of found.values()) list.sort((a, b) => a.start - b.start)
  return found
}
