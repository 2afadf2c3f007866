/** From a parsed question to whole numbers: see model.ts. */
import { cureTable, stageTime, stageTimes, CURE_STAGES, gateAt, type ConditionGate, type CureStage, type CureTable } from '../cure/index.ts'
import type { Instant } from '../units/index.ts'
import { LONG_AGO, NEVER } from './model.ts'
import type { Done, Job, MBuild, MLink, Model, MPerson, MPlace, Need, Option } from './model.ts'
import { openTimes, type OpenTimes } from './open-times.ts'
import type { ParsedProblem } from './parse.ts'
import type { Doing, Person, Place, TaskSpec } from './problem.ts'
import { Profile } from './profile.ts'

export function compile(parsed: ParsedProblem): Model {
  const p = parsed.problem
  const horizon = p.horizon as number
  const indexOf = (rows: readonly { readonly id: string }[]): Map<string, number> => new Map(rows.map((r, i) => [r.id, i]))
  const siteIds = [...new Set([...p.places.map((q) => q.siteId), ...p.people.flatMap((q) => q.presence.map((r) => r.siteId)),
    ...p.resources.flatMap((r) => (r.siteId === null ? [] : [r.siteId]))])].sort()
  const sites = new Map(siteIds.map((id, i) => [id, i]))
  const competences = [...new Set([...p.people.flatMap((q) => q.competences.map((c) => c.competenceId)), ...p.tasks.flatMap((k) => k.competences),
    ...p.links.flatMap((l) => (l.kind === 'window' && l.wash ? l.wash.competences : []))])].sort()
  const competenceIndex = new Map(competences.map((id, i) => [id, i]))
  const personIndex = indexOf(p.people)
  const placeIndex = indexOf(p.places)
  const resourceIndex = indexOf(p.resources)
  const productIndex = indexOf(p.products)
  const buildIndex = indexOf(p.builds)
  const jobIndex = indexOf(p.tasks)

  const people = p.people.map((q) => personOf(q, sites, competenceIndex))
  const places = p.places.map((q): MPlace => ({
    id: q.id, site: sites.get(q.siteId)!, closed: openTimes(q.closures), settle: q.settle, lastDust: q.lastDust ?? LONG_AGO,
  }))
  const resources = p.resources.map((r) => {
    const capacity = Profile.of(r.capacity)
    return { id: r.id, site: r.siteId === null ? -1 : sites.get(r.siteId)!, capacity, most: mostOf(capacity, horizon) }
  })

  const coats = p.tasks.flatMap((k) => (k.finished?.coat ? [k.finished.coat.start as number] : []))
  const first = Math.min(0, ...coats, ...p.fixed.map((f) => f.start as number))
  const tables = new Map<number, CureTable>()
  const tableOf = (product: number, place: number): CureTable => {
    const key = product * places.length + place
    let table = tables.get(key)
    if (!table) tables.set(key, (table = cureTable(p.products[product]!, p.places[place]!.climate, first as Instant, horizon as Instant)))
    return table
  }
  const reached = (t: number | null): number => (t === null || t > horizon ? NEVER : t)
  const stageAt = (product: number, place: number, stage: CureStage, start: number, end: number): number => {
    if (place < 0) return NEVER
    const t = stageTime(tableOf(product, place), stage, start as Instant, end as Instant)
    return t === null ? NEVER : t
  }
  const gates = gatesOf(p.places, horizon, first)

  const builds = p.builds.map((b): MBuild => {
    const team = new Set(b.team)
    const eligible = people.map((_, i) => i).filter((i) => team.has(people[i]!.id) || people[i]!.helpsAnyone)
    const rank = (i: number): number => (team.has(people[i]!.id) ? 0 : 1)
    eligible.sort((x, y) => rank(x) - rank(y) || people[x]!.competenceCount - people[y]!.competenceCount || x - y)
    return {
      id: b.id, priority: b.priority, target: b.launchTarget, paused: b.paused,
      launchJob: b.launchTaskId === null ? -1 : jobIndex.get(b.launchTaskId)!,
      jobs: p.tasks.flatMap((k, i) => (k.buildId === b.id ? [i] : [])), eligible,
    }
  })

  const crowds = new Map<number, number>()
  const mostHere = (build: number, site: number): number => {
    const key = build * siteIds.length + site
    let most = crowds.get(key)
    if (most === undefined) crowds.set(key, (most = crowdOf(people, builds[build]!.eligible, site)))
    return most
  }

  const into: number[][] = []
  const outOf: number[][] = []
  const opens: number[][] = []
  const closes: number[][] = []
  const jobs: Job[] = []
  const add = (d: Doing, id: string, build: number, t: TaskSpec | null, washOf: number): number => {
    const index = jobs.length
    into.push([])
    outOf.push([])
    opens.push([])
    closes.push([])
    const w = d.work
    const product = t?.productId != null ? productIndex.get(t.productId)! : -1
    const asked = d.competences.map((c) => competenceIndex.get(c)!)
    const needs = needsOf(d, resourceIndex)
    const taskGates = [d.gate, product >= 0 ? p.products[product]!.gate : null].filter((g): g is ConditionGate => g !== null)
    const usableAt = (site: number): boolean => needs.every((n) => resources[n.resource]!.site < 0 || resources[n.resource]!.site === site)
    const options = d.places.map((q) => placeIndex.get(q)!).filter((i) => usableAt(places[i]!.site)).map((place): Option => {
      const { site } = places[place]!
      return { place, site, gate: gates(place, taskGates), most: mostHere(build, site) }
    })
    if (d.places.length === 0 && w.kind === 'unattended' && (usableAt(-1) || w.minutes === 0)) {
      options.push({ place: -1, site: -1, gate: null, most: 0 })
    }
    jobs.push({
      index, id, build, kind: w.kind,
      work: w.kind === 'shared' ? w.work : w.minutes,
      handsFrom: w.kind === 'shared' ? w.handsFrom : w.kind === 'together' ? w.hands : 0,
      handsTo: w.kind === 'shared' ? w.handsTo : w.kind === 'together' ? w.hands : 0,
      smallest: w.kind === 'unattended' ? 0 : d.smallest ?? 0,
      setUp: w.kind === 'unattended' ? 0 : d.setUp, clearUp: w.kind === 'unattended' ? 0 : d.clearUp,
      options, needs,
      competences: w.kind === 'unattended' ? [] : asked, dusty: d.dusty, product,
      sensitive: product >= 0 && p.products[product]!.dustSensitive,
      release: Math.max(0, t?.release ?? 0), waits: null, startedAt: t?.startedAt ?? null,
      done: t?.finished ? doneOf(t, product) : null, paused: builds[build]!.paused, washOf,
      into: into[index]!, outOf: outOf[index]!, opens: opens[index]!, closes: closes[index]!,
      eligible: builds[build]!.eligible,
      supervisors: asked.length === 0 ? [] : people.map((_, i) => i).filter((i) => asked.some((c) => people[i]!.fullUntil[c]! > LONG_AGO)),
    })
    return index
  }
  const doneOf = (t: TaskSpec, product: number): Done => {
    const f = t.finished!
    const place = f.coat ? placeIndex.get(f.coat.placeId)! : t.places.length > 0 ? placeIndex.get(t.places[0]!)! : -1
    if (product < 0) return { start: f.start, end: f.end, place, stages: null }
    // Nobody said when the coat went on: what follows just comes after the finish, and nothing closes.
    if (!f.coat) {
      const stages = Object.fromEntries(CURE_STAGES.map((s) => [s, s === 'closes' ? NEVER : f.end])) as Record<CureStage, number>
      return { start: f.start, end: f.end, place: -1, stages }
    }
    const at = f.coat
    const times = stageTimes(tableOf(product, place), at.start, at.end, at.overrides)
    const stages = Object.fromEntries(CURE_STAGES.map((s) => [s, times[s] ?? NEVER])) as Record<CureStage, number>
    return { start: at.start, end: f.end, place, stages }
  }
  for (const t of p.tasks) add(t, t.id, buildIndex.get(t.buildId)!, t, -1)
  const links = p.links.map((l, index): MLink => {
    const base = { index, id: l.id, from: jobIndex.get(l.from)!, to: jobIndex.get(l.to)! }
    into[base.to]!.push(index)
    outOf[base.from]!.push(index)
    if (l.kind === 'finish') return { ...base, kind: 'finish', lag: l.lag }
    if (l.kind === 'lag') return { ...base, kind: 'lag', edge: l.edge, min: l.min, max: l.max }
    if (l.kind === 'stage') return { ...base, kind: 'stage', stage: l.stage }
    if (!l.wash) return { ...base, kind: 'window', wash: -1, state: 'hard', washedAt: NEVER }
    const state = l.wash.state
    if (typeof state === 'object') return { ...base, kind: 'window', wash: -1, state: 'washed', washedAt: state.finished }
    const wash = add(l.wash, l.wash.id, jobs[base.to]!.build, null, index)
    return { ...base, kind: 'window', wash, state: state === 'missed' ? 'missed' : 'open', washedAt: NEVER }
  })
  const allIndex = new Map(jobs.map((j) => [j.id, j.index]))
  p.holds.forEach((h, i) => {
    opens[jobIndex.get(h.fromTask)!]!.push(i)
    closes[jobIndex.get(h.toTask)!]!.push(i)
  })
  return {
    problem: p, horizon, missedCost: p.missedWindowCost, people, places, resources, builds, jobs, tasks: p.tasks.length, links,
    holds: p.holds.map((h, index) => ({
      index, id: h.id, build: buildIndex.get(h.buildId)!, resource: resourceIndex.get(h.resourceId)!, amount: h.amount,
      from: jobIndex.get(h.fromTask)!, to: jobIndex.get(h.toTask)!,
    })),
    fixed: p.fixed.map((f) => ({
      job: allIndex.get(f.taskId) ?? -1, start: f.start, end: f.end, people: f.people.map((q) => personIndex.get(q)!),
      supervisor: f.supervisor === null ? -1 : personIndex.get(f.supervisor)!,
      place: f.placeId === null ? -1 : placeIndex.get(f.placeId)!, why: f.why,
    })),
    competences,
    stageAt: (product, place, stage, start, end) => reached(stageAt(product, place, stage, start, end)),
    impossible: parsed.impossible.map((ids) => ids.map((id) => jobIndex.get(id)!)),
  }
}

