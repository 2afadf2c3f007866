/** From a standard job list and a boat's measurements to the tasks of a build. Pure. */
import { refuse, ok, type Result } from '../../../core/result.ts'
import type { BuildDraft, DraftLink, DraftTask, Grade, JobList, LinkDef, MeasurementDef, Quantity, Range, ScaleRule, TaskDef } from './types.ts'

export type Measurements = Readonly<Record<string, number>>
export interface Guessed { readonly value: number; readonly guessed: boolean }
/** Message per measurement key. */
export type MeasurementRefusal = Readonly<Record<string, string>>

const roundTo = (n: number, step: number): number => Math.round(n / step) * step
const ROUND_MIN = 5

export function quantityOf(q: Quantity, m: Measurements): number {
  return (q.plus ?? 0) + q.times * q.of.reduce((product, key) => product * need(m, key), 1)
}

function need(m: Measurements, key: string): number {
  const value = m[key]
  if (value === undefined) throw new Error(`job list uses a measurement it does not define: ${key}`)
  return value
}

/** Fills what was not measured by the list's own guess, in the order in which the list defines the measurements. */
export function completeMeasurements(list: JobList, given: Measurements, grade: Grade): Record<string, Guessed> {
  const values: Record<string, number> = {}
  const out: Record<string, Guessed> = {}
  for (const def of list.measurements) {
    const measured = given[def.key]
    const value = measured ?? guess(def, values, grade)
    values[def.key] = value
    out[def.key] = { value, guessed: measured === undefined }
  }
  return out
}

function guess(def: MeasurementDef, sofar: Measurements, grade: Grade): number {
  if (def.byGrade) return def.byGrade[grade]
  if (!def.guess) return def.calibrated
  const value = quantityOf(def.guess, sofar)
  const digits = def.unit === 'count' || def.unit === 'mm' ? 1 : 0.1
  return Math.min(def.max, Math.max(def.min, Math.round(value / digits) * digits))
}

function scaleFactor(list: JobList, rule: ScaleRule | undefined, m: Measurements): number {
  if (!rule) return 1
  const ratio = rule.by.reduce((product, key) => product * (need(m, key) / calibrated(list, key)), 1)
  return 1 - rule.share + rule.share * ratio
}

function calibrated(list: JobList, key: string): number {
  const def = list.measurements.find((d) => d.key === key)
  if (!def) throw new Error(`job list scales by a measurement it does not define: ${key}`)
  return def.calibrated
}

const scaled = (range: Range, factor: number): Range => {
  const [low, likely, high] = range.map((n) => Math.max(n > 0 ? ROUND_MIN : 0, roundTo(n * factor, ROUND_MIN))) as [number, number, number]
  return [Math.min(low, likely), likely, Math.max(likely, high)]
}

/** @returns the rows of a build, or a message per measurement that is out of its bounds. */
export function instantiate(list: JobList, given: Measurements, grade: Grade): Result<BuildDraft, MeasurementRefusal> {
  const refusal: Record<string, string> = {}
  for (const def of list.measurements) {
    const value = given[def.key]
    if (value === undefined) continue
    if (!Number.isFinite(value) || value < def.min || value > def.max) refusal[def.key] = `${def.label}: between ${def.min} and ${def.max} for this list, not ${value}`
    else if (def.unit === 'count' && !Number.isInteger(value)) refusal[def.key] = `${def.label}: a whole number, not ${value}`
  }
  if (Object.keys(refusal).length > 0) return refuse(refusal)
  const m: Record<string, number> = {}
  for (const [key, g] of Object.entries(completeMeasurements(list, given, grade))) m[key] = g.value

  const first = new Map<string, string>()
  const last = new Map<string, string>()
  const tasks: DraftTask[] = []
  const links: DraftLink[] = []
  for (const def of list.tasks) {
    if (def.onlyIf && need(m, def.onlyIf.measurement) < def.onlyIf.atLeast) continue
    const count = def.repeat ? Math.max(0, Math.round(need(m, def.repeat.count))) : 1
    if (count === 0) continue
    for (let n = 1; n <= count; n++) {
      const key = def.repeat ? `${def.key}-${n}` : def.key
      tasks.push(draftTask(list, def, key, n, count, m, grade))
      if (n > 1 && def.repeat) links.push(draftLink(list, { ...def.repeat.link, from: `${def.key}-${n - 1}`, to: key } as LinkDef, `${def.key}-${n - 1}`, key, m))
      if (n === 1) first.set(def.key, key)
      last.set(def.key, key)
    }
  }
  for (const link of bridged(list, first)) {
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
  return ok({ phases: list.phases.filter((p) => used.has(p.key)), tasks, links: unique(links), holds, launchKey: launch ? (last.get(launch.key) ?? null) : null })
}

/** A left-out task hands its waits on: what came before it comes before what came after it. */
function bridged(list: JobList, kept: ReadonlyMap<string, string>): LinkDef[] {
  let links: LinkDef[] = [...list.links]
  for (const gone of list.tasks.filter((t) => !kept.has(t.key))) {
    const into = links.filter((l) => l.to === gone.key)
    const outOf = links.filter((l) => l.from === gone.key)
    links = links.filter((l) => l.to !== gone.key && l.from !== gone.key)
    for (const a of into) for (const b of outOf) {
      // The wait that outlives the gap: a film under a left-out task still has to be hard before sanding.
      const keep = a.kind === 'finish' && b.kind === 'finish' ? b : a.kind === 'finish' ? { kind: 'finish' as const } : a
      links.push({ ...keep, from: a.from, to: b.to } as LinkDef)
    }
  }
  return links
}

function unique(links: DraftLink[]): DraftLink[] {
  const seen = new Set<string>()
  return links.filter((l) => {
    const key = `${l.fromKey}>${l.toKey}>${l.kind}`
    if (seen.has(key)) return false
    seen.add(key)
    return true
  })
}

function draftTask(list: JobList, def: TaskDef, key: string, n: number, count: number, m: Measurements, grade: Grade): DraftTask {
  const factor = scaleFactor(list, def.scale, m) * (def.grade?.[grade] ?? 1)
  const [low, likely, high] = scaled(def.work, factor)
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
    minAir: def.minAir ?? null,
    placeRole: def.place,
    productRole: def.product ?? null,
    tools: (def.tools ?? []).map((t) => ({ name: t.name, count: t.count ?? 1, heldUntil: t.heldUntil ?? null })),
    competences: def.competences ?? [],
    steps: (def.steps ?? []).map((s) => ({ text: s.text, caution: s.caution ?? '', weight: s.weight ?? 1 })),
    materials: (def.materials ?? []).map((rule) => {
      const amount = quantityOf(rule.of, m)
      const [lo, mid, hi] = rule.per.map((p) => Math.round(p * amount * 100) / 100) as [number, number, number]
      return { name: rule.name, unit: rule.unit, low: lo, likely: mid, high: hi, rule: rule.rule }
    }),
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
