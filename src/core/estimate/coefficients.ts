/**
 * Figures of the rules as they are until a club sets its own. Each says where it comes from; "from memory" is trade knowledge that nobody
 * looked up: to be replaced by the data sheet and by what the club weighs.
 */
import type { Coefficients, RuleKey, Skill, Spread } from './types.ts'

export const defaultCoefficients: Coefficients = {
  glassFraction: {
    first: { low: 0.33, likely: 0.38, high: 0.46 },
    some: { low: 0.36, likely: 0.43, high: 0.5 },
    practised: { low: 0.42, likely: 0.47, high: 0.5 },
  },
  epoxyWaste: {
    first: { low: 0.1, likely: 0.2, high: 0.3 },
    some: { low: 0.1, likely: 0.15, high: 0.2 },
    practised: { low: 0.05, likely: 0.1, high: 0.15 },
  },
  plyWaste: { low: 0.15, likely: 0.3, high: 0.5 },
  timberWaste: { low: 0.1, likely: 0.15, high: 0.25 },
  tapeWaste: { low: 0.03, likely: 0.06, high: 0.12 },
  sealFirst: { low: 100, likely: 140, high: 200 },
  sealNext: { low: 80, likely: 122, high: 160 },
  fillCoat: { low: 80, likely: 122, high: 150 },
  glueLine: { low: 300, likely: 370, high: 450 },
  fairing: { low: 60, likely: 100, high: 180 },
  gapFill: { low: 0.2, likely: 0.35, high: 0.5 },
  paintLoss: { low: 0.1, likely: 0.125, high: 0.15 },
  discs: { low: 2.5, likely: 5, high: 8 },
  epoxyDensity: 1.15,
  glassDensity: 2.56,
  woodFlourDensity: 1.45,
  silicaDensity: 2.2,
  woodFlourPer100: 25,
  silicaPer100: 5,
}

/** End grain takes first coats as many times as a face does; from memory. */
export const edgeThirst: Spread = { low: 1.5, likely: 2, high: 3 }
/** Share of the fairing compound put on that is still there after sanding; from memory. */
export const fairingStays: Spread = { low: 0.3, likely: 0.5, high: 0.7 }
/** What a sheet weighs against its species' density: sheets of one species differ; from memory. */
export const plyMassSpread: Spread = { low: 0.95, likely: 1, high: 1.1 }
/** Length × width, m². */
export const SHEET_M2 = 2.44 * 1.22

export interface CoefficientAbout {
  readonly label: string
  readonly unit: string
  readonly source: string
  /** What may be set. */
  readonly min: number
  readonly max: number
  /** spread: low, likely, high. number: one figure. */
  readonly kind: 'spread' | 'number'
  /** The rules that use it. */
  readonly rules: readonly RuleKey[]
}

const WETTED: readonly RuleKey[] = ['wet-out', 'tape-resin']
const MIXED: readonly RuleKey[] = ['wet-out', 'tape-resin', 'fill-coat', 'seal-first', 'seal-next', 'edge-seal', 'fillet', 'glue-line', 'fairing']
const FRACTION = 'whole span 0.33 (a beginner) to 0.50 (skilled) read on a plan seller’s forum; what lies between, by skill, from memory'
const WASTE = '10 % plans, 15 % a formulator’s coverage formula, 15–20 % a supplier (all read); by skill from memory'
const HANDBOOK = '(wood-epoxy boat handbook, ch. 7, read); ends from memory'

