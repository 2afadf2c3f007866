import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { placeOrder, type NewOrderLine } from '../../stores/public.ts'
import { buyingList, type BuyLine } from '../buying.ts'
import { buyAhead } from '../queries/buying.ts'
import { loadStock } from '../queries/stock.ts'
import type { BuyingInput } from '../stock-schemas.ts'

/** Held to the end of the transaction, so that two people with the same list can't order the same twice. */
const LOCK = 7_266_011

type Bought = { readonly supplierId: string | null; readonly expectedOn: string; readonly lines: NewOrderLine[] }

/** Makes orders of the lines chosen on the buying list: one for each supplier and day on which it comes. */
export async function buy(tx: Tx, ctx: Ctx, { ask, chosen, packs }: BuyingInput): Promise<Result<Done, Refusal>> {
  await tx.$queryRaw`select pg_advisory_xact_lock(${LOCK})::text`
  const stock = await loadStock(tx, ctx.now, { packs: true })
  const lines = new Map(buyingList(buyAhead(stock, ask).ahead).flatMap((g) => g.lines).map((l) => [l.ahead.item.id, l]))
  const orders = new Map<string, Bought>()
  const fields: Record<string, string> = {}
  for (const { itemId, short } of chosen) {
    const line = lines.get(itemId)
    const item = stock.questions.find((q) => q.item.id === itemId)?.item
    if (!line || line.ahead.buy < short) {
      const less = `Less ${item?.name ?? 'of an item'} is missing than when you looked: somebody has ordered or found some.`
      return refused(409, `${less} Nothing was ordered; look at the list again.`)
    }
    const bought = linesOf(line, packs)
    if (bought.length === 0) {
      fields[`packs_${line.packs[0]?.pack.id ?? ''}`] = `${line.ahead.item.name}: no pack; untick it if none is to be ordered`
      continue
    }
    const key = `${line.supplier?.id ?? ''} ${line.ahead.arrives}`
    const order = orders.get(key) ?? { supplierId: line.supplier?.id ?? null, expectedOn: line.ahead.arrives, lines: [] }
    order.lines.push(...bought)
    orders.set(key, order)
  }
  if (Object.keys(fields).length > 0) return refused(422, 'Nothing was ordered: see the notes at the lines.', { fields })
  const made: number[] = []
  for (const order of orders.values()) {
    made.push((await placeOrder(tx, ctx, { ...order, orderedOn: stock.days.today, note: 'From the buying list' })).number)
  }
  return ok(
    { location: '/stores/buying', flash: made.length === 1 ? `Order ${made[0]} is written down.` : `Orders ${made.join(', ')} are written down.` }
  )
}

/** As many packs as the person said, else as the list has it. */
function linesOf(line: BuyLine, packs: ReadonlyMap<string, number>): NewOrderLine[] {
  return line.packs.flatMap(({ pack, count }): NewOrderLine[] => {
    const n = packs.get(pack.id) ?? count
    return n === 0 ? [] : [{ itemId: line.ahead.item.id, packId: pack.id, packs: n, qtyMilli: n * pack.milli, priceCents: n * pack.priceCents }]
  })
}
