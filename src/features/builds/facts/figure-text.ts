/** Figures of the estimate's rules as people write them: "140", "140 g/m²", "0,43", "43 %". Pure. */
import { isShare as isShareUnit } from '../../../../views/builds/rule-words.ts'
import { OUNCE_PER_YARD2 } from '../../../../views/shared/measures.ts'
import type { CoefficientAbout } from '../../../core/estimate/coefficients.ts'

export type End = 'low' | 'likely' | 'high'
export type Ends = Readonly<Record<End, number>>
type About = Pick<CoefficientAbout, 'label' | 'unit' | 'min' | 'max' | 'kind'>

const END_WORDS: Record<End, string> = { low: 'Low', likely: 'Likely', high: 'High' }

const isShare = ({ unit }: About): boolean => isShareUnit(unit)
const isGlass = ({ unit }: About): boolean => unit === 'share of mass'

/** A figure as a form shows it: up to four decimals, none for nothing. */
export const figureField = (n: number): string => String(Math.round(n * 10_000) / 10_000)

const plainUnit = (unit: string): string => unit.toLowerCase().replace(/²/g, '2').replace(/³/g, '3').replace(/\s+/g, '')

/** What was typed at one end as a number in the figure's unit, or what is wrong with it. */
export function readFigure(text: string, about: About, end: End): { ok: true; value: number } | { ok: false; message: string } {
  const what = about.kind === 'number' ? about.label : END_WORDS[end]
  const bad = (message: string) => ({ ok: false as const, message: `${what}: ${message}` })
  const typed = text.trim()
  if (typed === '') return bad('fill this in')
  const match = /^([-−]?)(\d+(?:[.,]\d*)?|[.,]\d+)\s*(.*)$/.exec(typed)
  if (!match) return bad(`“${typed}” is not a number`)
  const n = Number(match[2]!.replace(',', '.'))
  if (match[1] !== '') return bad(`“${typed}” is below nothing${isShare(about) ? '' : `: nobody takes ${about.unit} away`}`)
  const unit = plainUnit(match[3]!)
  const percent = unit === '%' && isShare(about)
  if (unit !== '' && !percent && unit !== plainUnit(about.unit)) return bad(otherUnit(typed, n, unit, about))
  const value = percent ? n / 100 : n
  if (value < about.min || value > about.max) return bad(outside(typed, value, about))
  return { ok: true, value }
}

function otherUnit(typed: string, n: number, unit: string, about: About): string {
  if (about.unit === 'g/m²' && /^(oz|ozs|oz\/yd2|oz\/sqyd|ounces?)$/.test(unit)) {
    return `“${typed}”: this is in g/m². As ounces a square yard it would be ${Math.round(n * OUNCE_PER_YARD2)} g/m² (1 oz/yd² is 33.9)`
  }
  return `“${typed}”: write it in ${isShare(about) ? 'the share itself, 0.15 or 15 %' : about.unit}, not in “${unit}”`
}

function outside(typed: string, value: number, about: About): string {
  const between = `between ${figureField(about.min)} and ${figureField(about.max)}`
  const percent = isShare(about) && value > 1 && value <= 100 && about.max <= 1 ? ` (${figureField(value)} % is written ${figureField(value / 100)})` : ''
  if (isGlass(about)) {
    const why = value >= 0.98 && percent === '' ? ': 1 would be glass without resin' : value === 0 ? ': 0 would be resin without glass' : ''
    return `“${typed}” can’t be: a share of glass by mass, ${between}${why}${percent}`
  }
  return `“${typed}” can’t be: ${isShare(about) ? `a ${about.unit}, ` : ''}${between}${isShare(about) ? '' : ` ${about.unit}`}${percent}`
}

/** Message and field where the ends are in no order; null when they rise. */
export function orderFault({ low, likely, high }: Ends): { end: End; message: string } | null {
  if (low > likely) return { end: 'low', message: `Low: ${figureField(low)} is above the likely ${figureField(likely)}` }
  if (likely > high) return { end: 'high', message: `High: ${figureField(high)} is below the likely ${figureField(likely)}` }
  return null
}

/** Why no rule can work with these ends; null when they are fine. */
export function figureFault(about: About, ends: Ends): string | null {
  const asked = about.kind === 'number' ? [ends.likely] : [ends.low, ends.likely, ends.high]
  if (asked.some((n) => !(n >= about.min && n <= about.max))) return `between ${about.min} and ${about.max}`
  return about.kind === 'number' ? null : (orderFault(ends)?.message ?? null)
}
