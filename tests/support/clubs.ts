/** Seeded random clubs for property tests: the same seed and sizes give the same problem. */
import { hoursOn } from '../../src/core/calendar/attendance.ts'
import { dateOf, dayOf } from '../../src/core/calendar/dates.ts'
import { localToInstant } from '../../src/core/calendar/zone.ts'
import type { ClimateSteps } from '../../src/core/calendar/types.ts'
import type { CureProduct } from '../../src/core/cure/types.ts'
import type { Person, Place, Presence, Problem, Resource } from '../../src/core/schedule/problem.ts'
import { celsius, instant, minutes, type Instant } from '../../src/core/units/index.ts'
import { buildOf, COMPETENCES, homeOf, type BuildDraft, type Ground } from './clubs-builds.ts'
import { withMaterials } from './clubs-materials.ts'
import { dice, type Dice } from './dice.ts'
import { makeProduct } from './cure.ts'
import { BERLIN } from './zones.ts'

export interface ClubSizes {
  /** Least and most of each. */
  readonly builds: readonly [number, number]
  readonly tasksPerBuild: readonly [number, number]
  readonly people: readonly [number, number]
  /** Share of clubs with one task that nothing can place. */
  readonly unplannable: number
  /** Facts: finished tasks, wet coats, tasks under way, fixed pieces. */
  readonly facts: boolean
}
export const CLUB: ClubSizes = { builds: [1, 6], tasksPerBuild: [3, 60], people: [3, 12], unplannable: 0.2, facts: true }
/** Small enough for an exhaustive look. */
export const TINY: ClubSizes = { builds: [1, 1], tasksPerBuild: [2, 7], people: [2, 4], unplannable: 0, facts: false }

export function randomClub(seed: number, sizes: ClubSizes = CLUB): Problem {
  const d = dice(seed)
  const builds = d.between(...sizes.builds)
  // Most clubs are middling; some are full.
  const counts = Array.from(
    { length: builds },
    () => (
      d.chance(0.3) ? d.between(...sizes.tasksPerBuild) : d.between(
        sizes.tasksPerBuild[0], Math.ceil((sizes.tasksPerBuild[0] + sizes.tasksPerBuild[1]) / 2),
      )
    ),
  )
  const total = counts.reduce((a, b) => a + b, 0)
  const weeks = Math.min(104, 10 + Math.ceil(total * (d.chance(0.1) ? 0.1 : 0.55)))
  const firstDay = dayOf(d.pick(['2026-03-09', '2026-03-16', '2026-03-23', '2026-06-01', '2026-10-05', '2026-10-19', '2027-01-11']))
  const ground = people(d, sizes, firstDay, weeks)
  const products = productsOf(d)
  const drafts: BuildDraft[] = counts.map((count, i) => buildOf(d, ground, `b${i + 1}`, count, products, sizes.facts && builds > 2 && d.chance(0.12)))
  const tasks = drafts.flatMap((b) => b.tasks)
  if (d.chance(sizes.unplannable)) {
    const i = tasks.findIndex(
      (t) => t.finished === null && t.startedAt === null && t.work.kind === 'shared' && !drafts.some((b) => b.fixed.some((f) => f.taskId === t.id))
    )
    const task = tasks[i]
    if (task) {
      tasks[i] = d.pick([
        { ...task, work: { kind: 'shared' as const, work: minutes(600), handsFrom: 40, handsTo: 50 } },
        { ...task, smallest: null, work: { kind: 'shared' as const, work: minutes(20_000), handsFrom: 1, handsTo: 1 } },
        { ...task, competences: ['welding'] },
        { ...task, gate: { minAir: celsius(60), maxAir: null, maxHumidity: null, dewPointMargin: null } },
        { ...task, resources: [{ resourceId: 'clamps', amount: 1000, until: null }] },
      ])
    }
  }
  return withMaterials(dice(seed + 9_000_000), {
    now: ground.now, horizon: ground.horizon, zone: BERLIN, people: ground.people, materials: [], products,
    places: placesOf(d, ground, weeks, firstDay), resources: resourcesOf(d, ground, counts.length),
    builds: drafts.map((b) => b.build), tasks, links: drafts.flatMap((b) => b.links), holds: drafts.flatMap((b) => b.holds),
    fixed: drafts.flatMap((b) => b.fixed), previous: [], missedWindowCost: minutes(d.pick([0, 1440, 4320, 4320, 10_080])),
  })
}

