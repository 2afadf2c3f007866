import { ok, refuse, type Result } from '../result.ts'
import { milligrams, type Milligrams } from '../units/index.ts'
import { areDensities, massRatio, type Densities, type MassRatio, type Ratio } from './ratio.ts'
import { largestRemainder } from './shares.ts'

export type Measure = 'mass' | 'volume' | 'strokes'

export type MixingQuestion = {
  /** Mixed mass that the job needs. */
  readonly mass: Milligrams
  readonly ratio: Ratio
  /** g/cm³ (mg per µl) of the two parts; needed where ratio and measure are not of one kind, and for any card by volume. */
  readonly densities: Densities | null
  readonly by: Measure
  /** Step of the scale (mg) or of the measuring cup (µl). By strokes it has no meaning. */
  readonly stepMilli: number
  /** Most that may be mixed in one batch: a batch that is too large heats up by itself. */
  readonly limit: Milligrams
  /**
   * Pot life as the data sheet states it, with the mass it was stated for where it says one. It is never scaled: no law from mass to
   * pot life is published. A batch of more than that mass has less time than this; the card says so.
   */
  readonly potLife?: { readonly minutes: number; readonly statedFor?: Milligrams | null } | null
  /** How many spread from one batch at a time, at least 1. */
  readonly people: number
  /** Minutes in which one person uses up a batch of `limit`; without it pot life limits nothing. */
  readonly minutesPerBatch?: number | null
  /** What one stroke of each pump gives, as weighed. */
  readonly stroke?: { readonly aMg: Milligrams; readonly bMg: Milligrams } | null
}

/** Of one measure all through: mg, µl or whole strokes; `total` is a + b. */
export type MixLine = { readonly a: number; readonly b: number; readonly total: number }

export type MixingCard = {
  readonly measure: Measure
  readonly lines: readonly MixLine[]
  /** The sums of the columns. */
  readonly sum: MixLine
  /** What each line weighs, for the draws of the two parts; not to be shown within a line of another measure. */
  readonly masses: readonly { readonly a: Milligrams; readonly b: Milligrams }[]
  /** What the whole card gives: never less than was asked. */
  readonly gives: { readonly a: Milligrams; readonly b: Milligrams; readonly total: Milligrams }
  /** What keeps the batches from being fewer. */
  readonly binds: 'one-batch' | 'mass' | 'pot-life'
  /** Most that a batch may be by what binds. */
  readonly most: Milligrams
  /** Largest share by which a line's B for its A is off the ratio, for its steps are coarse: 0.02 is 2 %. */
  readonly offRatio: number
  /** Some batch is larger than the mass its pot life was stated for: it goes off sooner than stated. */
  readonly abovePotLifeMass: boolean
}

export type MixingRefusal =
  | { readonly kind: 'nothing' | 'no-density' | 'no-stroke' | 'bad-step' | 'bad-people' | 'bad-time' }
  /** A batch may be of at most this, which is less than the step, set of strokes or measure can portion. */
  | { readonly kind: 'limit-too-small'; readonly most: Milligrams; readonly by: 'mass' | 'pot-life' }
  /** In this step some batch would be off the ratio by more than 5 %. A little more, where that helps, would not. */
  | { readonly kind: 'step-too-coarse'; readonly mixInstead: Milligrams | null }
  /** No small whole number of strokes of each comes within 5 % of the ratio: the pumps are another product's, or give short strokes. */
  | { readonly kind: 'pump-off-ratio'; readonly a: number; readonly b: number; readonly off: number }
  | { readonly kind: 'too-many'; readonly batches: number }

type Outcome = Result<MixingCard, MixingRefusal>

export const MOST_BATCHES = 500
/** How far a batch may be off the ratio, by its pumps or by rounding to the step; common practice, no source. */
const RATIO_TOLERANCE = 0.05
/** A mixing that its step is too coarse for is tried again with up to so many steps more. */
const STEPS_MORE = 50
const MOST_STROKES_OF_A_SET = 12

/**
 * Splits a mixed mass into the fewest batches that the mass limit, and pot life with the people at hand, allow: as equal as can be,
 * each figure in the step. Columns are shared by largest remainder, so both columns and the totals add up, and each line too.
 */
