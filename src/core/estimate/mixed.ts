/** Mixes of epoxy and filler, by true densities. */
import { notNegative } from './spread.ts'

/** Mass in g and true (not bulk) density in g/cm³. */
export interface Part { readonly mass: number; readonly density: number }
export interface Mix {
  readonly mass: number
  /** cm³, no air in it. */
  readonly volume: number
  /** g/cm³ */
  readonly density: number
  /** Share of the volume that each part takes, in the order given. */
  readonly shares: readonly number[]
}

/** Density Σm / Σ(m/ρ) and volume shares (rule of mixtures). @throws RangeError for nothing, a negative mass or a density not above 0. */
export function filledMix(parts: readonly Part[]): Mix {
  const volumes = parts.map(({ mass, density }) => {
    if (!(density > 0)) throw new RangeError(`a density is above 0, got ${density}`)
    return notNegative(mass, 'mass') / density
  })
  const volume = volumes.reduce((a, b) => a + b, 0)
  if (!(volume > 0)) throw new RangeError('a mix has something in it')
  const mass = parts.reduce((sum, part) => sum + part.mass, 0)
  return { mass, volume, density: mass / volume, shares: volumes.map((v) => v / volume) }
}

/** What goes into `volumeMl` of a mix of 100 g of epoxy with `fillerPer100` g of filler: grams of each, by true densities. */
export function mixForVolume(
  volumeMl: number, epoxyDensity: number, fillerPer100: number, fillerDensity: number,
): { epoxyG: number; fillerG: number; density: number } {
  const mix = filledMix([{ mass: 100, density: epoxyDensity }, { mass: fillerPer100, density: fillerDensity }])
  const hundreds = notNegative(volumeMl, 'volume') / mix.volume
  return { epoxyG: hundreds * 100, fillerG: hundreds * fillerPer100, density: mix.density }
}