type Row = readonly [label: string, unit: string, min: number, max: number, rules: readonly RuleKey[], source: string]
const spreads: Record<string, Row> = {
  'glassFraction.first': ['Glass in a laminate, first boat', 'share of mass', 0.2, 0.75, WETTED, FRACTION],
  'glassFraction.some': ['Glass in a laminate, some experience', 'share of mass', 0.2, 0.75, WETTED, FRACTION],
  'glassFraction.practised': ['Glass in a laminate, practised', 'share of mass', 0.2, 0.75, WETTED, FRACTION],
  'epoxyWaste.first': ['Epoxy wasted, first boat', 'share on top', 0, 1, MIXED, WASTE],
  'epoxyWaste.some': ['Epoxy wasted, some experience', 'share on top', 0, 1, MIXED, WASTE],
  'epoxyWaste.practised': ['Epoxy wasted, practised', 'share on top', 0, 1, MIXED, WASTE],
  'plyWaste': [
    'Offcuts of sheets', 'share on top', 0, 2, ['ply'],
    'from memory; a list of 13 sheets took 22 (forum, read). The buying layout counts the real sheets',
  ],
  'timberWaste': ['Offcuts of timber and of what goes by length or area', 'share on top', 0, 1, ['timber', 'piece'], 'from memory'],
  'tapeWaste': ['Offcuts of tape', 'share on top', 0, 1, ['tape'], 'from memory'],
  'sealFirst': [
    'First coat on bare ply', 'g/m²', 20, 600, ['seal-first', 'edge-seal'],
    `7.1 m²/kg = 140 g/m² ${HANDBOOK}; a cautious designer reckons with 250 (forum, read)`,
  ],
  'sealNext': ['Later coats', 'g/m²', 20, 400, ['seal-next'], `8.2 m²/kg = 122 g/m² ${HANDBOOK}`],
  'fillCoat': ['Fill coat over glass', 'g/m²', 20, 400, ['fill-coat'], `8.2 m²/kg = 122 g/m² a coat ${HANDBOOK}`],
  'glueLine': ['Glue line, clamped by hand', 'g/m²', 50, 1500, ['glue-line'], `2.7 m²/kg = 370 g/m² ${HANDBOOK}`],
  'fairing': ['Fairing compound put on', 'g/m²', 10, 2000, ['fairing'], 'from memory'],
  'gapFill': ['Gaps behind a fillet', 'share on top', 0, 3, ['fillet'], 'from memory'],
  'paintLoss': [
    'Paint lost on roller and tray', 'share of what is taken', 0, 0.8, ['paint'], 'brush and roller 10–15 % (coating maker’s note, read)',
  ],
  'discs': [
    'Sanding discs of 150 mm, all sandings of a face', 'pieces/m²', 0.1, 50, ['abrasive'],
    '60–120 discs for a 4 m dinghy (from memory); a kayak’s skin took 18 (log, read)',
  ],
}
const numbers: Record<string, Row> = {
  'epoxyDensity': [
    'Density of mixed epoxy', 'g/cm³', 0.9, 1.5, ['fillet', 'wet-out', 'fill-coat', 'glue-line'],
    '1.107 as mixed (formulator’s coverage page, read), 1.10–1.20 from memory',
  ],
  'glassDensity': ['Density of glass', 'g/cm³', 2.3, 2.8, ['wet-out'], '2.56, implied by ISO 12215-5:2008 Eq. C.1 (second-hand)'],
  'woodFlourDensity': ['True density of wood flour', 'g/cm³', 1.2, 1.6, ['fillet'], 'compressed 1.4–1.5 (chapter on wood flour, read)'],
  'silicaDensity': ['True density of fumed silica', 'g/cm³', 1.5, 2.7, ['glue-line'], '2.2 (from memory)'],
  'woodFlourPer100': ['Wood flour to 100 g of mixed epoxy', 'g', 0, 100, ['fillet'], 'from memory'],
  'silicaPer100': ['Silica to 100 g of mixed epoxy', 'g', 0, 50, ['glue-line'], 'from memory'],
}

const about = (rows: Record<string, Row>, kind: 'spread' | 'number'): [string, CoefficientAbout][] =>
  Object.entries(rows).map(([key, [label, unit, min, max, rules, source]]) => [key, { label, unit, min, max, rules, source, kind }])

/** What each figure of `Coefficients` is, by its path ('sealFirst', 'glassFraction.some', 'epoxyDensity'), in the order of a page. */
export const coefficientAbout: ReadonlyMap<string, CoefficientAbout> = new Map([...about(spreads, 'spread'), ...about(numbers, 'number')])

/** The figure at a path; a single number has three ends alike; null: no such path. */
export function coefficientAt(coefficients: Coefficients, key: string): Spread | null {
  if (!coefficientAbout.has(key)) return null
  const [first, second] = key.split('.') as [keyof Coefficients, string | undefined]
  const found = coefficients[first] as unknown
  const value = second === undefined ? found : (found as Record<string, unknown>)[second]
  return typeof value === 'number' ? { low: value, likely: value, high: value } : (value as Spread)
}

/** A figure as a club set it. */
export interface Override extends Spread { readonly key: string }

/**
 * The figures with those set in their place. A key that is none is left out; of a single number `likely` counts.
 * @throws RangeError for a figure outside what `coefficientAbout` allows, or ends that don't rise.
 */
export function withOverrides(coefficients: Coefficients, rows: readonly Override[]): Coefficients {
  const result = { ...coefficients, glassFraction: { ...coefficients.glassFraction }, epoxyWaste: { ...coefficients.epoxyWaste } }
  for (const { key, low, likely, high } of rows) {
    const told = coefficientAbout.get(key)
    if (!told) continue
    const ends = told.kind === 'number' ? [likely] : [low, likely, high]
    if (ends.some((end, i) => !(end >= told.min && end <= told.max) || (i > 0 && end < ends[i - 1]!))) {
      throw new RangeError(`${key} must rise and lie between ${told.min} and ${told.max}, got ${ends.join(', ')}`)
    }
    const [first, second] = key.split('.') as [string, string | undefined]
    const value = told.kind === 'number' ? likely : { low, likely, high }
    if (second === undefined) Object.assign(result, { [first]: value })
    else Object.assign(result[first as 'glassFraction' | 'epoxyWaste'], { [second]: value })
  }
  return result
}

/** Labels of the figures of a rule, for hands of this skill, that a club set otherwise than they usually are. */
export function setByClub(coefficients: Coefficients, rule: RuleKey, skill: Skill): string[] {
  return [...coefficientAbout].flatMap(([key, { rules, label }]) => {
    const bySkill = key.split('.')[1]
    if (!rules.includes(rule) || (bySkill !== undefined && bySkill !== skill)) return []
    const [own, usual] = [coefficientAt(coefficients, key)!, coefficientAt(defaultCoefficients, key)!]
    return own.low === usual.low && own.likely === usual.likely && own.high === usual.high ? [] : [label]
  })
}
