/** The plan before, piece by piece: what still fits is placed as it was, so that no news means no moves. */
import { blockedUntil } from './blocked.ts'
import { MISS } from './choices.ts'
import { progress, type Draft, type Job, type Model } from './model.ts'
import { Crowd } from './people.ts'
import type { Placement } from './place.ts'
import type { State } from './state.ts'

/** Per job: its pieces in the plan before, in order; null: none, or some can't be told any more. */
export type Follow = readonly (readonly Draft[] | null)[]

export function followOf(model: Model): Follow {
  const jobs = new Map(model.jobs.map((j) => [j.id, j.index]))
  const people = new Map(model.people.map((p, i) => [p.id, i]))
  const places = new Map(model.places.map((p, i) => [p.id, i]))
  const rows: (Draft[] | null)[] = model.jobs.map(() => null)
  const lost = new Set<number>()
  for (const p of model.problem.previous) {
    const k = jobs.get(p.taskId)
    if (k === undefined) continue
    const place = p.placeId === null ? -1 : places.get(p.placeId)
    const who = p.people.map((id) => people.get(id))
    if (place === undefined || who.includes(undefined)) lost.add(k)
    else (rows[k] ??= []).push({ start: p.start, end: p.end, people: (who as number[]).sort((a, b) => a - b), supervisor: -1, place, fixed: -1 })
  }
  return rows.map((r, k) => (lost.has(k) ? null : r))
}

/** Windows whose wash the plan before had were missed by it. */
export function followWindows(model: Model, follow: Follow, windows: Uint8Array): Uint8Array {
  const out = windows.slice()
  for (const l of model.links) if (l.kind === 'window' && l.wash >= 0 && follow[l.wash] && l.state === 'open') out[l.index] = MISS
  return out
}

const crowd = new Crowd()

/** The job's pieces as before, if they are all still possible from `est` on and do the work that is left; else null. */
export function refit(st: State, job: Job, before: readonly Draft[], est: number): Placement | null {
  const kept = st.drafts[job.index]!
  const from = Math.max(est, st.released(job), 0)
  const drafts: Draft[] = []
  let left = job.work - kept.reduce((sum, d) => sum + progress(job, d), 0)
  if (left <= 0 && kept.length > 0) return null
  let end = kept.length > 0 ? kept[kept.length - 1]!.end : 0
  const open = before.filter((d) => !kept.some((x) => x.start === d.start && x.end === d.end))
  for (let i = 0; i < open.length; i++) {
    const d = open[i]!
    const o = job.options.find((x) => x.place === d.place)
    if (!o || d.start < from || d.end > st.model.horizon || kept.some((x) => x.start < d.end && x.end > d.start)) return null
    if (job.kind === 'unattended' ? d.people.length > 0 || d.end - d.start !== job.work : !handsFit(job, d, left, i === open.length - 1)) return null
    if (blockedUntil(st, job, o, d.start, d.end) > d.start) return null
    let supervisor = -1
    if (job.kind !== 'unattended') {
      crowd.gather(st, job, o, d.start, d.end)
      const free = crowd.person.subarray(0, crowd.size)
      if (!d.people.every((p) => free.includes(p))) return null
      crowd.clear()
      for (const p of d.people) crowd.add(p, d.end)
      const who = crowd.choose(st, job, o, d.start, d.end, d.people.length)
      if (!who) return null
      supervisor = who.supervisor
    }
    drafts.push({ ...d, supervisor })
    left -= progress(job, d)
    end = Math.max(end, d.end)
  }
  if (drafts.length === 0 || (left > 0 && job.kind !== 'unattended')) return null
  return { drafts, end }
}

/** Hands in number, and the time right: not shorter than the smallest piece, the last just long enough. */
function handsFit(job: Job, d: Draft, left: number, last: boolean): boolean {
  const h = d.people.length
  const w = d.end - d.start - job.setUp - job.clearUp
  if (h < job.handsFrom || h > job.handsTo || w < 1 || left <= 0) return false
  const need = job.kind === 'shared' ? Math.ceil(left / h) : left
  if (last) return w === need
  return w < need && w >= job.smallest && job.smallest > 0
}
