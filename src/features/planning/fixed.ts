import type { FixedPiece, TaskSpec, Work } from '../../core/schedule/problem.ts'
import { instant, type Instant } from '../../core/units/index.ts'
import type { StoredDropped, StoredPiece } from './model.ts'

/** A session that has begun and isn't closed out: what was agreed for it stays. */
export type BegunSession = { readonly id: string; readonly siteId: string; readonly start: number; readonly end: number }

export type FixedQuestion = {
  readonly now: Instant
  readonly sessions: readonly BegunSession[]
  /** The plan shown so far. */
  readonly previous: readonly StoredPiece[]
  readonly tasks: readonly TaskSpec[]
  readonly washWork: ReadonlyMap<string, { readonly work: Work; readonly setUp: number; readonly clearUp: number; readonly open: boolean }>
  readonly siteOf: ReadonlyMap<string, string>
  /** End of the last logged stretch of each task (or wash). */
  readonly lastWork: ReadonlyMap<string, number>
  readonly pins: readonly FixedPiece[]
  /** The earliest start that facts allow a task: what came before it was finished, or its film is ready, only then. */
  readonly earliest: (taskId: string) => number
}

export type Fixed = { readonly fixed: FixedPiece[]; readonly dropped: StoredDropped[] }

/**
 * What the planner must keep: pins to come; pieces of the plan before in a session that has begun (`under-way` once the task was
 * started, else `frozen`), less what was logged of them; unattended tasks that run. An open session's past piece with nothing logged
 * stays, so that the plan builds on it until the close-out says otherwise; unless facts show that it can't have begun.
 */
export function fixedPieces(q: FixedQuestion): Fixed {
  const specs = new Map(q.tasks.map((t) => [t.id, t]))
  const open = q.pins.filter((pin) => specs.get(pin.taskId)?.finished === null)
  const pins = open.filter((pin) => pin.start >= q.now)
  const pinned = new Set(pins.map((p) => p.taskId))
  const left = new Map<string, number>()
  // A pin whose time has begun is agreed like any other piece of the session.
  const begun = open.filter((pin) => pin.start < q.now).map(asPiece)
  const inBegun = new Set(begun.map((p) => p.taskId))
  const agreed = q.previous.filter((p) => !inBegun.has(p.taskId) && inSession(q, p))
  const dropped: StoredDropped[] = []
  const kept = [...agreed, ...begun]
    .sort((a, b) => a.start - b.start || (a.pieceId < b.pieceId ? -1 : 1))
    .flatMap((piece) => (pinned.has(piece.taskId) ? [] : keep(q, specs, left, piece)))
    .filter((piece) => !isAgainstFacts(q, piece, dropped) && !isGivenUp(pins, piece, dropped))
  return { fixed: [...pins, ...kept, ...running(q, new Set([...pinned, ...kept.map((k) => k.taskId)]))], dropped }
}

/** The planner takes what began before now as history, so this is ours to see: a coat can't have gone on before the one under it. */
function isAgainstFacts(q: FixedQuestion, piece: FixedPiece, dropped: StoredDropped[]): boolean {
  if (piece.why !== 'frozen' || piece.start >= q.now || piece.start >= q.earliest(piece.taskId)) return false
  dropped.push({ taskId: piece.taskId, start: piece.start, why: piece.why, fault: { rule: 'link', pieceId: null, text: 'what comes before it was finished later' } })
  return true
}

const asPiece = (pin: FixedPiece): Pick<StoredPiece, 'pieceId' | 'taskId' | 'start' | 'end' | 'people' | 'supervisor' | 'placeId'> => ({ ...pin, pieceId: pin.taskId })

function inSession(q: FixedQuestion, piece: { start: number; end: number; placeId: string | null }): boolean {
  const site = piece.placeId === null ? null : q.siteOf.get(piece.placeId)
  return q.sessions.some((s) => piece.start < s.end && piece.end > s.start && (site === null || site === s.siteId))
}

function keep(q: FixedQuestion, specs: ReadonlyMap<string, TaskSpec>, left: Map<string, number>, piece: ReturnType<typeof asPiece>): FixedPiece[] {
  const spec = specs.get(piece.taskId)
  const wash = q.washWork.get(piece.taskId)
  const doing = spec ?? wash
  if (!doing || doing.work.kind === 'unattended' || piece.people.length === 0) return []
  if (spec ? spec.finished !== null : !wash?.open) return []
  const logged = q.lastWork.get(piece.taskId) ?? -Infinity
  const wasWorked = logged > piece.start
  const start = Math.max(piece.start, wasWorked ? logged : piece.start)
  // Facts may leave less to do than the piece was made for: it is then just long enough.
  const rate = doing.work.kind === 'shared' ? piece.people.length : 1
  const todo = left.get(piece.taskId) ?? (doing.work.kind === 'shared' ? doing.work.work : doing.work.minutes)
  const around = doing.setUp + doing.clearUp
  const worked = Math.min(piece.end - start - around, Math.ceil(todo / rate))
  if (worked < 1) return []
  left.set(piece.taskId, Math.max(0, todo - worked * rate))
  const why = wasWorked || (spec?.startedAt ?? null) !== null ? 'under-way' : 'frozen'
  return [{
    taskId: piece.taskId, start: instant(start), end: instant(start + around + worked), people: piece.people, supervisor: piece.supervisor, placeId: piece.placeId, why,
  }]
}

/** A person pinned these people to something else at that time: that is what was agreed since. */
function isGivenUp(pins: readonly FixedPiece[], piece: FixedPiece, dropped: StoredDropped[]): boolean {
  const takes = (pin: FixedPiece) => pin.start < piece.end && pin.end > piece.start && pin.people.some((id) => piece.people.includes(id) || id === piece.supervisor)
  if (piece.why !== 'frozen' || !pins.some(takes)) return false
  dropped.push({ taskId: piece.taskId, start: piece.start, why: piece.why, fault: { rule: 'busy', pieceId: null, text: 'its people are pinned to another piece' } })
  return true
}

/** Deliveries, hires and waits that have begun run on by themselves. */
function running(q: FixedQuestion, known: ReadonlySet<string>): FixedPiece[] {
  return q.tasks.flatMap((t): FixedPiece[] => {
    if (t.work.kind !== 'unattended' || t.startedAt === null || t.finished !== null || known.has(t.id)) return []
    return [{ taskId: t.id, start: t.startedAt, end: instant(t.startedAt + t.work.minutes), people: [], supervisor: null, placeId: t.places[0] ?? null, why: 'under-way' }]
  })
}