function people(d: Dice, sizes: ClubSizes, firstDay: number, weeks: number): Ground {
  const saturday = { from: d.pick(['08:00', '09:00', '09:30']), to: d.pick(['15:00', '17:00', '18:00']) }
  const days: readonly (readonly [number, { readonly from: string; readonly to: string }])[] = [
    [5, saturday],
    ...(d.chance(0.6) ? [[6, { from: '10:00', to: d.pick(['14:00', '18:00']) }] as const] : []),
    ...(d.chance(0.5) ? [[2, { from: '18:00', to: '21:30' }] as const] : []),
    // A session over the night in which the clocks change.
    ...(d.chance(0.15) ? [[5, { from: '19:00', to: '23:59' }] as const, [6, { from: '00:00', to: '05:00' }] as const] : []),
  ]
  const sessions = Array.from({ length: weeks }, (_, week) =>
    days.flatMap(([day, hours]) => hoursOn(BERLIN, dateOf(firstDay + week * 7 + day), [hours])
      .map((s) => ({ ...s, id: `w${week}d${day}${hours.from.slice(0, 2)}` })))).flat()
  // A third of the clubs replan in the middle of a session.
  const now = d.chance(0.33)
    ? instant(sessions[0]!.start + d.between(30, 180))
    : localToInstant(BERLIN, { date: dateOf(firstDay + d.between(0, 4)), time: d.pick(['07:00', '08:13', '21:47']) })
  const horizon = instant(now + weeks * 7 * 1440)
  const count = d.between(...sizes.people)
  const projectedFrom = now + d.between(3, 12) * 7 * 1440
  const rows = Array.from({ length: count }, (_, i): Person => {
    const id = `p${i + 1}`
    const comes = i < 2 ? 0.95 : d.pick([0.3, 0.6, 0.8, 1])
    const presence: Presence[] = []
    for (const s of sessions) {
      if (s.end <= now || !d.chance(comes)) continue
      const late = d.chance(0.2) ? d.between(0, 90) : 0
      const early = d.chance(0.2) ? d.between(0, 90) : 0
      const projected = s.start > projectedFrom
      presence.push({ start: instant(s.start + late), end: instant(s.end - early), siteId: 'club', sessionId: projected ? null : s.id, projected })
    }
    if (i === 0 || d.chance(0.25)) {
      for (let day = 0; day < weeks * 7; day++) {
        if (day % 7 > 3) continue
        for (const h of hoursOn(BERLIN, dateOf(firstDay + day), [{ from: '19:00', to: d.pick(['21:00', '23:00']) }])) {
          if (h.end > now) presence.push({ ...h, siteId: homeOf(id), sessionId: null, projected: h.start > projectedFrom })
        }
      }
    }
    const competences = COMPETENCES.flatMap((competenceId) => {
      const level = i === 0 ? 'full' : d.pick(['full', 'supervised', 'supervised', null] as const)
      if (level === null) return []
      return [{ competenceId, level, until: i > 0 && d.chance(0.2) ? instant(now + d.between(1, 20) * 7 * 1440) : null } as const]
    })
    return { id, helpsAnyone: d.chance(0.5), presence: apart(presence), competences }
  })
  return { now, horizon, people: rows, sessions, facts: sizes.facts }
}

/** Nobody is at two sites at once: of rows that overlap the earlier one stays. */
function apart(rows: readonly Presence[]): Presence[] {
  const kept: Presence[] = []
  for (const row of [...rows].sort((a, b) => a.start - b.start)) if (row.start >= (kept.at(-1)?.end ?? -Infinity)) kept.push(row)
  return kept
}

