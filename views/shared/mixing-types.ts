import type { MixingCard, Ratio } from '../../src/core/stock/index.ts'

/** Something that is mixed in two parts: a cure product, or a ratio that somebody typed. */
export type MixSource = {
  /** null: typed. */
  productId: string | null
  name: string
  resin: string
  hardener: string
  hazard: string
  /** The caution of a product that is never to be sprayed or breathed stands in `hazard`. */
  potLife: { minutes: number; massG: number | null; temp: number | null } | null
}

/** How fast a pot goes in a place now, against its data sheet: for time only, never for mass. */
export type PotNow = { place: string; air: number; rate: number }

/** A mixing card with what stands around it. */
export type MixShown = {
  source: MixSource
  card: MixingCard
  /** mg, as asked. */
  asked: number
  ratio: Ratio
  /** Parts of B to 100 of A by mass. */
  perHundred: number
  limitMg: number
  people: number
  minutes: number | null
  /** mg or µl. */
  step: number
  stroke: { aMg: number; bMg: number } | null
  potNow: PotNow | null
}

/** What stands in the fields of the question at first. */
export type MixValues = Record<'product' | 'ratio' | 'mass' | 'by' | 'people' | 'minutes' | 'limit' | 'step' | 'densityA' | 'densityB' | 'strokeA' | 'strokeB', string>

export type MixLot = { id: string; number: number; leftMg: number; state: 'fresh' | 'test_first' | 'not_structural' | 'discard'; until: string | null; isOpen: boolean; mayServe: boolean }
export type PartLots = {
  itemId: string
  name: string
  /** In the order in which they are taken; those that do not serve come after. */
  lots: readonly MixLot[]
  /** First expired: what a batch of that mass would be drawn from. */
  picks: readonly { number: number; mg: number }[]
  shortMg: number
}
export type SystemLots = { resin: PartLots; hardener: PartLots }

/** A batch in the book. */
export type MixedBatch = {
  id: string
  number: number
  mixedAt: Date
  massMg: number
  ratio: string
  note: string
  by: string
  product: { name: string }
  parts: readonly { name: string; mg: number | null; lot: number; lotId: string }[]
  chargedTo: string | null
  undone: { why: string; by: string } | null
}