function crowdOf(people: readonly MPerson[], eligible: readonly number[], site: number): number {
  const changes: number[] = []
  for (const p of eligible) {
    const { start, end, site: where } = people[p]!.rows
    // Leaving sorts before coming at the same minute.
    for (let i = 0; i < start.length; i++) if (where[i] === site && end[i]! > 0) changes.push(start[i]! * 2 + 1, end[i]! * 2)
  }
  let here = 0
  let most = 0
  for (const c of changes.sort((a, b) => a - b)) {
    here += c & 1 ? 1 : -1
    most = Math.max(most, here)
  }
  return most
}

function mostOf(capacity: Profile, horizon: number): number {
  let most = 0
  for (let i = 0; i < capacity.size; i++) {
    if (capacity.at[i]! >= horizon) break
    if (i + 1 < capacity.size && capacity.at[i + 1]! <= 0) continue
    most = Math.max(most, capacity.left[i]!)
  }
  return most
}

/** Equal needs are joined; several of one resource until different stages are checked by their sum. */
function needsOf(d: Doing, resourceIndex: Map<string, number>): Need[] {
  const out: Need[] = []
  for (const r of d.resources) {
    const resource = resourceIndex.get(r.resourceId)!
    const same = out.findIndex((n) => n.resource === resource && n.until === r.until)
    if (same >= 0) out[same] = { ...out[same]!, amount: out[same]!.amount + r.amount }
    else out.push({ resource, amount: r.amount, until: r.until, asked: 0 })
  }
  return out.filter((n) => n.amount > 0)
    .map((n) => ({ ...n, asked: out.reduce((sum, o) => sum + (o.resource === n.resource ? o.amount : 0), 0) }))
}

