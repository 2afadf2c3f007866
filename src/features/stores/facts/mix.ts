/** A mixing card from what was asked: defaults, and refusals in words at the field that mends them. Pure. */
import { massRatio, mixingCard, parseRatio, type Densities, type MixingRefusal, type Ratio } from '../../../core/stock/index.ts'
import { milligrams } from '../../../core/units/index.ts'
import { ok, refuse, type Result } from '../../../core/result.ts'
import type { MixShown, MixSource, MixValues, PotNow } from '../../../../views/shared/mixing-types.ts'
import type { MixAsk } from '../schemas/mix.ts'

/** What can be mixed, with all that its data sheet and the club say about it. */
export type Mixable = MixSource & {
  ratio: Ratio | null
  densityA: number | null
  densityB: number | null
  limitMg: number
  stepMg: number
  strokes: { aMg: number; bMg: number } | null
  potEnergy: number
  hasSystem: boolean
}

/** Common practice, no source: a batch that stays cool in a flat tray, a kitchen scale, a cup's marks, a person at a steady pace. */
export const USUAL = { limitMg: 300_000, stepMg: 1000, stepMicrolitres: 5000, minutes: 10, people: 1 } as const

export const TYPED: Mixable = {
  productId: null, name: 'Typed ratio', resin: 'Resin', hardener: 'Hardener', hazard: '', potLife: null, ratio: null, densityA: null, densityB: null,
  limitMg: USUAL.limitMg, stepMg: USUAL.stepMg, strokes: null, potEnergy: 55, hasSystem: false,
}

type Fields = Record<string, string>
export type MixRefusal = { status: 422; message: string; fields: Fields }
const at = (field: string, message: string) => refuse<MixRefusal>({ status: 422, message: 'There is no card yet: see the note at the field.', fields: { [field]: message } })

export type MixDefaults = { massMg?: number | null; people?: number | null }

/** What the fields show before anybody typed. What the product says stays out of them: it must not stick when another is chosen. */
export function mixValues(source: Mixable, defaults: MixDefaults = {}): MixValues {
  return {
    product: source.productId ?? '', ratio: '', mass: defaults.massMg == null ? '' : String(defaults.massMg / 1000), by: 'mass', people: String(defaults.people ?? USUAL.people),
    minutes: String(USUAL.minutes), limit: '', step: '', densityA: '', densityB: '', strokeA: '', strokeB: '',
  }
}

/** The card, or what to change at which field. */
export function mix(source: Mixable, ask: MixAsk, potNow: PotNow | null, defaults: MixDefaults = {}): Result<MixShown, MixRefusal> {
  const ratio = ratioOf(source, ask)
  if (!ratio.ok) return ratio
  const asked = ask.mass ?? defaults.massMg ?? null
  if (asked === null) return at('mass', 'Mixed mass: say how much is needed, in grams')
  const densities = densitiesOf(source, ask)
  const byMass = massRatio(ratio.value, densities)
  if (!byMass.ok) return needsDensities(densities, ask, 'This ratio is by volume: the scale needs the densities of both parts, from the data sheet')
  const isVolume = ask.by === 'volume'
  const step = Math.round(ask.step !== null ? ask.step * 1000 : isVolume ? USUAL.stepMicrolitres : source.stepMg)
  const limitMg = ask.limit ?? source.limitMg
  const people = ask.people ?? defaults.people ?? USUAL.people
  const minutes = ask.minutes ?? (source.potLife === null ? null : USUAL.minutes)
  const strokeA = ask.strokeA ?? source.strokes?.aMg ?? null
  const strokeB = ask.strokeB ?? source.strokes?.bMg ?? null
  const stroke = strokeA === null || strokeB === null ? null : { aMg: milligrams(strokeA), bMg: milligrams(strokeB) }
  const potLife = source.potLife && { minutes: source.potLife.minutes, statedFor: source.potLife.massG === null ? null : milligrams(Math.round(source.potLife.massG * 1000)) }
  const card = mixingCard({ mass: milligrams(asked), ratio: ratio.value, densities, by: ask.by, stepMilli: step, limit: milligrams(limitMg), potLife, people, minutesPerBatch: minutes, stroke })
  if (!card.ok) return inWords(card.refusal, ask, densities, stroke, { limitMg })
  const { productId, name, resin, hardener, hazard } = source
  return ok({
    source: { productId, name, resin, hardener, hazard, potLife: source.potLife },
    card: card.value, asked, ratio: ratio.value, perHundred: (100 * byMass.value.b) / byMass.value.a, limitMg, people, minutes, step, stroke, potNow,
  })
}

function ratioOf(source: Mixable, ask: MixAsk): Result<Ratio, MixRefusal> {
  if (source.productId === null) {
    const read = parseRatio(ask.ratio)
    return read.ok ? read : at('ratio', read.refusal.message)
  }
  if (source.ratio !== null) return ok(source.ratio)
  return at('product', `${source.name} has no mix ratio yet: put it in from its data sheet, saying by mass or by volume`)
}

function densitiesOf(source: Mixable, ask: MixAsk): Densities | null {
  const a = ask.densityA ?? source.densityA
  const b = ask.densityB ?? source.densityB
  return a === null || b === null ? null : { a, b }
}

const needsDensities = (densities: Densities | null, ask: MixAsk, message: string) => at(densities === null && ask.densityA !== null ? 'densityB' : 'densityA', message)

const grams = (mg: number) => `${Math.round(mg / 100) / 10} g`

function inWords(refusal: MixingRefusal, ask: MixAsk, densities: Densities | null, stroke: unknown, { limitMg }: { limitMg: number }): Result<never, MixRefusal> {
  switch (refusal.kind) {
    case 'nothing': return at('mass', 'Mixed mass: more than nothing')
    case 'no-density': return needsDensities(densities, ask, 'By volume it takes the densities of both parts, from the data sheet')
    case 'no-stroke': return at(stroke === null && ask.strokeA !== null ? 'strokeB' : 'strokeA', 'Say what one stroke of each pump gives: pump ten into a cup, weigh it, divide by ten')
    case 'bad-step': return at('step', 'Smallest step: more than nothing')
    case 'bad-people': return at('people', 'People: at least one')
    case 'bad-time': return at('minutes', 'Minutes for a batch: more than nothing')
    case 'limit-too-small':
      return refusal.by === 'mass' ?
        at('limit', `A batch of at most ${grams(limitMg)} can’t be portioned by these steps: allow more, or measure finer`)
      : at('minutes', `Pot life leaves a batch of ${grams(refusal.most)} at most, too little to portion: more people, or a slower hardener`)
    case 'step-too-coarse':
      return refusal.mixInstead === null ?
        at('step', 'This step is too coarse for the ratio: some batch would be off by more than 5 %. Measure finer')
      : at('mass', `In this step some batch would be off the ratio by more than 5 %: mix ${grams(refusal.mixInstead)} instead, or measure finer`)
    case 'pump-off-ratio':
      return at('strokeA', `The nearest are ${refusal.a} to ${refusal.b} strokes, and they are off the ratio by ${Math.round(refusal.off * 100)} %: these pumps are another product’s, or give short strokes`)
    case 'too-many': return at('mass', `That would be ${refusal.batches} batches: check the mass and the largest batch`)
  }
}
