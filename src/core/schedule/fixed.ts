/** Kept pieces: placed before anything else, or dropped with the fact that makes them impossible. */
import type { DroppedPiece } from './answer.ts'
import { blockedUntil } from './blocked.ts'
import type { Bounds } from './bounds.ts'
import { IMPOSSIBLE } from './bounds.ts'
import { leastStart } from './links.ts'
import { lastFrom } from './open-times.ts'
import { NEVER, progress, type Draft, type Job, type MFixed, type Model, type Option } from './model.ts'
import { supervisesUntil } from './people.ts'
import { DONE, OPEN, PLACED, State } from './state.ts'

export interface Kept {
  readonly state: State
  readonly dropped: readonly DroppedPiece[]
  /** Window links whose wash is kept: they are missed. */
  readonly washed: readonly number[]
}

/** `gone`: pieces already dropped, by index, with the rule that did it. */
export function keep(model: Model, bounds: Bounds, gone: ReadonlyMap<number, string>): Kept {
  const st = new State(model)
  const dropped: DroppedPiece[] = []
  const washed: number[] = []
  model.fixed.forEach((f, i) => {
    const piece = model.problem.fixed[i]!
    const fault = gone.get(i) ?? faultOf(st, f, bounds)
    if (fault !== null) {
      dropped.push({ taskId: piece.taskId, start: piece.start, why: piece.why, fault: { rule: fault, pieceId: null, text: TEXT[fault] ?? fault } })
      return
    }
    const job = model.jobs[f.job]!
    if (job.washOf >= 0 && model.links[job.washOf]!.kind === 'window') {
      washed.push(job.washOf)
      st.setStatus(job.index, OPEN)
    }
    const d: Draft = { start: f.start, end: f.end, people: [...f.people].sort((a, b) => a - b), supervisor: f.supervisor, place: f.place, fixed: i }
    const done = [...st.drafts[job.index]!, d].reduce((sum, x) => sum + progress(job, x), 0)
    st.place(job, [d], done >= job.work)
  })
  return { state: st, dropped, washed }
}

const TEXT: Readonly<Record<string, string>> = {
  finished: 'the task is finished', paused: 'the build is paused', place: 'the task is not done in this place', closed: 'the place is shut then',
  length: 'the piece has no working time, or not the time the task needs', hands: 'too few people for this task',
  presence: 'somebody is not there all the time', busy: 'somebody is in two pieces at once', competence: 'nobody there has the competence',
  supervisor: 'the supervisor is not competent or not there', release: 'the task may not begin yet', now: 'the time has passed',
  horizon: 'beyond the end of the plan', work: 'nothing of this task is left for it', blocked: 'something it needs is taken, shut or wet then',
  link: 'what must come before can\'t be ready by then', once: 'the task is done in one piece, and has one',
}

function faultOf(st: State, f: MFixed, bounds: Bounds): string | null {
  const { model } = st
  if (f.job < 0) return 'finished'
  const job = model.jobs[f.job]!
  if (job.done) return 'finished'
  if (job.paused) return 'paused'
  if (job.washOf >= 0 && model.jobs[model.links[job.washOf]!.to]!.done) return 'finished'
  if (f.why === 'pinned' && f.start < 0) return 'now'
  // How a piece began before now is history; only what it still does is looked at.
  const past = f.start < 0
  if (!past && f.start < job.release) return 'release'
  if (f.end > model.horizon) return 'horizon'
  const option = job.options.find((o) => o.place === f.place)
  if (!option) return 'place'
  const had = st.drafts[job.index]!
  if (job.smallest === 0 && had.length > 0) return 'once'
  if (had.some((d) => d.start < f.end && d.end > f.start)) return 'once'
  const left = job.work - had.reduce((sum, d) => sum + progress(job, d), 0)
  if (left <= 0 && had.length > 0) return 'work'
  const people = peopleFault(st, job, option, f)
  if (people) return people
  if (job.smallest === 0 && progress(job, f) < job.work) return 'length'
  const now = Math.max(0, f.start)
  if (blockedUntil(st, job, past ? { ...option, gate: null } : option, now, f.end) > now) return 'blocked'
  return !past && linkFault(st, job, f, bounds) ? 'link' : null
}

function peopleFault(st: State, job: Job, o: Option, f: MFixed): string | null {
  const { model } = st
  if (job.kind === 'unattended') return f.people.length > 0 ? 'hands' : f.end - f.start !== job.work ? 'length' : null
  if (f.end - f.start - job.setUp - job.clearUp < 1) return 'length'
  const n = f.people.length
  // A person who fixed a piece may have put more hands on it, or hands from elsewhere.
  if (n < job.handsFrom) return 'hands'
  const now = Math.max(0, f.start)
  for (const p of f.people) {
    const rows = model.people[p]!.rows
    const i = lastFrom(rows.start, now)
    if (i < 0 || rows.site[i] !== o.site || rows.end[i]! < f.end) return 'presence'
    if (st.work[p]!.some((b) => b.start < f.end && b.end > now)) return 'busy'
    if (st.supervising[p]!.some((b) => b.place !== o.place && b.start < f.end && b.end > now)) return 'busy'
  }
  const alone: number[] = []
  for (const c of job.competences) {
    if (f.people.some((p) => model.people[p]!.fullUntil[c]! >= f.end)) continue
    if (!f.people.some((p) => model.people[p]!.supervisedUntil[c]! >= f.end)) return 'competence'
    alone.push(c)
  }
  if (alone.length === 0 && f.supervisor < 0) return null
  const s = f.supervisor
  if (s < 0 || alone.some((c) => model.people[s]!.fullUntil[c]! < f.end)) return 'supervisor'
  return supervisesUntil(st, s, o, now) < f.end && !f.people.includes(s) ? 'supervisor' : null
}

/** Facts, and the earliest that anything before it can be ready. */
function linkFault(st: State, job: Job, f: MFixed, bounds: Bounds): boolean {
  const { model } = st
  for (const l of job.into) {
    const link = model.links[l]!
    const from = model.jobs[link.from]!
    if (from.paused && !from.done) return true
    if (st.status[link.from] === DONE || st.status[link.from] === PLACED) {
      if (link.kind === 'window') continue
      const need = leastStart(st, link, new Uint8Array(model.links.length))
      if (need.kind !== 'at' || f.start < need.at) return true
      continue
    }
    if (bounds.finish[link.from]! >= IMPOSSIBLE) return true
    if (link.kind === 'finish' && bounds.finish[link.from]! + link.lag > f.start) return true
    if ((link.kind === 'stage' || link.kind === 'window') && bounds.finish[link.from]! - from.clearUp > f.start + job.setUp) return true
  }
  if (job.washOf >= 0) {
    const link = model.links[job.washOf]!
    const s = st.status[link.from]!
    if (s === DONE || s === PLACED) {
      const sandable = st.stage(link.from, 'sandable')
      if (sandable === NEVER || f.start < sandable) return true
    } else if (bounds.finish[link.from]! >= f.start) return true
  }
  return false
}