function productsOf(d: Dice): CureProduct[] {
  const m = minutes
  const gate = { minAir: celsius(d.pick([5, 8, 10])), maxAir: celsius(35), maxHumidity: d.pick([null, 85]), dewPointMargin: d.pick([null, 3]) }
  const energies = d.pick(
    [{ filmEnergyLow: 18, filmEnergyHigh: 55 }, { filmEnergyLow: 40, filmEnergyHigh: 40 }, { filmEnergyLow: 30, filmEnergyHigh: 60 }]
  )
  return [
    makeProduct({
      id: 'epoxy', ...energies, gate, closesCap: d.pick([null, m(24 * 60)]), cureFloor: celsius(d.pick([-5, 5])),
      stages: {
        workable: m(45), dustFree: m(300), opens: m(d.pick([120, 200, 300])), closes: m(d.pick([480, 1080, 2880])), sandable: m(960),
        handleable: m(600), fullCure: m(10_080),
      },
    }),
    makeProduct({
      id: 'glue', ...energies, dustSensitive: false, cureFloor: celsius(5), gate: { ...gate, maxHumidity: null, dewPointMargin: null },
      stages: { workable: m(60), opens: m(240), closes: m(1440), sandable: m(900), handleable: m(d.pick([300, 480])), fullCure: m(10_080) },
    }),
    makeProduct({
      id: 'paint', ...energies, gate, cureFloor: celsius(8),
      stages: {
        dustFree: m(120), opens: m(d.pick([360, 960])), closes: d.pick([null, m(4320)]), sandable: m(960), handleable: m(1440), fullCure: m(14_400),
      },
    }),
  ]
}

function placesOf(d: Dice, ground: Ground, weeks: number, firstDay: number): Place[] {
  const place = (id: string, siteId: string, mean: number, swing: number, closures: Place['closures']): Place => ({
    id, siteId, closures, climate: climateOf(d, ground.now, weeks, firstDay, mean, swing), surfaceOffset: celsius(-2),
    settle: minutes(d.pick([0, 30, 120])), lastDust: ground.facts && d.chance(0.2) ? instant(ground.now - d.between(0, 60)) : null,
  })
  const shut = d.chance(0.3) ? [ground.sessions[Math.min(ground.sessions.length - 1, d.between(2, 8))]!] : []
  return [
    place('shop', 'club', d.pick([14, 17, 19]), d.pick([2, 5]), []),
    place('tent', 'club', d.pick([12, 15, 20]), d.pick([3, 8]), shut.map(({ start, end }) => ({ start, end }))),
    ...ground.people.filter((p) => p.presence.some((r) => r.siteId === homeOf(p.id))).map((p) => place(`garage-${p.id}`, homeOf(p.id), 13, 5, [])),
  ]
}

/** Steps of three hours, warmest in the afternoon, a slow year, and a spell of cold nights here and there. */
function climateOf(d: Dice, now: Instant, weeks: number, firstDay: number, mean: number, swing: number): ClimateSteps {
  const start = firstDay * 1440 - 14 * 1440
  let spell = 0
  return Array.from({ length: (weeks + 4) * 7 * 8 }, (_, i) => {
    const from = start + i * 180
    if (i % 24 === 0) spell = d.between(-4, 3)
    const year = -4 * Math.cos((2 * Math.PI * (from / 1440 - 20)) / 365)
    const air = Math.round((mean + spell + year + swing * Math.cos((2 * Math.PI * ((from % 1440) - 840)) / 1440)) * 2) / 2
    return { from: instant(from), value: { air: celsius(air), dewPoint: celsius(Math.min(air - 1, mean + spell + year - swing - 3)) } }
  })
}

function resourcesOf(d: Dice, ground: Ground, builds: number): Resource[] {
  const always = instant(ground.now - 100 * 1440)
  return [
    { id: 'bay', siteId: 'club', capacity: [{ from: always, count: d.chance(0.3) ? Math.max(1, builds - 1) : builds }] },
    { id: 'bandsaw', siteId: 'club', capacity: [{ from: always, count: 1 }] },
    // Arrives on a date, and is away for a week later on.
    { id: 'router', siteId: null, capacity: [
      { from: instant(ground.now + d.between(0, 3) * 7 * 1440), count: 1 },
      ...(d.chance(0.3) ? [{ from: instant(ground.now + 35 * 1440), count: 0 }, { from: instant(ground.now + 42 * 1440), count: 2 }] : []),
    ] },
    { id: 'clamps', siteId: null, capacity: [{ from: always, count: d.between(10, 30) }] },
    { id: 'long-bench', siteId: 'club', capacity: [{ from: always, count: d.between(1, 2) }] },
    { id: 'planer', siteId: null, capacity: [{ from: always, count: d.between(1, 2) }] },
  ]
}
