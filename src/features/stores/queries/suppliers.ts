import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'

export async function suppliersPage(db: Reader) {
  const rows = await db.supplier.findMany({
    select: { id: true, name: true, address: true, phone: true, isActive: true, _count: { select: { items: true, orders: { where: { state: 'open' } } } } },
    orderBy: [{ isActive: 'desc' }, { name: 'asc' }, { id: 'asc' }],
  })
  return { suppliers: rows.map(({ _count, ...row }) => ({ ...row, items: _count.items, openOrders: _count.orders })) }
}
export type SuppliersModel = Awaited<ReturnType<typeof suppliersPage>>

export const supplierValues = (row: { name: string; address: string; phone: string; note: string; isActive: boolean }): Record<string, string> => ({
  name: row.name, address: row.address, phone: row.phone, note: row.note, isGivenUp: row.isActive ? '' : 'on',
})

export async function supplierPage(db: Reader, supplierId: string) {
  const row = found(await db.supplier.findUnique({
    where: { id: supplierId },
    include: {
      items: { where: { isActive: true }, select: { id: true, name: true }, orderBy: { name: 'asc' } },
      orders: { where: { state: 'open' }, select: { id: true, number: true }, orderBy: { number: 'asc' } },
    },
  }))
  return { supplier: { id: row.id, name: row.name, version: row.version }, values: supplierValues(row), items: row.items, orders: row.orders }
}
export type SupplierModel = Awaited<ReturnType<typeof supplierPage>>
