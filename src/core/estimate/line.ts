/** How a line is put together: amounts, waste, what the club learnt, and the inputs in the order they went in. */
import { setByClub } from './coefficients.ts'
import { addSpread, NOTHING, scaleSpread, timesSpread } from './spread.ts'
import type { EstimateSettings, Figure, Input, Line, RuleKey, Spread } from './types.ts'

export interface Sketch extends Pick<Line, 'rule' | 'part' | 'name' | 'material' | 'unit' | 'net' | 'inputs' | 'formula' | 'source'> {
  /** Ending of the line's key where it is not the rule alone: 'fillet.wood-flour'. */
  readonly ending?: string
  /** Amount in `unit`, or as a share on top of net; absent: none. */
  readonly waste?: Spread
  readonly wasteShare?: Spread
  /** kg that stays, or kg for each unit of net; absent: nothing stays. */
  readonly kg?: Spread
  readonly kgEach?: number
}

/** Goods cut to size: what a club uses beyond the rule was cut off, for the boat herself is no larger. */
const CUT: ReadonlySet<RuleKey> = new Set(['ply', 'cloth', 'tape', 'timber'])

/** Net, waste and kg with what was learnt. Epoxy, paint and the like scale as they are; of goods cut to size the waste takes it, and net only where less than it was used. */
function learnt(sketch: Pick<Sketch, 'rule' | 'net'>, waste: Spread, kg: Spread, factor: number): Pick<Line, 'net' | 'waste' | 'kg'> {
  const { rule, net } = sketch
  if (!CUT.has(rule) || factor === 1) return { net: scaleSpread(net, factor), waste: scaleSpread(waste, factor), kg: scaleSpread(kg, factor) }
  const gross = scaleSpread(addSpread(net, waste), factor)
  const stays: Spread = { low: Math.min(net.low, gross.low), likely: Math.min(net.likely, gross.likely), high: Math.min(net.high, gross.high) }
  return {
    net: stays,
    waste: { low: gross.low - stays.low, likely: gross.likely - stays.likely, high: gross.high - stays.high },
    kg: net.likely === 0 ? kg : scaleSpread(kg, stays.likely / net.likely),
  }
}

export function toLine(sketch: Sketch, { factors, coefficients, skill }: EstimateSettings): Line {
  const { ending, waste, wasteShare, kg, kgEach, ...told } = sketch
  const factor = factors.get(sketch.rule) ?? 1
  if (!(factor > 0 && Number.isFinite(factor))) throw new RangeError(`a learnt factor is above 0, got ${factor} for ${sketch.rule}`)
  const onTop = waste ?? (wasteShare ? timesSpread(sketch.net, wasteShare) : NOTHING)
  const stays = kg ?? scaleSpread(sketch.net, kgEach ?? 0)
  const own = setByClub(coefficients, sketch.rule, skill)
  return {
    ...told,
    source: own.length === 0 ? sketch.source : `${sketch.source}. Set by this club: ${own.join(', ').toLowerCase()}`,
    key: `${sketch.part}.${ending ?? sketch.rule}`,
    ...learnt(sketch, onTop, stays, factor),
    formula: factor === 1 ? sketch.formula : `${sketch.formula} × ${plain(factor)} (learnt)`,
    inputs: factor === 1 ? sketch.inputs : [...sketch.inputs, input('learnt by this club', factor, '×')],
    factor,
  }
}

export const input = (label: string, value: number, unit: string): Input => ({ label, value, unit, origin: null })
export const measured = (label: string, figure: Figure, unit: string): Input => ({ label, value: figure.value, unit, origin: figure.origin })
/** A spread as three inputs would be noise: its likely figure goes in, with its ends in the label. */
export const ranged = (label: string, s: Spread, unit: string): Input =>
  input(s.low === s.high ? label : `${label} (${plain(s.low)} to ${plain(s.high)})`, s.likely, unit)

/** Up to four figures, without an exponent. */
export function plain(n: number): string {
  if (n === 0) return '0'
  const places = Math.min(6, Math.max(0, 3 - Math.floor(Math.log10(Math.abs(n)))))
  return String(Number(n.toFixed(places)))
}

/** ' × 3' for a formula; one time is left out. */
export const times = (n: number): string => (n === 1 ? '' : ` × ${plain(n)}`)

/** Two lines with one key (two tapes on a side, two paints of a name) are told apart by a number: '-2'. */
export function unlike(lines: readonly Line[]): Line[] {
  const seen = new Map<string, number>()
  return lines.map((line) => {
    const count = (seen.get(line.key) ?? 0) + 1
    seen.set(line.key, count)
    return count === 1 ? line : { ...line, key: `${line.key}-${count}` }
  })
}
