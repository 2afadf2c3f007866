/** From a standard job list and what was measured of a boat to the tasks of a build. Pure. */
import { estimate } from '../../../core/estimate/index.ts'
import type { EstimateSettings, Figure, Line } from '../../../core/estimate/types.ts'
import { refuse, ok, type Result } from '../../../core/result.ts'
import { boatOf } from './boat.ts'
import { applies, need, type Measurements } from './conditions.ts'
import { outside, valuesOf } from './figures.ts'
import type { BoatState } from './geometry.ts'
import { bridged, unique } from './bridge.ts'
import { materialsOf } from './shares.ts'
import type { BuildDraft, DraftLink, DraftTask, Grade, HoursRule, JobList, LinkDef, MeasurementDef, Range, ScaleRule, TaskDef } from './types.ts'

/** Message per measurement key. */
export type MeasurementRefusal = Readonly<Record<string, string>>

const roundTo = (n: number, step: number): number => Math.round(n / step) * step
const ROUND_MIN = 5

/** What of the measurements can't be; null when all can. A measurement that the list doesn't have is left alone. */
export function unfit(list: JobList, measured: Measurements): MeasurementRefusal | null {
  const refusal: Record<string, string> = {}
  for (const def of list.measurements) {
    const value = measured[def.key]
    const message = value === undefined ? null : outside(def, value)
    if (message !== null) refusal[def.key] = message
  }
  return Object.keys(refusal).length > 0 ? refusal : null
}

/** @returns the rows of a build, or a message per measurement that is out of its bounds. */
export function instantiate(list: JobList, state: BoatState, settings: EstimateSettings): Result<BuildDraft, MeasurementRefusal> {
  const refusal = unfit(list, state.measured)
  if (refusal) return refuse(refusal)
  const { boat, figures } = boatOf(list, state)
  return ok(draftOf(list, figures, estimate(boat, settings), state.grade))
}

/** The tasks of a boat whose estimate is known; `without`: keys of tasks that somebody did away with. */
export function draftOf(list: JobList, figures: Readonly<Record<string, Figure>>, lines: readonly Line[], grade: Grade, without: ReadonlySet<string> = new Set()): BuildDraft {
  const m = valuesOf(figures)
  const first = new Map<string, string>()
  const last = new Map<string, string>()
  const tasks: DraftTask[] = []
  const links: DraftLink[] = []
  for (const def of list.tasks) {
    const count = countOf(def, m)
    if (count === 0 || without.has(def.key) || (def.withLines && materialsOf(def, count, lines).length === 0)) continue
    for (let n = 1; n <= count; n++) {
      const key = def.repeat ? `${def.key}-${n}` : def.key
      tasks.push(draftTask(list, def, key, n, count, m, grade, lines))
      if (n > 1 && def.repeat) links.push(draftLink(list, { ...def.repeat.link, from: `${def.key}-${n - 1}`, to: key } as LinkDef, `${def.key}-${n - 1}`, key, m))
      if (n === 1) first.set(def.key, key)
      last.set(def.key, key)
    }
  }
  for (const link of bridged(list, new Set(first.keys()))) {
    const from = last.get(link.from)
    const to = first.get(link.to)
    if (from && to) links.push(draftLink(list, link, from, to, m))
  }
  const holds = list.holds.flatMap((h) => {
    const fromKey = first.get(h.from)
    const toKey = last.get(h.to)
    return fromKey && toKey ? [{ toolName: h.tool, amount: h.amount ?? 1, fromKey, toKey }] : []
  })
  const launch = list.tasks.find((t) => t.launch && last.has(t.key))
  const used = new Set(tasks.map((t) => t.phase))
  const launchKey = launch ? (last.get(launch.key) ?? null) : null
  return { phases: list.phases.filter((p) => used.has(p.key)), tasks, links: unique(links), holds, launchKey, figures, lines }
}

