/** What an option sheet says: each figure, how it differs from the first option, which is best, and which option wins at what. Pure. */
import type { OptionResult, Results, SheetOption, StockLeft } from '../../../src/features/planning/option-sheets/model.ts'
import { mass, number, small, wholeMoney } from '../../shared/format.ts'
import { list, plural, sentence } from '../../shared/times.ts'
import { launchDay } from './moves.ts'
import { buildName, type Words } from './names.ts'
import { much } from './stock.ts'

export type Cell = {
  readonly text: string
  /** Against the first option, in words; '' in the first and where nothing differs. */
  readonly difference: string
  readonly isBest: boolean
}
export type Row = { readonly key: RowKey; readonly heading: string; /** "least", "lightest", "soonest". */ readonly best: string; readonly cells: readonly Cell[] }
export type RowKey = 'cost' | 'mass' | 'along' | 'across' | 'deflection' | 'hours' | 'left' | 'weeks' | 'launch' | 'missed' | 'epoxy' | 'resin' | 'short' | 'others'

type Figure = {
  readonly key: RowKey
  readonly heading: string
  readonly best: string
  /** What is compared, as coarse as it is told; null: not known. */
  value(o: OptionResult): number | null
  /** Which way is better; 0: neither. */
  readonly better: 1 | -1 | 0
  text(o: OptionResult): string
  difference(own: OptionResult, first: OptionResult): string
}

const DAY = 1440
const WEEK = 7 * DAY

export type Seen = { readonly money: boolean }

/** The rows of the comparison; money only for those who may see it. */
export function optionRows(w: Words, results: Results, seen: Seen): Row[] {
  const first = results.options[0]
  if (!first) return []
  return figures(w, results, seen).map((f) => {
    const values = results.options.map((o) => f.value(o))
    const best = bestOf(values, f.better)
    return {
      key: f.key, heading: f.heading, best: f.best,
      cells: results.options.map((o, n) => ({ text: f.text(o), difference: n === 0 ? '' : f.difference(o, first), isBest: best.has(n) })),
    }
  })
}

/** Which of the known values are best; none where they are all the same, or fewer than two are known. */
export function bestOf(values: readonly (number | null)[], better: 1 | -1 | 0): Set<number> {
  const known = values.filter((v) => v !== null)
  if (better === 0 || known.length < 2 || known.every((v) => v === known[0])) return new Set()
  const best = better === 1 ? Math.max(...known) : Math.min(...known)
  return new Set(values.flatMap((v, n) => (v === best ? [n] : [])))
}