/** Rows that overlap an earlier one are cut: nobody is twice anywhere. */
function personOf(q: Person, sites: Map<string, number>, competences: Map<string, number>): MPerson {
  const rows: { start: number; end: number; site: number; projected: number }[] = []
  let from = -Infinity
  for (const r of q.presence) {
    const start = Math.max(r.start, from)
    if (start >= r.end) continue
    rows.push({ start, end: r.end, site: sites.get(r.siteId)!, projected: r.projected ? 1 : 0 })
    from = r.end
  }
  const fullUntil = new Int32Array(competences.size).fill(LONG_AGO)
  const supervisedUntil = new Int32Array(competences.size).fill(LONG_AGO)
  for (const c of q.competences) {
    const row = c.level === 'full' ? fullUntil : supervisedUntil
    const i = competences.get(c.competenceId)!
    row[i] = Math.max(row[i]!, c.until ?? 999_999_999)
  }
  return {
    id: q.id, helpsAnyone: q.helpsAnyone, fullUntil, supervisedUntil, competenceCount: q.competences.length,
    rows: {
      start: Int32Array.from(rows, (r) => r.start), end: Int32Array.from(rows, (r) => r.end),
      site: Int32Array.from(rows, (r) => r.site), projected: Uint8Array.from(rows, (r) => r.projected),
    },
  }
}

/** When the gates are all open in a place, joined over steps; null: always. */
function gatesOf(places: readonly Place[], horizon: number, first: number): (place: number, gates: readonly ConditionGate[]) => OpenTimes | null {
  const known = new Map<string, OpenTimes | null>()
  return (place, gates) => {
    const real = gates.filter((g) => g.minAir !== null || g.maxAir !== null || g.maxHumidity !== null || g.dewPointMargin !== null)
    if (real.length === 0) return null
    const key = `${place} ${real.map((g) => [g.minAir, g.maxAir, g.maxHumidity, g.dewPointMargin].join()).join(' ')}`
    if (known.has(key)) return known.get(key)!
    const { climate, surfaceOffset } = places[place]!
    const rows: { start: number; end: number }[] = []
    climate.forEach((step, i) => {
      const start = i === 0 ? first - 1_000_000 : (step.from as number)
      const end = climate[i + 1] ? (climate[i + 1]!.from as number) : horizon + 1_000_000
      if (end > first && start <= horizon && real.every((g) => gateAt(g, step.value, surfaceOffset) === null)) rows.push({ start, end })
    })
    const times = openTimes(rows)
    known.set(key, times)
    return times
  }
}