function countOf(def: TaskDef, m: Measurements): number {
  if (!applies(def.onlyIf, m)) return 0
  return def.repeat ? Math.max(0, Math.round(need(m, def.repeat.count)) - (def.repeat.minus ?? 0)) : 1
}

function definition(list: JobList, key: string): MeasurementDef {
  const def = list.measurements.find((d) => d.key === key)
  if (!def) throw new Error(`job list scales by a measurement it does not define: ${key}`)
  return def
}

function scaleFactor(list: JobList, rule: ScaleRule | undefined, m: Measurements): number {
  if (!rule) return 1
  const ratio = rule.by.reduce((product, key) => product * (need(m, key) / definition(list, key).calibrated), 1)
  return 1 - rule.share + rule.share * ratio
}

const UNIT: Partial<Record<MeasurementDef['unit'], string>> = { m2: 'm²', 'g/m2': 'g/m²', count: '', choice: '' }

function hoursOf(list: JobList, def: TaskDef, m: Measurements, grade: Grade): HoursRule {
  const byGrade = def.grade?.[grade] ?? 1
  return {
    base: def.work, factor: scaleFactor(list, def.scale, m) * byGrade, share: def.scale?.share ?? 0, grade: byGrade,
    by: (def.scale?.by ?? []).map((key) => {
      const { label, calibrated, unit } = definition(list, key)
      return { label, value: need(m, key), calibrated, unit: UNIT[unit] ?? unit }
    }),
  }
}

const scaled = (range: Range, factor: number): Range => {
  const [low, likely, high] = range.map((n) => Math.max(n > 0 ? ROUND_MIN : 0, roundTo(n * factor, ROUND_MIN))) as [number, number, number]
  return [Math.min(low, likely), likely, Math.max(likely, high)]
}

function draftTask(list: JobList, def: TaskDef, key: string, n: number, count: number, m: Measurements, grade: Grade, lines: readonly Line[]): DraftTask {
  const hours = hoursOf(list, def, m, grade)
  const [low, likely, high] = scaled(def.work, hours.factor)
  return {
    listKey: key,
    phase: def.phase,
    name: def.name.replace('{n}', String(n)).replace('{of}', String(count)),
    note: def.note ?? '',
    caution: def.caution ?? '',
    kind: def.kind,
    workLowMin: low,
    workLikelyMin: likely,
    workHighMin: high,
    handsFrom: def.kind === 'unattended' ? 0 : (def.hands?.[0] ?? 1),
    handsTo: def.kind === 'unattended' ? 0 : (def.hands?.[1] ?? 1),
    smallestMin: def.smallest ?? null,
    setUpMin: def.setUp ?? 0,
    clearUpMin: def.clearUp ?? 0,
    dusty: def.dusty ?? false,
    craft: def.craft ?? null,
    minAir: def.minAir ?? null,
    placeRole: def.place,
    productRole: def.product ?? null,
    tools: (def.tools ?? []).map((t) => ({ name: t.name, count: t.count ?? 1, heldUntil: t.heldUntil ?? null })),
    competences: def.competences ?? [],
    steps: (def.steps ?? []).map((s) => ({ text: s.text, caution: s.caution ?? '', weight: s.weight ?? 1 })),
    materials: materialsOf(def, count, lines),
    hours,
  }
}

function draftLink(list: JobList, link: LinkDef, fromKey: string, toKey: string, m: Measurements): DraftLink {
  const base = { fromKey, toKey, kind: link.kind, lagMin: 0, edge: 'finish' as const, minLagMin: null, maxLagMin: null, stage: null, washMin: null }
  switch (link.kind) {
    case 'finish': return { ...base, lagMin: link.lag ?? 0 }
    case 'stage': return { ...base, stage: link.stage }
    case 'lag': return { ...base, edge: link.edge, minLagMin: link.min ?? null, maxLagMin: link.max ?? null }
    case 'window': return { ...base, washMin: link.wash === null ? null : Math.max(ROUND_MIN, roundTo(link.wash * scaleFactor(list, link.washScale, m), ROUND_MIN)) }
  }
}
