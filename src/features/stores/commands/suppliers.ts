import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { supplierValues } from '../queries/suppliers.ts'
import type { SupplierInput } from '../schemas/buying.ts'

export async function saveSupplier(tx: Tx, ctx: Ctx, edit: { id: string; version: number } | null, { isGivenUp, ...input }: SupplierInput): Promise<Result<Done, Refusal>> {
  const other = await tx.supplier.findFirst({ where: { name: { equals: input.name, mode: 'insensitive' }, ...(edit && { NOT: { id: edit.id } }) }, select: { id: true } })
  if (other) return refused(422, `There is a supplier called “${input.name}” already. Nothing was changed.`, { fields: { name: 'Name: taken' } })
  const data = { ...input, isActive: !isGivenUp }
  if (!edit) {
    const row = await tx.supplier.create({ data })
    await audit(tx, ctx, { what: 'supplier added', entity: 'supplier', entityId: row.id, after: row })
    return ok({ location: `/stores/suppliers/${row.id}`, flash: `${row.name} is in.` })
  }
  const before = await tx.supplier.findUnique({ where: { id: edit.id } })
  if (!before) return refused(404, 'This supplier is not there any more.')
  const { count } = await tx.supplier.updateMany({ where: edit, data: { ...data, version: { increment: 1 } } })
  if (count === 0) return refused(409, 'Somebody changed this supplier while you were typing. Nothing of yours is saved yet.', { current: supplierValues(before) })
  await audit(tx, ctx, { what: 'supplier edited', entity: 'supplier', entityId: edit.id, before, after: data })
  return ok({ location: `/stores/suppliers/${edit.id}`, flash: `${input.name} is saved.` })
}
