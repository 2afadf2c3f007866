/**
 * Takes a question apart: refuses what can't be planned at all, shifts every instant so that now is 0, and sorts everything by id,
 * so that neither the origin of time nor the order of arrays can change a plan.
 */
import { refuse, ok, type Result } from '../result.ts'
import type { Instant } from '../units/index.ts'
import { circlesOf } from './circles.ts'
import type { Doing, FixedPiece, Hold, Link, MaterialNeed, Problem, TaskSpec, Wash } from './problem.ts'
import type { Kind, ProblemRefusal } from './refusal.ts'

export interface ParsedProblem {
  /** The same question, now = 0, sorted. */
  readonly problem: Problem
  /** What was taken off every instant. */
  readonly origin: number
  /** Positive circles of lags among unattended tasks only: none of these tasks can be planned. Ids sorted. */
  readonly impossible: readonly (readonly string[])[]
}

/** Instants further away than this from now are not dates of any plan. */
const FAR = 500_000_000
/** More of anything (a thousand tonnes in mg) is a slip of the pen; sums of less stay exact. */
const MOST = 1_000_000_000_000

export function parseProblem(problem: Problem): Result<ParsedProblem, ProblemRefusal[]> {
  const refusals = refusalsOf(problem)
  if (refusals.length > 0) return refuse(refusals)
  const shifted = shift(problem)
  const { refused, impossible } = circlesOf(shifted)
  if (refused.length > 0) return refuse(refused)
  return ok({ problem: shifted, origin: problem.now, impossible })
}

export const byId = (a: { readonly id: string }, b: { readonly id: string }): number => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0)
const byText = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)
const byStart = (a: { readonly start: number; readonly end: number }, b: { readonly start: number; readonly end: number }): number =>
  a.start - b.start || a.end - b.end

