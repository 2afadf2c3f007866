import type { SupplierModel, SuppliersModel } from '../../src/features/stores/queries/suppliers.ts'
import {
  Breadcrumb, Button, ButtonLink, ButtonRow, CheckField, DefinitionRows, Empty, Field, Form, Layout, Sheet, Table, Tag, TextArea, usePage, type FormRefusal, type Typed,
} from '../shared/index.ts'

export function SuppliersPage({ suppliers }: SuppliersModel) {
  const page = usePage()
  const add = page.may('stores.keep') && <ButtonLink href="/stores/suppliers/new" kind="main">Add a supplier</ButtonLink>
  return (
    <Layout title="Suppliers" section="stores" above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }]} />}>
      <ButtonRow>{add}<ButtonLink href="/stores/orders">Orders</ButtonLink></ButtonRow>
      {suppliers.length === 0 ? <Empty>No supplier yet. Labels of hazardous items need theirs: name, address and telephone.</Empty> : (
        <Table
          caption="Whom the club buys from" rows={suppliers} rowKey={(s) => s.id}
          columns={[
            { key: 'name', heading: 'Name', cell: (s) => <><a href={`/stores/suppliers/${s.id}`}>{s.name}</a>{!s.isActive && <> <Tag>given up</Tag></>}</> },
            { key: 'phone', heading: 'Telephone', cell: (s) => s.phone || <span class="muted">not known</span> },
            { key: 'address', heading: 'Address', cell: (s) => s.address || <span class="muted">not known</span> },
            { key: 'items', heading: 'Items', numeric: true, cell: (s) => s.items },
            { key: 'open', heading: 'Open orders', numeric: true, cell: (s) => s.openOrders },
          ]}
        />
      )}
    </Layout>
  )
}

type SupplierProps = Omit<SupplierModel, 'supplier'> & { supplier: SupplierModel['supplier'] | null; refusal?: FormRefusal; typed?: Typed }

export function SupplierPage({ supplier, values, items, orders, refusal, typed }: SupplierProps) {
  const page = usePage()
  const crumbs = [{ href: '/stores', text: 'Stores' }, { href: '/stores/suppliers', text: 'Suppliers' }]
  return (
    <Layout title={supplier?.name ?? 'Add a supplier'} section="stores" above={<Breadcrumb items={crumbs} />}>
      {!page.may('stores.keep') && <Sheet title="In short"><DefinitionRows rows={[['Telephone', values['phone']], ['Address', values['address']], ['Note', values['note']]]} /></Sheet>}
      {supplier && (
        <Sheet title="From here">
          <DefinitionRows
            rows={[
              ['Open orders', orders.length > 0 && orders.map((o, at) => <>{at > 0 && ', '}<a href={`/stores/orders/${o.id}`}>order {o.number}</a></>)],
              ['Items', items.length === 0 ? 'none yet' : items.map((item, at) => <>{at > 0 && ', '}<a href={`/stores/items/${item.id}`}>{item.name}</a></>)],
            ]}
          />
          {page.may('stores.keep') && <ButtonRow><ButtonLink href={`/stores/orders/new?supplier=${supplier.id}`}>Order from here</ButtonLink></ButtonRow>}
        </Sheet>
      )}
      {page.may('stores.keep') && (
        <Form action={supplier ? `/stores/suppliers/${supplier.id}` : '/stores/suppliers/new'} refusal={refusal} typed={typed} label="The supplier" {...(supplier ? { version: supplier.version } : {})}>
          <Field name="name" label="Name" value={values['name']} required maxLength={120} />
          <TextArea name="address" label="Address" value={values['address']} required={false} rows={3} hint="The hazard label of what comes from here shows it" />
          <Field name="phone" label="Telephone" value={values['phone']} required={false} maxLength={60} />
          <TextArea name="note" label="Note" value={values['note']} required={false} rows={2} hint="Customer number, delivery days" />
          {supplier && <CheckField name="isGivenUp" label="The club does not buy here any more" checked={values['isGivenUp'] === 'on'} />}
          <Button>{supplier ? 'Save' : 'Add the supplier'}</Button>
        </Form>
      )}
    </Layout>
  )
}
