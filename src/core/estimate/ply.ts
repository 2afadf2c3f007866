import type { Ply, PlySpecies } from './types.ts'

/** One veneer. Its grain runs along the face grain, or across it. */
export interface Veneer {
  readonly thicknessMm: number
  readonly isAlong: boolean
}

/** A sheet's veneers from one face to the other, with the modulus of a veneer along its grain and across it, N/mm². */
export interface LayUp {
  readonly veneers: readonly Veneer[]
  readonly alongGrain: number
  readonly acrossGrain: number
}

export interface PlyFacts {
  /** Modulus of a veneer along its grain, N/mm². */
  readonly alongGrain: number
  /** Across its grain, N/mm². */
  readonly acrossGrain: number
  /** Of the finished sheet at 12 % moisture, kg/m³. */
  readonly density: number
  /** Veneers of a sheet up to this thickness, mm, thinnest first; thicker than the last: one veneer for about 1.4 mm, odd. */
  readonly veneers: readonly (readonly [upToMm: number, count: number])[]
  readonly source: string
}

/** Cross plies count with a twentieth of the modulus along the grain (USDA FPL-059, summary read; the twentieth from memory). */
const CROSS_SHARE = 1 / 20

const SHEET_VENEERS = [[5, 3], [8, 5], [10, 7], [13, 9]] as const
const LAY_UPS = 'Veneers of a thickness: common practice, no source; count those of your own sheet.'
const wood = (alongGrain: number, density: number, source: string): PlyFacts =>
  ({ alongGrain, acrossGrain: alongGrain * CROSS_SHARE, density, veneers: SHEET_VENEERS, source: `${source} ${LAY_UPS}` })

/** Modulus and mass of the woods that sheets are made of. */
export const plySpecies: Readonly<Record<PlySpecies, PlyFacts>> = {
  okoume: wood(7900, 450, 'E 7.9 GPa (USDA FPL tech sheet, Chudnoff: 7.894, read), sheets 450 kg/m³ on average (supplier, read).'),
  sapele: wood(12_500, 600, 'E 12.5 GPa (Wood Handbook, from memory), sheets 550 to 650 kg/m³ (from memory).'),
  birch: {
    ...wood(17_500, 680, 'E 17.5 GPa, cross plies as nothing (Handbook of Finnish Plywood, from memory), about 680 kg/m³ (from memory).'),
    acrossGrain: 0, veneers: [[3.3, 3], [5, 3], [7, 5], [9.9, 7], [12.9, 9]],
  },
  fir: wood(12_100, 540, 'European-grown Douglas-fir: E 12.1 GPa, 540 kg/m³ (timber trade, read; American 13.4 GPa).'),
}

/** As a person calls them, and as materials' names begin. */
export const speciesNames: Readonly<Record<PlySpecies, string>> = { okoume: 'Okoume', sapele: 'Sapele', birch: 'Birch', fir: 'Fir' }

/**
 * Veneers of equal thickness, alternately along and across, both faces along.
 * @throws RangeError unless the thickness is above 0.
 */
export function layUpOf({ species, thicknessMm }: Ply): LayUp {
  if (!(thicknessMm > 0) || !Number.isFinite(thicknessMm)) throw new RangeError(`a sheet of ${thicknessMm} mm is none`)
  const facts = plySpecies[species]
  const count = facts.veneers.find(([upToMm]) => thicknessMm <= upToMm)?.[1] ?? 2 * Math.round(thicknessMm / 1.4 / 2 - 0.5) + 1
  const veneers = Array.from({ length: count }, (_, i): Veneer => ({ thicknessMm: thicknessMm / count, isAlong: i % 2 === 0 }))
  return { veneers, alongGrain: facts.alongGrain, acrossGrain: facts.acrossGrain }
}

export interface PlyBending {
  readonly thicknessMm: number
  /** Second moment of the whole section about the mid-plane, mm⁴ for each mm of width. */
  readonly inertia: number
  /** N/mm², as if the sheet were one material. */
  readonly eAlong: number
  readonly eAcross: number
  /** N·mm² for each mm of width. */
  readonly eiAlong: number
  readonly eiAcross: number
}

/**
 * Bending of plywood about its mid-plane: E_eff = ΣEi·Ii/I, Ii = ti³/12 + ti·di² (mm⁴ for each mm of width), I = t³/12.
 * Source: USDA FPL Research Note FPL-059 (1964, summary read) and ANC-18 §2.5 (contents read); formula from memory.
 * @throws RangeError without veneers, or with one of no thickness.
 */
export function plyBending(layUp: LayUp): PlyBending {
  const { veneers, alongGrain, acrossGrain } = layUp
  if (veneers.length === 0 || veneers.some((v) => !(v.thicknessMm > 0))) throw new RangeError('every veneer needs a thickness above 0')
  const thicknessMm = veneers.reduce((sum, v) => sum + v.thicknessMm, 0)
  const inertia = thicknessMm ** 3 / 12
  let [eiAlong, eiAcross, at] = [0, 0, 0]
  for (const v of veneers) {
    const d = at + v.thicknessMm / 2 - thicknessMm / 2
    const own = v.thicknessMm ** 3 / 12 + v.thicknessMm * d ** 2
    eiAlong += own * (v.isAlong ? alongGrain : acrossGrain)
    eiAcross += own * (v.isAlong ? acrossGrain : alongGrain)
    at += v.thicknessMm
  }
  return { thicknessMm, inertia, eAlong: eiAlong / inertia, eAcross: eiAcross / inertia, eiAlong, eiAcross }
}

/** kg/m² of bare sheet: thickness × density. */
export const plyMass = ({ species, thicknessMm }: Ply): number => (thicknessMm / 1000) * plySpecies[species].density

/** kg of a sheet: length × width × thickness × density (kg/m³). */
export const sheetMass = (lengthMm: number, widthMm: number, thicknessMm: number, density: number): number =>
  (lengthMm / 1000) * (widthMm / 1000) * (thicknessMm / 1000) * density

/** How many times as stiff `toMm` is as `fromMm`: (to/from)³. For the same species and build-up only. */
export const stiffnessRatio = (fromMm: number, toMm: number): number => (toMm / fromMm) ** 3