function refusalsOf(p: Problem): ProblemRefusal[] {
  const out: ProblemRefusal[] = []
  const number = (owner: string, field: string, value: number, least: number): void => {
    if (!Number.isSafeInteger(value) || value < least || Math.abs(value) > FAR) out.push({ kind: 'bad-number', owner, field, value })
  }
  const amount = (owner: string, value: number): void => {
    if (!Number.isSafeInteger(value) || value < 0 || value > MOST) out.push({ kind: 'bad-number', owner, field: 'amount', value })
  }
  const when = (owner: string, field: string, value: number | null): void => {
    if (value === null) return
    if (!Number.isSafeInteger(value) || Math.abs(value - p.now) > FAR) out.push({ kind: 'bad-number', owner, field, value })
  }
  const interval = (owner: string, i: { readonly start: number; readonly end: number }): void => {
    when(owner, 'start', i.start)
    when(owner, 'end', i.end)
    if (i.end < i.start) out.push({ kind: 'bad-interval', owner, start: i.start, end: i.end })
  }
  const ids = (what: Kind, rows: readonly { readonly id: string }[]): Set<string> => {
    const set = new Set<string>()
    for (const r of rows) {
      if (set.has(r.id)) out.push({ kind: 'duplicate-id', what, id: r.id })
      set.add(r.id)
    }
    return set
  }
  const washes = p.links.flatMap((l) => (l.kind === 'window' && l.wash ? [l.wash] : []))
  const known: Record<Exclude<Kind, 'wash'>, Set<string>> = {
    person: ids('person', p.people), place: ids('place', p.places), resource: ids('resource', p.resources), material: ids('material', p.materials),
    product: ids('product', p.products),
    build: ids('build', p.builds), task: ids('task', [...p.tasks, ...washes]), link: ids('link', p.links), hold: ids('hold', p.holds),
  }
  const tasks = new Map(p.tasks.map((t) => [t.id, t]))
  const refer = (what: Exclude<Kind, 'wash'>, id: string | null, owner: string): void => {
    if (id !== null && !known[what].has(id)) out.push({ kind: 'unknown-id', what, id, owner })
  }
  const task = (id: string, owner: string): TaskSpec | undefined => {
    const t = tasks.get(id)
    if (!t) out.push({ kind: 'unknown-id', what: 'task', id, owner })
    return t
  }

  if (!Number.isSafeInteger(p.now)) return [{ kind: 'bad-number', owner: 'problem', field: 'now', value: p.now }]
  when('problem', 'horizon', p.horizon)
  if (p.horizon < p.now) out.push({ kind: 'bad-interval', owner: 'problem', start: p.now, end: p.horizon })
  number('problem', 'missedWindowCost', p.missedWindowCost, 0)
  for (const q of p.people) {
    for (const row of q.presence) interval(q.id, row)
    for (const c of q.competences) when(q.id, 'until', c.until)
  }
  for (const q of p.places) {
    for (const c of q.closures) interval(q.id, c)
    number(q.id, 'settle', q.settle, 0)
    when(q.id, 'lastDust', q.lastDust)
    if (q.climate.length === 0) out.push({ kind: 'bad-number', owner: q.id, field: 'climate', value: 0 })
    for (const c of q.climate) {
      if (!Number.isFinite(c.value.air)) out.push({ kind: 'bad-number', owner: q.id, field: 'air', value: c.value.air })
      if (!Number.isFinite(c.value.dewPoint)) out.push({ kind: 'bad-number', owner: q.id, field: 'dewPoint', value: c.value.dewPoint })
    }
  }
  for (const r of p.resources) for (const c of r.capacity) { when(r.id, 'from', c.from); number(r.id, 'count', c.count, 0) }
  for (const m of p.materials) {
    number(m.id, 'leadTime', m.leadTime, 0)
    const seen = new Set<string>()
    for (const s of m.supplies) {
      when(m.id, 'at', s.at)
      amount(m.id, s.amount)
      if (seen.has(`${s.fit} ${s.at}`)) out.push({ kind: 'duplicate-supply', materialId: m.id, at: s.at, fit: s.fit })
      seen.add(`${s.fit} ${s.at}`)
    }
  }
  for (const b of p.builds) {
    if (!Number.isFinite(b.priority) || b.priority <= 0) out.push({ kind: 'bad-number', owner: b.id, field: 'priority', value: b.priority })
    when(b.id, 'launchTarget', b.launchTarget)
    for (const id of b.team) refer('person', id, b.id)
    if (b.launchTaskId !== null) task(b.launchTaskId, b.id)
  }
  const doing = (d: Doing, id: string, open: boolean): void => {
    const least = open ? 1 : 0
    if (d.work.kind === 'shared') {
      number(id, 'work', d.work.work, least)
      number(id, 'handsFrom', d.work.handsFrom, 1)
      number(id, 'handsTo', d.work.handsTo, d.work.handsFrom)
    } else if (d.work.kind === 'together') {
      number(id, 'minutes', d.work.minutes, least)
      number(id, 'hands', d.work.hands, 1)
    } else number(id, 'minutes', d.work.minutes, 0)
    if (d.smallest !== null) number(id, 'smallest', d.smallest, 1)
    number(id, 'setUp', d.setUp, 0)
    number(id, 'clearUp', d.clearUp, 0)
    if (d.places.length === 0 && d.work.kind !== 'unattended') out.push({ kind: 'no-place', taskId: id })
    for (const q of d.places) refer('place', q, id)
    for (const r of d.resources) { refer('resource', r.resourceId, id); number(id, 'amount', r.amount, 0) }
  }
  for (const t of p.tasks) {
    doing(t, t.id, t.finished === null)
    refer('build', t.buildId, t.id)
    refer('product', t.productId, t.id)
    when(t.id, 'release', t.release)
    for (const m of t.materials) { refer('material', m.materialId, t.id); amount(t.id, m.amount) }
    when(t.id, 'startedAt', t.startedAt)
    if (t.productId !== null && t.smallest !== null) out.push({ kind: 'divisible-coat', taskId: t.id })
    for (const r of t.resources) if (r.until !== null && t.productId === null) out.push({ kind: 'not-a-coat', taskId: t.id, owner: r.resourceId })
    if (t.finished) {
      interval(t.id, t.finished)
      if (t.finished.coat) {
        interval(t.id, t.finished.coat)
        refer('place', t.finished.coat.placeId, t.id)
        for (const o of t.finished.coat.overrides) when(t.id, o.stage, o.at)
      }
    }
  }
  for (const l of p.links) {
    const from = task(l.from, l.id)
    const to = task(l.to, l.id)
    if (l.kind === 'finish') number(l.id, 'lag', l.lag, -FAR)
    if (l.kind === 'lag') {
      if (l.min !== null) number(l.id, 'min', l.min, -FAR)
      if (l.max !== null) number(l.id, 'max', l.max, l.min ?? -FAR)
    }
    if ((l.kind === 'stage' || l.kind === 'window') && from && from.productId === null) out.push({ kind: 'not-a-coat', taskId: from.id, owner: l.id })
    if (l.kind === 'window' && to && to.productId === null) out.push({ kind: 'not-a-coat', taskId: to.id, owner: l.id })
    if (l.kind === 'window' && l.wash) {
      doing(l.wash, l.wash.id, typeof l.wash.state === 'string')
      if (typeof l.wash.state === 'object') when(l.wash.id, 'finished', l.wash.state.finished)
      for (const r of l.wash.resources) if (r.until !== null) out.push({ kind: 'not-a-coat', taskId: l.wash.id, owner: r.resourceId })
    }
  }
  for (const h of p.holds) {
    refer('build', h.buildId, h.id)
    refer('resource', h.resourceId, h.id)
    number(h.id, 'amount', h.amount, 0)
    task(h.fromTask, h.id)
    task(h.toTask, h.id)
  }
  for (const f of p.fixed) {
    refer('task', f.taskId, 'fixed')
    interval(f.taskId, f)
    for (const q of f.people) refer('person', q, f.taskId)
    refer('person', f.supervisor, f.taskId)
    refer('place', f.placeId, f.taskId)
  }
  for (const f of p.previous) interval(f.taskId, f)
  return out
}

