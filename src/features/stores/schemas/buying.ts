import { z } from 'zod'
import { checkbox, date, id, longText, maybeId, maybeNumber, shortText, someNumber, version } from '../../../platform/form-fields.ts'

export const SupplierForm = z.object({ name: shortText('Name'), address: longText(400), phone: longText(60), note: longText(1000), isGivenUp: checkbox })
export const EditSupplierForm = SupplierForm.extend({ version })
export type SupplierInput = z.output<typeof SupplierForm>

/** What a form with numbered rows sends: `qty0`, `qty1`, … */
export const rowsOf = <F extends string>(typed: Record<string, unknown>, fields: readonly F[], most: number): Record<F, string>[] =>
  Array.from({ length: most }, (_, at) =>
    Object.fromEntries(fields.map((field) => {
      const value = typed[`${field}${at}`]
      return [field, String((Array.isArray(value) ? value[0] : value) ?? '').trim()]
    })) as Record<F, string>)

export const ORDER_ROWS = 30
export const ORDER_FIELDS = ['what', 'qty', 'price'] as const

const order = z.object({ supplierId: maybeId, orderedOn: date('Ordered on'), expectedOn: date('Expected on'), note: longText(1000) })
const inOrder = (v: { orderedOn: string; expectedOn: string }, c: z.RefinementCtx) => {
  if (v.expectedOn < v.orderedOn) c.addIssue({ code: 'custom', path: ['expectedOn'], message: 'Expected on: before it was ordered' })
}
/** Rows are read by the command, which knows the items. */
export const OrderForm = order.loose().superRefine(inOrder).transform(({ supplierId, orderedOn, expectedOn, note, ...rest }) => ({
  supplierId, orderedOn, expectedOn, note,
  rows: rowsOf(rest, ORDER_FIELDS, ORDER_ROWS).map((row, at) => ({ ...row, at })).filter((row) => row.what !== '' || row.qty !== '' || row.price !== ''),
}))
export type OrderInput = z.output<typeof OrderForm>

export const EditOrderForm = z.object({ expectedOn: date('Expected on'), note: longText(1000), version })
export type EditOrderInput = z.output<typeof EditOrderForm>

export const SystemForm = z.object({
  resinItemId: id,
  hardenerItemId: id,
  batchLimit: someNumber('Most in one batch', 1, 100_000),
  scaleStep: someNumber('Step of the scale', 0.001, 1000),
  strokeResin: maybeNumber('One stroke of resin', 0.001, 10_000),
  strokeHardener: maybeNumber('One stroke of hardener', 0.001, 10_000),
  version: z.string().regex(/^\d{1,9}$/, 'The page is incomplete: open it again').transform(Number),
}).superRefine((v, c) => {
  if (v.resinItemId === v.hardenerItemId) c.addIssue({ code: 'custom', path: ['hardenerItemId'], message: 'Hardener: another item than the resin' })
  if ((v.strokeResin === null) !== (v.strokeHardener === null)) {
    c.addIssue({ code: 'custom', path: [v.strokeResin === null ? 'strokeResin' : 'strokeHardener'], message: 'Pumps: both strokes, or neither' })
  }
})
export type SystemInput = z.output<typeof SystemForm>
