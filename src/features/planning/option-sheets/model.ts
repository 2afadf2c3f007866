/** What an option sheet asks, and what came of each of its options. Kept as JSON in the sheet's row, so only plain values. */
import type { MaterialUnit, Spread } from '../../../core/estimate/types.ts'
import type { Slot } from '../model.ts'
import type { StockUnit } from '../stock-model.ts'

export const MOST_OPTIONS = 4
/** Measurements that one sheet may vary. */
export const MOST_VARIED = 4

/** A measurement of the build's job list that may be varied, as it is now. */
export type Lever = {
  readonly key: string
  readonly label: string
  readonly unit: string
  /** Only where it is chosen from a few. */
  readonly choices: readonly { readonly value: number; readonly label: string }[]
  readonly min: number
  readonly max: number
  /** Where 0 means "none": the least there can be otherwise. */
  readonly leastIfAny: number | null
  readonly group: string
  /** A change of it is for the designer to allow. */
  readonly isStructural: boolean
  readonly now: number
  readonly isGuess: boolean
}

/** Cents a unit: a kilogram where the unit is g, a litre where it is ml. */
export type TypedPrice = { readonly cents: number; readonly unit: MaterialUnit }

export type SheetOption = {
  readonly name: string
  /** Every varied measurement, SI. */
  readonly values: Readonly<Record<string, number>>
  /** What people said that materials cost which the stores have no price for; the same in every option of a sheet. */
  readonly prices: Readonly<Record<string, TypedPrice>>
}

/** The panel that the sheet is about, usually the bottom, as a strip between two frames. A comparison, not scantlings. */
export type PanelResult = {
  readonly name: string
  readonly thicknessMm: number
  readonly kgPerM2: number
  /** Bending stiffness along and across the boat, N·m for a metre's width. */
  readonly along: number
  readonly across: number
  readonly spanMm: number
  readonly deflectionMm: number
}

export type StockLeft = {
  readonly itemId: string
  readonly name: string
  readonly unit: StockUnit
  /** On hand and on order by then, less what the plan takes up to her launch; thousandths of the unit, below 0: missing. */
  readonly milli: number
}
export type Unpriced = { readonly material: string; readonly unit: MaterialUnit; /** Likely amount, in the unit. */ readonly amount: number }

export type OptionResult = {
  /** Nothing differed from how she was when it was worked out. */
  readonly isAsSheIs: boolean
  /** What all her materials cost, cents: those with a price in the stores or on the sheet. */
  readonly cents: Spread
  /** Materials with no price at all: they are not in it. */
  readonly unpriced: readonly Unpriced[]
  readonly kg: Spread
  readonly epoxyG: Spread
  readonly sheets: number
  readonly panel: PanelResult | null
  /** Of the whole boat, by the job list. */
  readonly hours: Spread
  /** Still to be done, in the plan: minutes. */
  readonly leftMin: number
  readonly launch: Slot | null
  /** Why there is no launch date; null: there is one. */
  readonly whyNot: string | null
  /** Recoat windows that the plan lets go. */
  readonly missed: number
  /** Resin and hardener of the systems she takes. */
  readonly resin: readonly StockLeft[]
  /** What is missing for her and would have to be ordered. */
  readonly short: readonly StockLeft[]
  /** Launches of other builds that come out otherwise than with her as she is. */
  readonly others: readonly { readonly buildId: string; readonly from: Slot | null; readonly to: Slot | null }[]
  readonly tasks: { readonly redone: number; readonly added: readonly string[]; readonly removed: readonly string[]; readonly kept: readonly string[] }
}

/** What differs from how she is now: a figure that stays is not written down as if somebody had measured it. */
export function changeOf(values: Readonly<Record<string, number>>, levers: readonly Pick<Lever, 'key' | 'now'>[]): Record<string, number> {
  return Object.fromEntries(levers.flatMap(({ key, now }) => (key in values && values[key] !== now ? [[key, values[key] ?? now]] : [])))
}

/** Of a change, what the designer is asked about. */
export const structuralIn = (change: Readonly<Record<string, number>>, levers: readonly Lever[]): Lever[] => levers.filter((l) => l.isStructural && l.key in change)

export type Results = {
  /** The build's version and the plan that it was worked out beside. */
  readonly buildVersion: number
  readonly planId: string | null
  /** Instant from which weeks are counted. */
  readonly now: number
  readonly options: readonly OptionResult[]
}
