/** Rows of the stores as planning looks at them. Amounts are thousandths of the item's unit, times instants (minutes since 1970-01-01T00:00Z). */
export type StockUnit = 'g' | 'ml' | 'm' | 'm2' | 'pcs'

export type StockItem = {
  readonly id: string
  readonly name: string
  readonly unit: StockUnit
  readonly shelf: string
  readonly leadDays: number
  readonly safetyMilli: number
  readonly supplier: Named | null
  readonly packs: readonly StockPack[]
}
export type Named = { readonly id: string; readonly name: string }
export type StockPack = { readonly id: string; readonly name: string; readonly milli: number; readonly priceCents: number; readonly orderCode: string; readonly supplier: Named | null }

/** The club's stock by what it is good for. What must be tested first counts for nothing until a person has. */
export type There = { readonly fresh: number; readonly notStructural: number; readonly testFirst: number }

export type StockNeed = {
  readonly taskId: string
  readonly buildId: string
  /** When the plan would take it if no material were waited for; null: not planned even then. */
  readonly at: number | null
  readonly milli: number
  readonly structural: boolean
  /** As the work plan serves it, by priority of the builds: here from then on (not after the plan's now: on hand), so much taken as ordered. */
  readonly covered: number
  readonly short: number
}

export type StockOrder = {
  readonly orderId: string
  readonly number: number
  readonly supplier: string | null
  /** Expected day, local. */
  readonly due: string
  /** When it counts as here. */
  readonly at: number
  readonly milli: number
  readonly isOverdue: boolean
}

/** A system of the stores: no part of it is of use without the other. */
export type StockSystem = { readonly productId: string; readonly name: string; readonly resinId: string; readonly hardenerId: string }
