/** Cautions of what is planned, each thing warned of once. */
export type Warned = { readonly caution: string; readonly dusty: boolean; readonly product: { readonly hazard: string } | null }

export function cautionsOf(tasks: readonly Warned[]): { texts: string[]; hasResin: boolean; hasDust: boolean } {
  const all = tasks.flatMap((t) => [t.caution, t.product?.hazard ?? '']).filter((t) => t !== '')
  // Texts that begin alike warn of the same thing in other words.
  const texts = [...new Map(all.map((t) => [t.split(/[:.]/)[0], t])).values()]
  return { texts, hasResin: tasks.some((t) => t.product !== null), hasDust: tasks.some((t) => t.dusty) }
}
