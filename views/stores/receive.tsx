import type { ReceiveModel } from '../../src/features/stores/queries/ledger-forms.ts'
import { Breadcrumb, Button, DateField, Field, FieldGroup, Form, format, Layout, Notice, NumberField, RadioRow, SelectField, Sheet, usePage, type FormRefusal, type Typed } from '../shared/index.ts'
import { supplierOptions } from './keep-words.ts'
import { rowCount } from './order.tsx'

export type ReceivePageProps = ReceiveModel & { values: Record<string, string>; own: boolean; refusal?: FormRefusal; typed?: Typed }
const MOST = 20

/** What came in: a lot for each line. */
export function ReceivePage({ today, items, suppliers, order, lines, values, own, refusal, typed }: ReceivePageProps) {
  const page = usePage()
  const options = items.map((i) => ({ value: i.id, label: `${i.name} (${format.STOCK_UNITS[i.unit]})` }))
  const rows = rowCount(typed ?? values, 'item', Math.max(4, lines.length + 1), MOST)
  return (
    <Layout title={own ? 'Bring own stock' : 'Book a delivery in'} section="stores" above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }, ...(order ? [{ href: `/stores/orders/${order.id}`, text: `Order ${order.number}` }] : [])]} />}>
      {order && !order.isOpen && <Notice kind="care">This order is closed: nothing more is awaited on it.</Notice>}
      <Sheet title={order ? `Of order ${order.number}` : 'What came'}>
        <p>Each line is a lot of its own. Write its number on the can when it is booked. Amounts are in the item’s unit, or with their own: 5 kg, 750 ml. The cost is for the whole line.</p>
        <Form action="/stores/receive" refusal={refusal} typed={typed} label="What came" hidden={{ ...(order ? { orderId: order.id } : {}) }}>
          <DateField name="receivedOn" label="Came on" value={today} max={today} />
          {page.may('stores.book') ? <RadioRow name="holder" legend="Whose it is" options={[{ value: 'club', label: 'the club’s' }, { value: 'own', label: 'my own' }]} value={own ? 'own' : 'club'} /> : <input type="hidden" name="holder" value="own" />}
          <SelectField name="supplierId" label="Supplier" options={supplierOptions(suppliers, order?.supplierId ?? undefined)} value={order?.supplierId ?? ''} blank="The item’s usual one" />
          {Array.from({ length: rows }, (_, at) => {
            const line = lines[at]
            return (
              <FieldGroup key={at} legend={`Line ${at + 1}`}>
                <div class="form-row">
                  <SelectField name={`item${at}`} label="What" options={options} value={values[`item${at}`] ?? line?.itemId ?? ''} blank="–" />
                  <NumberField name={`amount${at}`} label="Amount" value={line ? String(line.milli / 1000) : ''} />
                  <NumberField name={`cost${at}`} label="Cost" value={line ? (line.cents / 100).toFixed(2) : ''} unit={page.club?.currency ?? ''} />
                  <Field name={`code${at}`} label="Supplier’s lot code" maxLength={80} size="short" />
                  <DateField name={`expires${at}`} label="Good until" hint={at === 0 ? 'Empty: by the item’s shelf life' : undefined} />
                </div>
              </FieldGroup>
            )
          })}
          <Field name="note" label="Note" required={false} maxLength={300} size="full" />
          <Button>Book it in</Button>
        </Form>
      </Sheet>
    </Layout>
  )
}
