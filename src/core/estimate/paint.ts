/**
 * Paint by its solids and film. Formulas as coating guides print them (read): TSR = VS%·10/DFT, WFT = DFT·100/VS%.
 * `solids` is a share by volume, 0 to 1.
 */
import { notNegative } from './spread.ts'

function share(solids: number): number {
  if (!(solids > 0 && solids <= 1)) throw new RangeError(`solids by volume lie above 0 and at most at 1, got ${solids}`)
  return solids
}
function film(um: number): number {
  if (!(um > 0 && Number.isFinite(um))) throw new RangeError(`a film is thicker than 0 µm, got ${um}`)
  return um
}

/** Theoretical spreading rate in m²/L for a dry film of `filmUm` µm: VS%·10/DFT. */
export const paintSpreading = (solids: number, filmUm: number): number => (share(solids) * 1000) / film(filmUm)

/** Wet film in µm that dries to `filmUm`: DFT·100/VS%. */
export const wetFilm = (solids: number, filmUm: number): number => film(filmUm) / share(solids)

function loss(lost: number): number {
  if (!(lost >= 0 && lost < 1)) throw new RangeError(`a loss lies from 0 to below 1, got ${lost}`)
  return lost
}

/** Spreading rate in practice, m²/L: theory·(1 − loss). Loss is the share of what was taken from the tin; brush and roller 10 to 15 % (read). */
export const practicalSpreading = (solids: number, filmUm: number, lost: number): number => paintSpreading(solids, filmUm) * (1 - loss(lost))

/** Litres in theory for an area in `coats` coats. */
export function paintTheory(areaM2: number, coats: number, solids: number, filmUm: number): number {
  return (notNegative(areaM2, 'area') * notNegative(coats, 'coats')) / paintSpreading(solids, filmUm)
}

/** Litres to have: theory ÷ (1 − loss), never × (1 + loss), which is short. */
export const withLoss = (litres: number, lost: number): number => notNegative(litres, 'volume') / (1 - loss(lost))

/** kg of dry film that stays: area × coats × film × density (g/cm³). */
export function dryFilmMass(areaM2: number, coats: number, filmUm: number, dryDensity: number): number {
  return notNegative(areaM2, 'area') * notNegative(coats, 'coats') * film(filmUm) * notNegative(dryDensity, 'density') * 1e-3
}