function figures(w: Words, results: Results, seen: Seen): Figure[] {
  const club = w.club ?? null
  const grams = (kg: number) => mass(kg * 1000, club)
  const all: (Figure | false)[] = [
    seen.money && {
      key: 'cost', heading: 'Materials cost', best: 'least', better: -1,
      value: (o) => Math.round(o.cents.likely / 100),
      text: (o) => `${range(o.cents, (c) => wholeMoney(c, club))}${o.unpriced.length > 0 ? `, without ${o.unpriced.map((u) => u.material).join('; ')}` : ''}`,
      difference: (o, f) => differs(Math.round(o.cents.likely / 100) - Math.round(f.cents.likely / 100), (n) => wholeMoney(n * 100, club), 'more', 'less'),
    },
    {
      key: 'mass', heading: 'What stays in her weighs', best: 'lightest', better: -1,
      value: (o) => tenths(o.kg.likely), text: (o) => range(o.kg, grams),
      difference: (o, f) => differs(tenths(o.kg.likely) - tenths(f.kg.likely), grams, 'heavier', 'lighter'),
    },
    ...panelFigures(w, results),
    {
      key: 'hours', heading: 'Hours for the whole boat', best: 'fewest', better: -1,
      value: (o) => Math.round(o.hours.likely), text: (o) => range(o.hours, (h) => `${number(Math.round(h), club, 0)} h`),
      difference: (o, f) => differs(Math.round(o.hours.likely) - Math.round(f.hours.likely), (n) => `${number(n, club, 0)} h`, 'more', 'fewer'),
    },
    {
      key: 'left', heading: 'Of it still to be done', best: 'fewest', better: -1,
      value: (o) => Math.round(o.leftMin / 60), text: (o) => `${number(Math.round(o.leftMin / 60), club, 0)} h`,
      difference: (o, f) => differs(Math.round(o.leftMin / 60) - Math.round(f.leftMin / 60), (n) => `${number(n, club, 0)} h`, 'more', 'fewer'),
    },
    {
      key: 'weeks', heading: 'Weeks to the launch', best: 'fewest', better: -1,
      value: (o) => weeksTo(o, results.now), text: (o) => (o.launch ? `${number(weeksTo(o, results.now) ?? 0, club, 0)}` : 'not known'),
      difference: (o, f) => {
        const [own, its] = [weeksTo(o, results.now), weeksTo(f, results.now)]
        return own === null || its === null ? '' : differs(own - its, (n) => plural(n, 'week'), 'more', 'fewer')
      },
    },
    {
      key: 'launch', heading: 'Launch', best: 'soonest', better: -1,
      value: (o) => launchDate(w, o), text: (o) => (o.launch ? launchDay(w, o.launch) : (o.whyNot ?? 'no date')),
      difference: (o, f) => launchDifference(w, o, f),
    },
    {
      key: 'missed', heading: 'Recoat windows let go', best: 'fewest', better: -1,
      value: (o) => o.missed, text: (o) => (o.missed === 0 ? 'none' : String(o.missed)),
      difference: (o, f) => differs(o.missed - f.missed, String, 'more', 'fewer'),
    },
    {
      key: 'epoxy', heading: 'Mixed epoxy she takes', best: 'least', better: -1,
      value: (o) => tenths(o.epoxyG.likely / 1000), text: (o) => range(o.epoxyG, (g) => mass(g, club)),
      difference: (o, f) => differs(tenths(o.epoxyG.likely / 1000) - tenths(f.epoxyG.likely / 1000), grams, 'more', 'less'),
    },
    {
      key: 'resin', heading: 'Resin left at her launch', best: 'most', better: 1,
      value: (o) => (o.resin.length === 0 ? null : tenths(Math.min(...o.resin.map((r) => r.milli)) / 1_000_000)),
      text: (o) => (o.resin.length === 0 ? 'she takes none of the stores’' : o.resin.map((r) => leftWords(w, r)).join('; ')),
      difference: (o, f) => resinDifference(w, o, f),
    },
    {
      key: 'short', heading: 'Missing for her', best: 'least', better: -1,
      // Amounts of different things don't compare: only lacking nothing of one's own is best.
      value: (o) => Math.min(1, ownShort(o, results).length), text: (o) => shortWords(w, o, results),
      difference: () => '',
    },
    {
      key: 'others', heading: 'Other builds', best: '', better: 0,
      value: () => null, text: (o) => othersWords(w, o), difference: () => '',
    },
  ]
  return all.filter((f) => f !== false)
}

function panelFigures(w: Words, results: Results): Figure[] {
  const club = w.club ?? null
  const first = results.options[0]?.panel
  if (!first || results.options.some((o) => o.panel === null)) return []
  const times = (own: number, its: number, as: string): string => {
    const ratio = own / its
    return Math.abs(ratio - 1) < 0.005 ? '' : `${number(ratio, club, ratio < 10 ? 2 : 1)} times ${as}`
  }
  const stiffness = (key: 'along' | 'across'): Figure => ({
    key, heading: `${first.name}: stiffness ${key}`, best: 'stiffest', better: 1,
    value: (o) => (o.panel ? Number(o.panel[key].toPrecision(3)) : null),
    text: (o) => (o.panel ? `${number(Number(o.panel[key].toPrecision(3)), club, 1)} N·m²/m` : ''),
    difference: (o, f) => (o.panel && f.panel ? times(o.panel[key], f.panel[key], 'as stiff') : ''),
  })
  return [
    stiffness('along'), stiffness('across'),
    {
      key: 'deflection', heading: `${first.name}: gives under a person`, best: 'least', better: -1,
      value: (o) => (o.panel ? tenths(o.panel.deflectionMm) : null),
      text: (o) => (o.panel ? `${small(o.panel.deflectionMm, club)} between frames ${small(Math.round(o.panel.spanMm), club)} apart` : ''),
      difference: (o, f) => (o.panel && f.panel ? times(o.panel.deflectionMm, f.panel.deflectionMm, 'as much') : ''),
    },
  ]
}