export function mixingCard(question: MixingQuestion): Outcome {
  const { mass, ratio, densities, by, stepMilli, people, stroke } = question
  if (!(mass > 0)) return refuse({ kind: 'nothing' })
  if (!Number.isSafeInteger(people) || people < 1) return refuse({ kind: 'bad-people' })
  if (by !== 'strokes' && (!Number.isSafeInteger(stepMilli) || stepMilli <= 0)) return refuse({ kind: 'bad-step' })
  const byMass = massRatio(ratio, densities)
  if (!byMass.ok) return byMass
  const cap = capOf(question)
  if (!cap.ok) return cap
  if (by === 'strokes') return stroke == null ? refuse({ kind: 'no-stroke' }) : byStrokes(question, byMass.value, stroke, cap.value)
  if (by === 'volume' && !areDensities(densities)) return refuse({ kind: 'no-density' })
  const density = by === 'volume' && areDensities(densities) ? densities : { a: 1, b: 1 }
  const found = byScale(question, byMass.value, density, cap.value)
  if (found.ok || found.refusal.kind !== 'step-too-coarse') return found
  for (let more = 1; more <= STEPS_MORE; more++) {
    const larger = byScale({ ...question, mass: milligrams(mass + more * stepMilli) }, byMass.value, density, cap.value)
    if (larger.ok) return refuse({ kind: 'step-too-coarse', mixInstead: larger.value.gives.total })
  }
  return found
}

type Cap = { readonly most: Milligrams; readonly by: 'mass' | 'pot-life' }

/** A batch of m takes the people minutesPerBatch × m ÷ limit ÷ people to use up, which pot life must cover. */
function capOf({ limit, potLife, people, minutesPerBatch }: MixingQuestion): Result<Cap, MixingRefusal> {
  if (!(limit > 0)) return refuse({ kind: 'limit-too-small', most: milligrams(0), by: 'mass' })
  if ((potLife != null && !(potLife.minutes > 0)) || (minutesPerBatch != null && !(minutesPerBatch > 0))) return refuse({ kind: 'bad-time' })
  if (potLife == null || minutesPerBatch == null) return ok({ most: limit, by: 'mass' })
  const inTime = Math.floor((limit * potLife.minutes * people) / minutesPerBatch)
  return ok(inTime < limit ? { most: milligrams(inTime), by: 'pot-life' } : { most: limit, by: 'mass' })
}

/** In steps of `stepMilli` of mass (density 1) or of volume. */
function byScale({ by, mass, stepMilli, potLife }: MixingQuestion, ratio: MassRatio, density: Densities, cap: Cap): Outcome {
  const volume = { a: ratio.a / density.a, b: ratio.b / density.b }
  const shareOfA = volume.a / (volume.a + volume.b)
  const perStep = stepMilli * (shareOfA * density.a + (1 - shareOfA) * density.b)
  const weigh = (a: number, b: number) => ({ a: milligrams(Math.round(a * density.a)), b: milligrams(Math.round(b * density.b)) })
  const weight = (a: number, b: number): number => weigh(a, b).a + weigh(a, b).b

  // By volume, rounding may come out on the side of the lighter part: then a step more.
  let steps = Math.max(2, ceil(mass / perStep))
  let stepsOfA = nearest(steps * shareOfA, steps)
  while (weight(stepsOfA * stepMilli, (steps - stepsOfA) * stepMilli) < mass) {
    steps += 1
    stepsOfA = nearest(steps * shareOfA, steps)
  }

  const most = Math.floor(cap.most / perStep + 1e-9)
  if (most < 2) return refuse({ kind: 'limit-too-small', ...cap })
  for (let batches = Math.ceil(steps / most); batches <= Math.min(MOST_BATCHES, steps); batches++) {
    const totals = largestRemainder(steps, Array.from({ length: batches }, () => 1))
    const columnA = largestRemainder(stepsOfA, totals)
    const lines = totals.map((total, i) => line(columnA[i]! * stepMilli, (total - columnA[i]!) * stepMilli))
    // By volume a line's mass depends on how its parts were rounded.
    if (lines.some(({ a, b }) => weight(a, b) > cap.most)) continue
    const isOff = ({ a, b }: MixLine): boolean => a === 0 || deviation(a * density.a, b * density.b, ratio) > RATIO_TOLERANCE
    if (lines.some(isOff)) return refuse({ kind: 'step-too-coarse', mixInstead: null })
    return ok(card(by, lines, lines.map(({ a, b }) => weigh(a, b)), ratio, cap, potLife))
  }
  return refuse({ kind: 'too-many', batches: Math.ceil(steps / most) })
}