function shift(p: Problem): Problem {
  const origin = p.now
  const t = (x: number): Instant => (x - origin) as Instant
  const tn = (x: number | null): Instant | null => (x === null ? null : t(x))
  const span = <S extends { readonly start: Instant; readonly end: Instant }>(s: S): S => ({ ...s, start: t(s.start), end: t(s.end) })
  const doing = <D extends Doing>(d: D): D => ({
    ...d,
    places: [...new Set(d.places)].sort(byText),
    competences: [...new Set(d.competences)].sort(byText),
    resources: [...d.resources].sort((a, b) => byText(a.resourceId, b.resourceId) || byText(a.until ?? '', b.until ?? '') || a.amount - b.amount),
  })
  const wash = (w: Wash): Wash => ({ ...doing(w), state: typeof w.state === 'string' ? w.state : { finished: t(w.state.finished) } })
  const link = (l: Link): Link => (l.kind === 'window' ? { ...l, wash: l.wash && wash(l.wash) } : l)
  return {
    ...p,
    now: t(p.now),
    horizon: t(p.horizon),
    // Local time is instant + offset, so the origin goes into the offset.
    zone: p.zone.map((z) => ({ from: t(z.from), offset: z.offset + origin })),
    people: p.people.map((q) => ({
      ...q,
      presence: q.presence.filter((r) => r.end > r.start).map(span).sort((a, b) => byStart(a, b) || byText(a.siteId, b.siteId)),
      competences: q.competences.map((c) => ({ ...c, until: tn(c.until) })).sort((a, b) => byText(a.competenceId, b.competenceId)),
    })).sort(byId),
    places: p.places.map((q) => ({
      ...q,
      closures: q.closures.filter((c) => c.end > c.start).map(span).sort(byStart),
      climate: q.climate.map((c) => ({ from: t(c.from), value: c.value })),
      lastDust: tn(q.lastDust),
    })).sort(byId),
    resources: p.resources.map((r) => ({
      ...r, capacity: r.capacity.map((c) => ({ from: t(c.from), count: c.count })).sort((a, b) => a.from - b.from),
    })).sort(byId),
    materials: p.materials.map((m) => ({
      ...m, supplies: m.supplies.map((s) => ({ ...s, at: t(s.at) })).sort((a, b) => a.at - b.at || byText(a.fit, b.fit)),
    })).sort(byId),
    products: [...p.products].sort(byId),
    builds: p.builds.map((b) => ({ ...b, launchTarget: tn(b.launchTarget), team: [...new Set(b.team)].sort(byText) })).sort(byId),
    tasks: p.tasks.map((k) => ({
      ...doing(k),
      materials: addedUp(k.materials),
      release: tn(k.release),
      startedAt: tn(k.startedAt),
      finished: k.finished && {
        ...span(k.finished),
        coat: k.finished.coat && { ...span(k.finished.coat), overrides: k.finished.coat.overrides.map((o) => ({ ...o, at: t(o.at) })) },
      },
    })).sort(byId),
    links: p.links.map(link).sort(byId),
    holds: ([...p.holds] as Hold[]).sort(byId),
    fixed: p.fixed.map((f): FixedPiece => ({ ...span(f), people: [...new Set(f.people)].sort(byText) }))
      .sort((a, b) => byStart(a, b) || byText(a.taskId, b.taskId) || byText(a.people.join(' '), b.people.join(' '))),
    previous: p.previous.map((f) => ({ ...span(f), people: [...f.people].sort(byText) })).sort((a, b) => byStart(a, b) || byText(a.taskId, b.taskId)),
  }
}

/** Equal needs in one, empty ones left out; by material, structural first. */
function addedUp(needs: readonly MaterialNeed[]): MaterialNeed[] {
  const sums = new Map<string, MaterialNeed>()
  for (const n of needs) {
    const key = `${n.structural} ${n.materialId}`
    const amount = (sums.get(key)?.amount ?? 0) + n.amount
    if (amount > 0) sums.set(key, { ...n, amount })
  }
  return [...sums.values()].sort((a, b) => byText(a.materialId, b.materialId) || Number(b.structural) - Number(a.structural))
}