const tenths = (n: number): number => Math.round(n * 10) / 10

/** "412 € (380 € to 450 €)": likely first, then from the least to the most where they differ as they are told. */
function range({ low, likely, high }: { low: number; likely: number; high: number }, text: (n: number) => string): string {
  const [a, b, c] = [text(low), text(likely), text(high)]
  return a === b && b === c ? b : `${b} (${a} to ${c})`
}

function differs(by: number, text: (n: number) => string, more: string, less: string): string {
  const size = Math.round(Math.abs(by) * 1000) / 1000
  return size === 0 ? '' : `${text(size)} ${by > 0 ? more : less}`
}

const weeksTo = ({ launch }: OptionResult, now: number): number | null => (launch ? Math.max(0, Math.round((launch.start - now) / WEEK)) : null)

/** A launch compares by its day, or by its week where people are only assumed to come. */
function launchDate(w: Words, { launch }: OptionResult): number | null {
  if (!launch) return null
  const day = Math.round(Date.parse(`${w.times.localDate(launch.start)}T00:00:00Z`) / 60_000 / DAY)
  // 1970-01-05 was a Monday: day 4.
  return launch.projected ? day - ((day - 4) % 7) : day
}

function launchDifference(w: Words, o: OptionResult, f: OptionResult): string {
  const [own, its] = [launchDate(w, o), launchDate(w, f)]
  if (own === null || its === null) return ''
  const days = own - its
  if (days === 0) return ''
  const far = o.launch?.projected || f.launch?.projected
  const size = Math.abs(days)
  const text = far || size >= 14 ? plural(Math.max(1, Math.round(size / 7)), 'week') : plural(size, 'day')
  return `${text} ${days > 0 ? 'later' : 'sooner'}`
}

const leftWords = (w: Words, { milli, name, unit }: StockLeft): string => (milli < 0 ? `no ${name}: ${much(w, { unit }, -milli)} too little` : `${much(w, { unit }, milli)} ${name}`)

function resinDifference(w: Words, o: OptionResult, f: OptionResult): string {
  const parts = o.resin.flatMap((r) => {
    const its = f.resin.find((x) => x.itemId === r.itemId)
    const by = its ? r.milli - its.milli : 0
    return Math.abs(by) < 50_000 ? [] : [`${much(w, { unit: r.unit }, Math.abs(by))} ${by > 0 ? 'more' : 'less'} ${r.name}`]
  })
  return parts.join('; ')
}

/** Of what is missing, what is not missing alike with every option. */
const ownShort = (o: OptionResult, { options }: Results): StockLeft[] =>
  o.short.filter((s) => !options.every((x) => x.short.some((y) => y.itemId === s.itemId && y.milli === s.milli)))

function shortWords(w: Words, o: OptionResult, results: Results): string {
  const own = ownShort(o, results)
  const alike = o.short.length - own.length
  const rest = alike === 0 ? '' : `${alike === 1 ? 'one item' : `${alike} items`} that ${results.options.length === 2 ? 'both' : 'all'} lack alike`
  if (own.length === 0) return rest === '' ? 'nothing' : `only ${rest}`
  return [...own.map((s) => `${much(w, s, s.milli)} ${s.name}`), ...(rest === '' ? [] : [`and ${rest}`])].join('; ')
}

function othersWords(w: Words, { others }: OptionResult): string {
  if (others.length === 0) return 'keep their launches'
  const known = others.filter((x) => w.names.builds.has(x.buildId)).map(({ buildId, from, to }) => {
    const name = buildName(w, buildId)
    if (to === null) return `${name} has no launch date any more`
    if (from === null) return `${name} has a launch date: ${launchDay(w, to)}`
    return `${name}: ${launchDay(w, to)} instead of ${launchDay(w, from)}`
  })
  const unseen = others.length - known.length
  return list([...known, ...(unseen > 0 ? [`${unseen === 1 ? 'one build' : `${unseen} builds`} of another team ${unseen === 1 ? 'moves' : 'move'} too`] : [])])
}

type Win = { readonly superlative: string; readonly winners: ReadonlySet<number> }

const SUPERLATIVES: readonly (readonly [RowKey, string])[] = [
  ['cost', 'cheapest'], ['launch', 'soonest'], ['mass', 'lightest'], ['along', 'stiffest'], ['left', 'the least work'],
]

