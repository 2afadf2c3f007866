/** What an estimate says, in sentences and in the club's units. */
import type { Input, Origin, Skill, Spread } from '../../src/core/estimate/types.ts'
import type { UnitPrice } from '../../src/features/builds/facts/prices.ts'
import type { Learned } from '../../src/features/builds/queries/learned.ts'
import { format, list, OUNCE_PER_YARD2, plural, type PageClub } from '../shared/index.ts'

type Club = PageClub | null

export const SKILL_WORDS: Record<Skill, string> = { first: 'hands on their first boat', some: 'hands with some experience', practised: 'practised hands' }
export const ORIGIN_WORDS: Record<Origin, string> = { measured: 'measured', panels: 'from the panels', guess: 'a guess until measured' }

const POUND_G = 453.59237
/** An amount in the club's units; what weighs less than a pound to a tenth of an ounce. */
export const amountWords = (n: number, unit: string, club: Club): string =>
  unit === 'g' && club?.units === 'imperial' && n < POUND_G ? format.stockAmount(n * 1000, 'g', club) : format.amount(n, unit, club)

export const rangeWords = (s: Spread, unit: string, club: Club): string => {
  const [low, likely, high] = [s.low, s.likely, s.high].map((n) => amountWords(n, unit, club))
  return low === likely && high === likely ? likely! : `${likely} (${low} to ${high})`
}
export const kgWords = (s: Spread, club: Club): string => rangeWords({ low: s.low * 1000, likely: s.likely * 1000, high: s.high * 1000 }, 'g', club)

export function moneyWords(s: Spread, club: Club): string {
  // A range that is wide in hundreds is not known to the cent.
  const said = s.high >= 100_00 && Math.round(s.high / 100) > Math.round(s.low / 100) ? format.wholeMoney : format.money
  const [low, likely, high] = [s.low, s.likely, s.high].map((c) => said(c, club))
  return low === high ? likely! : `${likely} (${low} to ${high})`
}

/** Whole hours from ten on, below that to a quarter. */
const oneHours = (h: number, club: Club): string => format.number(h < 10 ? Math.round(h * 4) / 4 : Math.round(h), club, 2)
export function hoursWords(s: Spread, club: Club): string {
  const [low, likely, high] = [s.low, s.likely, s.high].map((h) => oneHours(h, club))
  return low === high ? `${likely} h` : `${likely} h (${low} to ${high} h)`
}
export const minutesWords = (s: Spread, club: Club): string => hoursWords({ low: s.low / 60, likely: s.likely / 60, high: s.high / 60 }, club)

export function sheetWords(s: Spread): string {
  const n = plural(s.likely, 'sheet', 'sheets')
  return s.low === s.high ? n : `${n} (${s.low} to ${s.high})`
}

/** Of whole sheets, all that is left of them is waste: the row adds up. */
export const wasteOf = (l: { readonly sheets: Spread | null; readonly gross: Spread; readonly waste: Spread }): number =>
  l.sheets === null ? l.waste.likely : l.sheets.likely - (l.gross.likely - l.waste.likely)

const LEARNT_OF: Record<Learned['sure'], string> = { 'not yet': 'nothing sure yet', 'a first hint': 'a first hint', 'fairly sure': 'fairly sure', sure: 'sure' }
/** Less than half a hundredth is nothing that anybody would see. */
export const isMoved = (factor: number): boolean => Math.abs(factor - 1) >= 0.005
/** "the club's 14 weighings say 1.18 times (1.08 to 1.29), fairly sure". */
export function learntWords(l: Pick<Learned, 'count' | 'factor' | 'low' | 'high' | 'sure' | 'used'>, club: Club): string {
  const n = (x: number) => format.number(x, club, 2)
  const [one, many] = isMoved(l.factor) ? ['says', 'say'] : ['agrees', 'agree']
  const says = l.count === 1 ? `one weighing ${one}` : `${format.number(l.count, club, 0)} weighings ${many}`
  const said = `the club’s ${says} ${isMoved(l.factor) ? `${n(l.factor)} times` : 'with the rule'} (${n(l.low)} to ${n(l.high)}), ${LEARNT_OF[l.sure]}`
  return l.used ? said : `${said}; the club does not use it`
}

const BULK: Record<string, readonly [times: number, unit: string]> = { g: [1000, 'kg'], ml: [1000, 'l'], m: [1, 'm'], m2: [1, 'm²'], pcs: [1, 'piece'] }
// Exact by definition (1959 international yard and pound); US fluid ounce.
const IMPERIAL_BULK: Record<string, readonly [times: number, unit: string]> = { g: [POUND_G, 'lb'], ml: [29.5735295625, 'fl oz'], m: [0.3048, 'ft'], m2: [0.3048 ** 2, 'ft²'], pcs: [1, 'piece'] }
const FROM: Record<UnitPrice['from'], string> = { pack: 'cheapest pack', average: 'what the stock cost on average', parts: 'resin and hardener by their ratio' }
/** "€19.00 a kg: cheapest pack, 5 kg". */
export function priceWords(p: UnitPrice, club: Club): string {
  const [times, unit] = (club?.units === 'imperial' ? IMPERIAL_BULK : BULK)[p.unit] ?? [1, p.unit]
  return `${format.money(Math.round(p.cents * times), club)} a ${unit}: ${FROM[p.from]}${p.pack === null ? '' : `, ${p.pack}`}`
}

