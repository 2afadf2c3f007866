import { ok, type Result } from '../../../core/result.ts'
import { isTaken, type Tx } from '../../../platform/database.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { parseAmount } from '../facts/amount-text.ts'
import { itemValues } from '../queries/items.ts'
import type { ItemInput, PackInput } from '../schemas/items.ts'

type Saved = Promise<Result<Done, Refusal>>

const columns = ({ safety: _typed, safetyMilli, supplierId, ...rest }: ItemInput) => ({ ...rest, safetyMilli: BigInt(safetyMilli), supplierId })
const GONE = 'This item is not there any more.'
const CHOOSE_SUPPLIER = { fields: { supplierId: 'Supplier: choose from the list' } }

const nameTaken = (name: string) =>
  refused(422, `There is an item called “${name}” already. Nothing was changed.`, { fields: { name: 'Name: taken; choose another, or add to the one there is' } })

/** Names that differ only by capitals or spaces would be mixed up on a slip. */
async function sameName(tx: Tx, name: string, except: string | null): Promise<boolean> {
  const other = await tx.item.findFirst({ where: { name: { equals: name, mode: 'insensitive' }, ...(except && { NOT: { id: except } }) }, select: { id: true } })
  return other !== null
}

const supplierIsGone = async (tx: Tx, id: string | null): Promise<boolean> => id !== null && (await tx.supplier.findUnique({ where: { id }, select: { id: true } })) === null

export async function addItem(tx: Tx, ctx: Ctx, input: ItemInput): Saved {
  if (await sameName(tx, input.name, null)) return nameTaken(input.name)
  if (await supplierIsGone(tx, input.supplierId)) return refused(422, 'That supplier is gone.', CHOOSE_SUPPLIER)
  try {
    const item = await tx.item.create({ data: columns(input) })
    await audit(tx, ctx, { what: 'item added', entity: 'item', entityId: item.id, after: item })
    return ok({ location: `/stores/items/${item.id}/edit`, flash: `${item.name} is in. Put in the packs it is bought in next.` })
  } catch (error) {
    if (isTaken(error)) return nameTaken(input.name)
    throw error
  }
}

export async function editItem(tx: Tx, ctx: Ctx, itemId: string, { version, ...input }: ItemInput & { version: number }): Saved {
  const before = await tx.item.findUnique({ where: { id: itemId } })
  if (!before) return refused(404, GONE)
  if (await sameName(tx, input.name, itemId)) return nameTaken(input.name)
  if (await supplierIsGone(tx, input.supplierId)) return refused(422, 'That supplier is gone.', CHOOSE_SUPPLIER)
  if (input.unit !== before.unit && (await isCounted(tx, itemId))) {
    return refused(422, 'Its unit can’t change any more. Nothing was changed.', {
      fields: { unit: `Kept in: its stock, packs, orders or tasks are already told in ${before.unit}; make a new item for another unit` },
    })
  }
  const { count } = await tx.item.updateMany({ where: { id: itemId, version }, data: { ...columns(input), version: { increment: 1 } } })
  if (count === 0) return refused(409, 'Somebody changed this item while you were typing. Nothing of yours is saved yet.', { current: itemValues(before) })
  await audit(tx, ctx, { what: 'item edited', entity: 'item', entityId: itemId, before, after: input })
  if (input.leadDays !== before.leadDays) await requestReplan(tx, `Lead time of ${input.name} changed`, ctx)
  return ok({ location: `/stores/items/${itemId}`, flash: `${input.name} is saved.` })
}

async function isCounted(tx: Tx, itemId: string): Promise<boolean> {
  const of = { where: { itemId }, select: { id: true } } as const
  const any = [await tx.lot.findFirst(of), await tx.itemPack.findFirst(of), await tx.orderLine.findFirst(of), await tx.taskMaterial.findFirst(of)]
  return any.some((row) => row !== null)
}

/** An item that is not kept any more is not offered; what is left of it can still be drawn. */
export async function retireItem(tx: Tx, ctx: Ctx, itemId: string, { version, isActive }: { version: number; isActive: boolean }): Saved {
  const row = await tx.item.findUnique({ where: { id: itemId }, select: { name: true } })
  if (!row) return refused(404, GONE)
  if (!isActive) {
    const needed = await tx.taskMaterial.count({ where: { itemId, task: { finishedAt: null } } })
    if (needed > 0) return refused(422, `${needed === 1 ? 'An open task needs' : `${needed} open tasks need`} ${row.name}: give them another item first. Nothing was changed.`)
  }
  const { count } = await tx.item.updateMany({ where: { id: itemId, version }, data: { isActive, version: { increment: 1 } } })
  if (count === 0) return refused(409, 'Somebody changed this item meanwhile: look at it again.')
  await audit(tx, ctx, { what: isActive ? 'item taken up again' : 'item retired', entity: 'item', entityId: itemId })
  return ok({ location: `/stores/items/${itemId}/edit`, flash: isActive ? `${row.name} is offered again.` : `${row.name} is not offered any more; what is left can still be drawn.` })
}

export async function savePack(tx: Tx, ctx: Ctx, itemId: string, packId: string | null, input: PackInput): Saved {
  const item = await tx.item.findUnique({ where: { id: itemId }, select: { name: true, unit: true, density: true, widthMm: true } })
  if (!item) return refused(404, GONE)
  if (await supplierIsGone(tx, input.supplierId)) return refused(422, 'That supplier is gone.', CHOOSE_SUPPLIER)
  const amount = parseAmount(input.amount, item.unit, item)
  const fault = !amount.ok ? amount.message : amount.milli === 0 ? 'a pack holds more than nothing' : null
  if (!amount.ok || fault !== null) return refused(422, 'Nothing was changed: see the note at the field.', { fields: { amount: `Holds: ${fault}` } })
  const taken = await tx.itemPack.findFirst({ where: { itemId, name: { equals: input.name, mode: 'insensitive' }, ...(packId && { NOT: { id: packId } }) }, select: { id: true } })
  if (taken) return refused(422, 'Nothing was changed: see the note at the field.', { fields: { name: 'Pack: there is one of this name already' } })
  const data = { name: input.name, qtyMilli: BigInt(amount.milli), priceCents: input.price, orderCode: input.orderCode, supplierId: input.supplierId }
  const flash = `${item.name}: ${input.name} is saved.`
  const location = `/stores/items/${itemId}/edit`
  if (packId === null) {
    const pack = await tx.itemPack.create({ data: { ...data, itemId } })
    await audit(tx, ctx, { what: 'pack added', entity: 'item', entityId: itemId, after: pack })
    return ok({ location, flash })
  }
  const before = await tx.itemPack.findFirst({ where: { id: packId, itemId } })
  if (!before) return refused(404, 'This pack is not there any more.')
  await tx.itemPack.update({ where: { id: packId }, data })
  await audit(tx, ctx, { what: 'pack edited', entity: 'item', entityId: itemId, before, after: data })
  return ok({ location, flash })
}

/** A pack that is not sold any more stays with the orders that name it. */
export async function offerPack(tx: Tx, ctx: Ctx, itemId: string, packId: string, isActive: boolean): Saved {
  const before = await tx.itemPack.findFirst({ where: { id: packId, itemId } })
  if (!before) return refused(404, 'This pack is not there any more.')
  await tx.itemPack.update({ where: { id: packId }, data: { isActive } })
  await audit(tx, ctx, { what: isActive ? 'pack taken up again' : 'pack given up', entity: 'item', entityId: itemId, before })
  return ok({ location: `/stores/items/${itemId}/edit`, flash: isActive ? `${before.name} is bought again.` : `${before.name} is not bought any more.` })
}