/** Which option wins at what, in plain sentences: the one that wins most first, the others beside it. */
export function verdict(w: Words, options: readonly Pick<SheetOption, 'name'>[], results: Results, seen: Seen): string {
  const wins = winsOf(optionRows(w, results, seen))
  if (wins.length === 0) return 'By these figures the options come out the same.'
  const name = (n: number): string => options[n]?.name ?? ''
  const alone = options.map((_, n) => wins.filter((x) => x.winners.size === 1 && x.winners.has(n)).map((x) => x.superlative))
  const lead = alone.reduce((best, own, n) => (own.length > (alone[best]?.length ?? 0) ? n : best), 0)
  const winners = [lead, ...options.keys()].filter((n, at, all) => (alone[n]?.length ?? 0) > 0 && all.indexOf(n) === at)
  const sentences = winners.map((n, at) => {
    const what = `${name(n)} is ${list(alone[n] ?? [])}`
    const beside = at === 0 ? [] : besideWords(w, results, seen, n, lead, alone[n] ?? [])
    return beside.length === 0 ? what : `${what}: beside ${name(lead)} it ${list(beside)}`
  })
  const shared = wins.filter((x) => x.winners.size > 1)
  const alike = [...new Set(shared.map((x) => [...x.winners].join()))].map((key) => {
    const [first] = shared.filter((x) => [...x.winners].join() === key)
    const what = shared.filter((x) => [...x.winners].join() === key).map((x) => x.superlative)
    return `${list([...(first?.winners ?? [])].map(name))} are ${list(what)} alike`
  })
  return [...sentences, ...alike, ...(seen.money ? unpricedWords(results) : [])].map(sentence).join(' ')
}

/** What the cost leaves out is said where the cost is compared. */
function unpricedWords({ options }: Results): string[] {
  const names = [...new Set(options.flatMap((o) => o.unpriced.map((u) => u.material)))].sort()
  return names.length === 0 ? [] : [`No price is known for ${list(names)}, so the cost is compared without`]
}

function winsOf(rows: readonly Row[]): Win[] {
  return SUPERLATIVES.flatMap(([key, superlative]): Win[] => {
    const row = rows.find((r) => r.key === key)
    const winners = new Set((row?.cells ?? []).flatMap((c, n) => (c.isBest ? [n] : [])))
    return winners.size === 0 ? [] : [{ superlative, winners }]
  })
}

/** "is 0.4 kg lighter, costs 1.9 times as much and is launched 2 weeks later", beside the option that wins most. */
function besideWords(w: Words, results: Results, seen: Seen, n: number, lead: number, won: readonly string[]): string[] {
  const [own, its] = [results.options[n], results.options[lead]]
  if (!own || !its) return []
  const club = w.club ?? null
  const kg = differs(tenths(own.kg.likely) - tenths(its.kg.likely), (x) => mass(x * 1000, club), 'heavier', 'lighter')
  const when = launchDifference(w, own, its)
  const work = differs(Math.round(own.leftMin / 60) - Math.round(its.leftMin / 60), (h) => `${number(h, club, 0)} h`, 'more', 'less')
  const stiff = own.panel && its.panel && its.panel.along > 0 ? own.panel.along / its.panel.along : 1
  const isWeight = kg !== '' && (won.includes('lightest') || kg.endsWith('heavier'))
  return [
    isWeight ? `is ${kg}` : '',
    won.includes('stiffest') && stiff > 1.005 ? `${isWeight ? '' : 'is '}${number(stiff, club, 1)} times as stiff` : '',
    seen.money ? costWords(own.cents.likely, its.cents.likely, club) : '',
    won.includes('the least work') || won.includes('soonest') || when === '' ? work && `takes ${work}` : '',
    when === '' ? '' : `is launched ${when}`,
  ].filter((x) => x !== '')
}

function costWords(own: number, its: number, club: Words['club'] & object | null): string {
  if (its > 0 && own / its >= 1.5) return `costs ${number(own / its, club, 1)} times as much`
  const by = differs(Math.round(own / 100) - Math.round(its / 100), (n) => wholeMoney(n * 100, club), 'more', 'less')
  return by === '' ? '' : `costs ${by}`
}