function byStrokes({ mass, potLife }: MixingQuestion, ratio: MassRatio, stroke: { aMg: Milligrams; bMg: Milligrams }, cap: Cap): Outcome {
  if (!(stroke.aMg > 0 && stroke.bMg > 0)) return refuse({ kind: 'no-stroke' })
  const set = setOfStrokes(ratio, stroke)
  if (set.off > RATIO_TOLERANCE) return refuse({ kind: 'pump-off-ratio', ...set })
  const perSet = set.a * stroke.aMg + set.b * stroke.bMg
  const most = Math.floor(cap.most / perSet)
  if (most < 1) return refuse({ kind: 'limit-too-small', ...cap })
  const sets = Math.ceil(mass / perSet)
  const batches = Math.ceil(sets / most)
  if (batches > MOST_BATCHES) return refuse({ kind: 'too-many', batches })
  const lines = largestRemainder(sets, Array.from({ length: batches }, () => 1)).map((n) => line(n * set.a, n * set.b))
  const masses = lines.map(({ a, b }) => ({ a: milligrams(a * stroke.aMg), b: milligrams(b * stroke.bMg) }))
  return ok(card('strokes', lines, masses, ratio, cap, potLife))
}

/** The fewest strokes of each that keep to the ratio; where none does, the nearest. */
function setOfStrokes(ratio: MassRatio, stroke: { aMg: number; bMg: number }): { a: number; b: number; off: number } {
  let nearestSet = { a: 1, b: 1, off: Infinity }
  for (let strokes = 2; strokes <= MOST_STROKES_OF_A_SET; strokes++) {
    for (let a = 1; a < strokes; a++) {
      const b = strokes - a
      const off = deviation(a * stroke.aMg, b * stroke.bMg, ratio)
      if (off < nearestSet.off) nearestSet = { a, b, off }
    }
    if (nearestSet.off <= RATIO_TOLERANCE) break
  }
  return nearestSet
}

function card(
  measure: Measure, lines: readonly MixLine[], masses: MixingCard['masses'], ratio: MassRatio, cap: Cap, potLife: MixingQuestion['potLife'],
): MixingCard {
  const a = milligrams(masses.reduce((sum, one) => sum + one.a, 0))
  const b = milligrams(masses.reduce((sum, one) => sum + one.b, 0))
  const statedFor = potLife?.statedFor ?? null
  return {
    measure,
    lines,
    sum: line(lines.reduce((sum, one) => sum + one.a, 0), lines.reduce((sum, one) => sum + one.b, 0)),
    masses,
    gives: { a, b, total: milligrams(a + b) },
    binds: lines.length === 1 ? 'one-batch' : cap.by,
    most: cap.most,
    offRatio: Math.max(...masses.map((one) => deviation(one.a, one.b, ratio))),
    abovePotLifeMass: statedFor !== null && masses.some((one) => one.a + one.b > statedFor),
  }
}

const line = (a: number, b: number): MixLine => ({ a, b, total: a + b })

/** Share by which b for a is off the ratio. */
const deviation = (a: number, b: number, ratio: MassRatio): number => Math.abs((b * ratio.a) / (a * ratio.b) - 1)

/** Up, but for what is a hair above a whole number by floating point alone. */
const ceil = (n: number): number => Math.ceil(n - 1e-9)

/** Whole steps of one part of a total, at least one of each. */
const nearest = (n: number, total: number): number => Math.min(total - 1, Math.max(1, Math.floor(n + 0.5)))