/** A figure of a rule in the club's units; shares as per cent. */
export function inputWords({ value, unit }: Pick<Input, 'value' | 'unit'>, club: Club): string {
  const imperial = club?.units === 'imperial'
  switch (unit) {
    case 'm': return format.length(value, club)
    case 'mm': return imperial ? format.small(value, club) : `${format.number(value, club, 2)} mm`
    case 'm²': case 'm2': return format.area(value, club)
    case 'g': return format.mass(value, club)
    case 'mL': return format.volume(value, club)
    case 'g/m²': case 'g/m2': return imperial ? `${format.number(value / OUNCE_PER_YARD2, club, 2)} oz/yd²` : `${format.number(value, club, 2)} g/m²`
    case 'share': case 'share of mass': return `${format.number(value * 100, club, 1)} %`
    case '°': return `${format.number(value, club, 1)}°`
    case '×': return `${format.number(value, club, 2)} ×`
    case '': case 'count': case 'choice': return format.number(value, club, 2)
    default: return `${format.number(value, club, 4)} ${unit}`
  }
}

/** An input with the ends that a rule writes behind its label: "offcuts on top: 30 % (15 to 50 %)". */
function inputText({ label, value, unit }: Pick<Input, 'label' | 'value' | 'unit'>, club: Club): string {
  const ends = / \((\d+(?:\.\d+)?) to (\d+(?:\.\d+)?)\)$/.exec(label)
  const said = inputWords({ value, unit }, club)
  if (ends === null) return `${label}: ${said}`
  const [low, high] = [ends[1]!, ends[2]!].map((n) => inputWords({ value: Number(n), unit }, club))
  const [first, ...behind] = high!.split(' ')
  const after = behind.length > 0 && low!.endsWith(` ${behind.join(' ')}`) ? low!.slice(0, -behind.join(' ').length - 1) : low!
  return `${label.slice(0, ends.index)}: ${said} (${after} to ${[first, ...behind].join(' ')})`
}

const COURSE = /^inside angle \d+ of \d+/
/** Inputs as they are shown: the course of an angle in one line, and without what says that a gram weighs a gram. */
export function inputLines<I extends Input>(inputs: readonly I[], club: Club): { text: string; input: I }[] {
  const course = inputs.filter((i) => COURSE.test(i.label))
  return inputs.flatMap((input) => {
    if (input.unit === 'kg / g') return []
    if (!COURSE.test(input.label)) return [{ text: inputText(input, club), input }]
    return input === course[0] ? [{ text: `inside angle from fore to aft: ${course.map((i) => inputWords(i, club)).join(', ')}`, input }] : []
  })
}

type Totals = { readonly sheetRange: Spread; readonly epoxyG: Spread; readonly hours: Spread; readonly cents: Spread; readonly kg: Spread; readonly unpriced: readonly string[] }
/** The whole in a sentence or two. */
export function takesSentence(name: string, skill: Skill, t: Totals, club: Club, withMoney: boolean): string {
  const parts = [
    ...(t.sheetRange.likely > 0 ? [`${sheetWords(t.sheetRange)} of plywood`] : []),
    ...(t.epoxyG.likely > 0 ? [`${rangeWords(t.epoxyG, 'g', club)} of mixed epoxy`] : []),
    ...(t.hours.likely > 0 ? [`${hoursWords(t.hours, club)} of work`] : []),
  ]
  const takes = parts.length === 0 ? `Nothing can be said yet of what ${name} takes.` : `${name} takes ${list(parts)}, reckoned for ${SKILL_WORDS[skill]}.`
  const weighs = t.kg.likely > 0 ? ` What is counted here will weigh ${kgWords(t.kg, club)} in her.` : ''
  const costs = withMoney && t.cents.likely > 0 ? ` Material comes to ${moneyWords(t.cents, club)}${t.unpriced.length > 0 ? ', without what has no price' : ''}.` : ''
  return takes + weighs + costs
}

type Swing = { readonly label: string; readonly epoxy: number; readonly cost: number }
/** "12 of 31 figures are guesses; measuring the bottom would help most." */
export function guessSentence({ all, guesses }: { all: number; guesses: number }, first: Swing | undefined): string {
  if (all === 0) return 'No figure of her is known yet.'
  if (guesses === 0) return `None of her ${all} figures is a guess.`
  const most = first === undefined ? '' : `; measuring “${first.label}” would help most`
  return `${guesses} of ${all} figures ${guesses === 1 ? 'is a guess' : 'are guesses'}${most}.`
}

export function swingWords(s: Swing, withMoney: boolean, club: Club): string {
  const pc = (x: number) => `${format.number(x * 100, club, 1)} %`
  const moves = [...(s.epoxy >= 0.0005 ? [`mixed epoxy by ${pc(s.epoxy)}`] : []), ...(withMoney && s.cost >= 0.0005 ? [`cost by ${pc(s.cost)}`] : [])]
  return moves.length === 0 ? 'moves what is bought rather than the epoxy' : `a fifth more or less of it moves ${list(moves)}`
}
