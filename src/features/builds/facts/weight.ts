/** What a boat should weigh: by material, by part, and as far as she is built. Pure. */
import { addSpread, scaleSpread, sumSpreads } from '../../../core/estimate/index.ts'
import type { Boat, Line, RuleKey, Spread } from '../../../core/estimate/types.ts'
import { grouped } from './weighings.ts'

export type MassLine = Pick<Line, 'key' | 'rule' | 'part' | 'name' | 'kg'>
/** What a task takes of a line, in the line's unit; when it was finished. */
export type Taking = { line: string; amount: number; finishedAt: Date | null }

/** What the lines of a rule are in the budget. */
const MATTER: Readonly<Record<RuleKey, string>> = {
  ply: 'Plywood', timber: 'Timber', cloth: 'Glass and epoxy', 'wet-out': 'Glass and epoxy', 'fill-coat': 'Glass and epoxy', tape: 'Glass and epoxy', 'tape-resin': 'Glass and epoxy',
  fillet: 'Glass and epoxy', 'seal-first': 'Glass and epoxy', 'seal-next': 'Glass and epoxy', 'edge-seal': 'Glass and epoxy', 'glue-line': 'Glass and epoxy',
  fairing: 'Fairing', paint: 'Primer, paint and varnish', piece: 'Things by the piece', abrasive: 'Things by the piece',
}
const ORDER = ['Plywood', 'Timber', 'Glass and epoxy', 'Fairing', 'Primer, paint and varnish', 'Things by the piece']

/** Share of each line that finished tasks took, of what all her tasks take of it: 0 to 1; a line that no task takes is not in it. */
export function sharesDone(takings: readonly Taking[], until: Date): Map<string, number> {
  const shares = new Map<string, number>()
  for (const [line, mine] of grouped(takings, (t) => t.line)) {
    const sum = (all: readonly Taking[]) => all.reduce((n, t) => n + t.amount, 0)
    const all = sum(mine)
    if (all > 0) shares.set(line, sum(mine.filter((t) => t.finishedAt !== null && t.finishedAt <= until)) / all)
  }
  return shares
}

/** kg that stays in the boat of what was finished until then. */
export function massDone(lines: readonly MassLine[], takings: readonly Taking[], until: Date): Spread {
  const shares = sharesDone(takings, until)
  return sumSpreads(lines.map((l) => scaleSpread(l.kg, shares.get(l.key) ?? 0)))
}

export type BudgetRow = { name: string; all: Spread; done: Spread }
export type Budget = { byMatter: BudgetRow[]; byPart: BudgetRow[]; all: Spread; done: Spread }

/** kg of the whole estimate and of what is finished; what weighs nothing is left out. */
export function budgetOf(lines: readonly MassLine[], takings: readonly Taking[], until: Date, boat: Boat): Budget {
  const shares = sharesDone(takings, until)
  const rows = lines.filter((l) => l.kg.high > 0).map((l) => ({ line: l, all: l.kg, done: scaleSpread(l.kg, shares.get(l.key) ?? 0) }))
  const by = (nameOf: (l: MassLine) => string): BudgetRow[] =>
    [...grouped(rows, (r) => nameOf(r.line))].map(([name, mine]) => ({ name, all: sumSpreads(mine.map((r) => r.all)), done: sumSpreads(mine.map((r) => r.done)) }))
  const names = partNames(boat)
  return {
    byMatter: by((l) => MATTER[l.rule]).sort((a, b) => ORDER.indexOf(a.name) - ORDER.indexOf(b.name)),
    byPart: by((l) => names.get(l.part) ?? l.name).sort((a, b) => b.all.likely - a.all.likely || (a.name < b.name ? -1 : 1)),
    all: sumSpreads(rows.map((r) => r.all)), done: sumSpreads(rows.map((r) => r.done)),
  }
}

const partNames = ({ seams, surfaces, joints, timbers, extras }: Boat): Map<string, string> =>
  new Map([seams, surfaces, joints, timbers, extras].flatMap((all) => all.map(({ key, name }): [string, string] => [key, name])))

/** A mass on the scales beside what was expected; `byKg`: how far out of the range, or within it how far from its likely figure (above is positive). */
export type Against = { is: 'within' | 'above' | 'below' | 'nothing-done'; byKg: number }
export function against(kg: number, expected: Spread): Against {
  if (!(expected.high > 0)) return { is: 'nothing-done', byKg: 0 }
  if (kg > expected.high) return { is: 'above', byKg: kg - expected.high }
  if (kg < expected.low) return { is: 'below', byKg: kg - expected.low }
  return { is: 'within', byKg: kg - expected.likely }
}

/** Once she was weighed, the rest of the estimate comes on top of that. */
export function fromHereOn(kg: number, { all, done }: { all: Spread; done: Spread }): Spread {
  const rest = { low: Math.max(0, all.low - done.low), likely: Math.max(0, all.likely - done.likely), high: Math.max(0, all.high - done.high) }
  return addSpread({ low: kg, likely: kg, high: kg }, rest)
}

/** Above that a mass is a slip of the finger: four times the heaviest that the estimate has, or a large dinghy's where it has nothing. */
const SLIP_TIMES = 4
export const mostKg = (all: Spread): number => (all.high > 0 ? Math.max(20, SLIP_TIMES * all.high) : 1500)

/** Days for the line of what was expected: the first of each month, each weighing, today. */
export function chartDays(startedOn: string, today: string, weighed: readonly string[], most = 18): string[] {
  const months: string[] = []
  let [year, month] = [Number(startedOn.slice(0, 4)), Number(startedOn.slice(5, 7))]
  for (;;) {
    month = month === 12 ? 1 : month + 1
    if (month === 1) year++
    const day = `${year}-${String(month).padStart(2, '0')}-01`
    if (day >= today || months.length > 400) break
    months.push(day)
  }
  const all = [...new Set([startedOn, ...months, ...weighed, today])].filter((d) => d <= today).sort()
  if (all.length <= most) return all
  // Too many months: every so manieth, with all weighings and both ends.
  const keep = new Set([startedOn, today, ...weighed])
  const every = Math.ceil(all.length / most)
  return all.filter((d, i) => keep.has(d) || i % every === 0)
}

