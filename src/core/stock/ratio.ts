import { ok, refuse, type Result } from '../result.ts'
import { milligrams, type Milligrams } from '../units/index.ts'

/** Parts of A (resin) to parts of B (hardener), by what it says. */
export type Ratio = { readonly by: 'mass' | 'volume'; readonly a: number; readonly b: number }
export type MassRatio = Ratio & { readonly by: 'mass' }
/** Densities of the two parts in g/cm³. */
export type Densities = { readonly a: number; readonly b: number }

export type RatioRefusal = {
  readonly kind: 'empty' | 'not-a-ratio' | 'by-what' | 'both' | 'not-above-0' | 'out-of-range'
  /** In words for the field it was typed in. */
  readonly message: string
}

/** Beyond 1000 parts to 1 it is a slip of the pen. */
const WIDEST = 1000

const NUMBER = String.raw`(\d+(?:[.,]\d+)?)`
const PARTS = new RegExp(`^${NUMBER} ?(?::|/|to) ?${NUMBER}$`)
const BY_MASS = /\b(?:by )?(?:mass|weight|wt|pbw)\b\.?/g
const BY_VOLUME = /\b(?:by )?(?:volume|vol|pbv)\b\.?/g

/**
 * Reads a mixing ratio as people write it: '100:44 by mass', '2:1 by volume', '2 to 1 by weight', '100 : 44,5 (by mass)'.
 * '2:1' alone is refused: by volume and by mass are different mixes (2:1 by volume is about 100:43 by mass).
 */
export function parseRatio(text: string): Result<Ratio, RatioRefusal> {
  const plain = text
    .toLowerCase()
    .replace(/[()]/g, ' ')
    .replace(/[∶：]/g, ':')
    .replace(/(\d)(?=[a-z])|([a-z])(?=\d)/g, '$& ')
    .replace(/\s+/g, ' ')
    .trim()
  if (plain === '') return refuse({ kind: 'empty', message: 'Say the mix ratio, as in "100:44 by mass" or "2:1 by volume".' })
  const isMass = plain.search(BY_MASS) >= 0
  const isVolume = plain.search(BY_VOLUME) >= 0
  const figures = plain.replace(BY_MASS, ' ').replace(BY_VOLUME, ' ').replace(/\s+/g, ' ').replace(/ ?[,;] ?$/, '').trim()
  const parts = PARTS.exec(figures)
  if (parts === null) {
    return refuse({ kind: 'not-a-ratio', message: `"${text.trim()}" is no mix ratio. Write it as "100:44 by mass" or "2:1 by volume".` })
  }
  const [a, b] = [number(parts[1]!), number(parts[2]!)]
  if (!(a > 0 && b > 0)) return refuse({ kind: 'not-above-0', message: 'Both parts of a mix ratio are above 0.' })
  if (a > WIDEST * b || b > WIDEST * a) {
    return refuse({ kind: 'out-of-range', message: `A mix ratio goes up to ${WIDEST}:1. Look at the label again.` })
  }
  if (isMass && isVolume) return refuse({ kind: 'both', message: 'This says both by mass and by volume. Keep the one that the label says.' })
  if (!isMass && !isVolume) {
    return refuse({
      kind: 'by-what',
      message:
        `"${text.trim()}" does not say by what: add "by mass" or "by volume", as on the label. ` +
        'The two are different mixes, and a wrong one may never cure.',
    })
  }
  return ok({ by: isMass ? 'mass' : 'volume', a, b })
}

const number = (text: string): number => Number(text.replace(',', '.'))

export type NoDensity = { readonly kind: 'no-density' }

/** The ratio by mass: mass A:B = volume A:B × ρA/ρB. Without densities a ratio by volume can't be turned into one. */
export function massRatio(ratio: Ratio, densities: Densities | null): Result<MassRatio, NoDensity> {
  if (ratio.by === 'mass') return ok({ by: 'mass', a: ratio.a, b: ratio.b })
  if (!areDensities(densities)) return refuse({ kind: 'no-density' })
  return ok({ by: 'mass', a: ratio.a * densities.a, b: ratio.b * densities.b })
}

/** The ratio by volume: volume A:B = mass A:B × ρB/ρA. */
export function volumeRatio(ratio: Ratio, densities: Densities | null): Result<Ratio, NoDensity> {
  if (ratio.by === 'volume') return ok(ratio)
  if (!areDensities(densities)) return refuse({ kind: 'no-density' })
  return ok({ by: 'volume', a: ratio.a / densities.a, b: ratio.b / densities.b })
}

export const areDensities = (densities: Densities | null): densities is Densities =>
  densities !== null && Number.isFinite(densities.a) && densities.a > 0 && Number.isFinite(densities.b) && densities.b > 0

/** A mixed mass in its two parts, which add up to it. */
export function split(mass: Milligrams, ratio: MassRatio): { readonly a: Milligrams; readonly b: Milligrams } {
  const a = Math.round((mass * ratio.a) / (ratio.a + ratio.b))
  return { a: milligrams(a), b: milligrams(mass - a) }
}
