import type { NewOrderModel, OrderModel } from '../../src/features/stores/queries/orders.ts'
import {
  Breadcrumb, Button, ButtonLink, ButtonRow, DateField, DefinitionRows, ErrorSummary, Field, FieldGroup, Form, format, Layout, NumberField, SelectField, Sheet, Table, TapForm,
  usePage, type FormRefusal, type Option, type Typed,
} from '../shared/index.ts'
import { dayText, priceText, supplierOptions } from './keep-words.ts'

const ROWS_AT_FIRST = 6
const ROWS_MOST = 30
const CRUMBS = [{ href: '/stores', text: 'Stores' }, { href: '/stores/orders', text: 'Orders' }]

/** As many rows as are filled, and a few to go on. */
export function rowCount(typed: Typed | undefined, field: string, atFirst: number, most: number): number {
  let last = -1
  for (let at = 0; at < most; at++) if (String(typed?.[`${field}${at}`] ?? '') !== '') last = at
  return Math.min(most, Math.max(atFirst, last + 4))
}

export function NewOrderPage({ choices, suppliers, values, refusal, typed }: NewOrderModel & { refusal?: FormRefusal; typed?: Typed }) {
  const { club } = usePage()
  const options: Option[] = choices.flatMap((item) => [
    ...item.packs.map((pack) => ({ value: `pack:${pack.id}`, label: `${pack.name} (${format.stockAmount(pack.qtyMilli, item.unit, club)}, ${priceText(pack.priceCents, club)})`, group: item.name })),
    { value: `item:${item.id}`, label: `loose, in ${format.STOCK_UNITS[item.unit]}`, group: item.name },
  ])
  const rows = rowCount(typed, 'what', ROWS_AT_FIRST, ROWS_MOST)
  return (
    <Layout title="New order" section="stores" above={<Breadcrumb items={CRUMBS} />}>
      <p>Write down what was ordered, so that plans count on it. The order itself goes to the supplier as always.</p>
      <Form action="/stores/orders/new" refusal={refusal} typed={typed} label="The order">
        <SelectField name="supplierId" label="Supplier" value={values['supplierId']} options={supplierOptions(suppliers, values['supplierId'])} blank="None in the list" />
        <DateField name="orderedOn" label="Ordered on" value={values['orderedOn']} />
        <DateField name="expectedOn" label="Expected on" value={values['expectedOn']} hint="The day it should be at the shelf" />
        {Array.from({ length: rows }, (_, at) => (
          <FieldGroup key={at} legend={`Line ${at + 1}`}>
            <div class="form-row">
              <SelectField name={`what${at}`} label="What" value={values[`what${at}`]} options={options} blank="–" />
              <NumberField name={`qty${at}`} label="Packs, or amount if loose" value={values[`qty${at}`]} />
              <NumberField name={`price${at}`} label="Price of the line" value={values[`price${at}`]} hint="Empty: packs at their price" />
            </div>
          </FieldGroup>
        ))}
        <Field name="note" label="Note" value={values['note']} required={false} maxLength={1000} size="full" />
        <Button>It is ordered</Button>
      </Form>
    </Layout>
  )
}

const STATE_WORDS = { open: 'under way', received: 'done', cancelled: 'called off' } as const

export function OrderPage({ order: o, lines, lots, today, refusal, typed }: OrderModel & { today: string; refusal?: FormRefusal; typed?: Typed }) {
  const page = usePage()
  const { club } = page
  const isOpen = o.state === 'open'
  const total = lines.reduce((sum, line) => sum + line.priceCents, 0)
  const at = `/stores/orders/${o.id}`
  return (
    <Layout title={`Order ${o.number}`} section="stores" above={<Breadcrumb items={CRUMBS} />}>
      {refusal && !typed && <ErrorSummary refusal={refusal} />}
      <Sheet title="In short" actions={isOpen && page.may('stores.book') && <ButtonLink href={`/stores/receive?order=${o.id}`} kind="main">It came</ButtonLink>}>
        <DefinitionRows
          rows={[
            ['State', STATE_WORDS[o.state]],
            ['From', o.supplier && <><a href={`/stores/suppliers/${o.supplier.id}`}>{o.supplier.name}</a>{o.supplier.phone && `, ${o.supplier.phone}`}</>],
            ['Ordered', `${dayText(o.orderedOn, club)} by ${o.by}`],
            ['Expected', `${dayText(o.expectedOn, club)}${isOpen && o.expectedOn < today ? ': it is past, so ask the supplier; plans count on it for tomorrow' : ''}`],
            ['Came as', lots.length > 0 && lots.map((lot, n) => <>{n > 0 && ', '}<a href={`/stores/lots/${lot.id}`}>lot {lot.number}</a></>)],
            ['Note', o.note],
          ]}
        />
        <Table
          caption="Lines" quietCaption rows={lines} rowKey={(l) => l.id}
          columns={[
            { key: 'item', heading: 'Item', cell: (l) => <a href={`/stores/items/${l.item.id}`}>{l.item.name}</a> },
            { key: 'packs', heading: 'Packs', cell: (l) => (l.pack ? `${l.packs} × ${l.pack.name}${l.pack.orderCode && ` (${l.pack.orderCode})`}` : 'loose') },
            { key: 'qty', heading: 'Ordered', numeric: true, cell: (l) => format.stockAmount(l.qtyMilli, l.item.unit, club) },
            { key: 'came', heading: 'Came', numeric: true, cell: (l) => format.stockAmount(l.receivedMilli, l.item.unit, club) },
            { key: 'price', heading: 'Price', numeric: true, cell: (l) => format.money(l.priceCents, club) },
          ]}
          foot={<tr><th scope="row">Together</th><td /><td /><td /><td class="numeric">{format.money(total, club)}</td></tr>}
        />
      </Sheet>
      {isOpen && page.may('stores.keep') && (
        <Sheet title="Change">
          <Form action={at} refusal={typed ? refusal : undefined} typed={typed} version={o.version} label="The order">
            <DateField name="expectedOn" label="Expected on" value={o.expectedOn} />
            <Field name="note" label="Note" value={o.note} required={false} maxLength={1000} size="full" />
            <Button>Save</Button>
          </Form>
          <ButtonRow><TapForm action={`${at}/end`} fields={{ version: o.version }} kind="care" about={`of order ${o.number}`}>Nothing more will come</TapForm></ButtonRow>
        </Sheet>
      )}
    </Layout>
  )
}
