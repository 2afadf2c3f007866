import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { isUuid } from '../../../platform/request.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { systemValues } from '../queries/system-form.ts'
import type { SystemInput } from '../schemas/buying.ts'

const mg = (grams: number): bigint => BigInt(Math.round(grams * 1000))

/** Says which items are the resin and the hardener of a cure product. `version` 0: there is none yet. */
export async function saveSystem(tx: Tx, ctx: Ctx, productId: string, { version, ...input }: SystemInput): Promise<Result<Done, Refusal>> {
  const product = isUuid(productId) ? await tx.cureProduct.findUnique({ where: { id: productId }, select: { name: true, ratioBy: true, densityA: true, densityB: true } }) : null
  if (!product) return refused(404, 'This product is not there any more.')
  const rows = await tx.item.findMany({ where: { id: { in: [input.resinItemId, input.hardenerItemId] } }, select: { id: true, name: true, unit: true, density: true } })
  const fields: Record<string, string> = {}
  for (const [field, what, density] of [['resinItemId', 'Resin', product.densityA], ['hardenerItemId', 'Hardener', product.densityB]] as const) {
    const item = rows.find(({ id }) => id === input[field])
    if (!item) fields[field] = `${what}: choose from the list`
    else if (item.unit !== 'g' && item.unit !== 'ml') fields[field] = `${what}: ${item.name} is kept in ${item.unit === 'pcs' ? 'pieces' : item.unit}; a part of a mix is kept in g or ml`
    else if (item.unit === 'ml' && item.density === null && density === null) fields[field] = `${what}: ${item.name} is kept in ml, so its density must be known: put it in at the item first`
  }
  if (Object.keys(fields).length > 0) return refused(422, 'Nothing was changed: see the notes at the fields.', { fields })
  const data = {
    resinItemId: input.resinItemId, hardenerItemId: input.hardenerItemId, batchLimitMg: mg(input.batchLimit), scaleStepMg: mg(input.scaleStep),
    strokeResinMg: input.strokeResin === null ? null : mg(input.strokeResin), strokeHardenerMg: input.strokeHardener === null ? null : mg(input.strokeHardener),
  }
  const before = await tx.system.findUnique({ where: { productId } })
  const stale = () => refused(409, 'Somebody changed this system while you were typing. Nothing of yours is saved yet.', before ? { current: systemValues(before) } : {})
  if (before ? before.version !== version : version !== 0) return stale()
  if (before) {
    const { count } = await tx.system.updateMany({ where: { productId, version }, data: { ...data, version: { increment: 1 } } })
    if (count === 0) return stale()
  } else {
    const { count } = await tx.system.createMany({ data: [{ productId, ...data }], skipDuplicates: true })
    if (count === 0) return stale()
  }
  await audit(tx, ctx, { what: before ? 'system edited' : 'system added', entity: 'system', entityId: productId, before, after: data })
  await requestReplan(tx, `What ${product.name} is mixed from changed`, ctx)
  return ok({ location: `/stores/cure-products/${productId}`, flash: `${product.name} is mixed from these two.` })
}

export async function dropSystem(tx: Tx, ctx: Ctx, productId: string, version: number): Promise<Result<Done, Refusal>> {
  const before = isUuid(productId) ? await tx.system.findUnique({ where: { productId }, include: { product: { select: { name: true } } } }) : null
  if (!before) return refused(404, 'This system is not there any more.')
  const { count } = await tx.system.deleteMany({ where: { productId, version } })
  if (count === 0) return refused(409, 'Somebody changed this system meanwhile: look at it again.')
  await audit(tx, ctx, { what: 'system taken apart', entity: 'system', entityId: productId, before })
  await requestReplan(tx, `What ${before.product.name} is mixed from changed`, ctx)
  return ok({ location: `/stores/cure-products/${productId}`, flash: `${before.product.name} takes nothing from the stores any more.` })
}
