import type { ItemFormModel } from '../../src/features/stores/queries/items.ts'
import { PICTOGRAMS } from '../../src/core/stock/label.ts'
import {
  AmountField, Breadcrumb, Button, ButtonLink, ButtonRow, CheckField, ErrorSummary, Field, FieldGroup, Form, format, Layout, NumberField, RadioRow, SelectField, Sheet, Tag, TapForm, TextArea, usePage,
  type FormRefusal, type Typed,
} from '../shared/index.ts'
import { LabelElements } from '../shared/label.tsx'
import { ITEM_KIND_WORDS, priceText, supplierOptions, UNIT_CHOICES } from './keep-words.ts'

/** Which form of the page was sent: the item's own, a new pack's, a pack's by its id, or a button of the page. */
export type ItemFormName = 'item' | 'pack' | 'page' | (string & {})
export type ItemFormProps = ItemFormModel & { form?: ItemFormName; refusal?: FormRefusal | undefined; typed?: Typed | undefined }

export function ItemFormPage({ form, refusal, typed, ...model }: ItemFormProps) {
  const { item } = model
  const at = item ? `/stores/items/${item.id}` : '/stores/items'
  const crumbs = [{ href: '/stores', text: 'Stores' }, ...(item ? [{ href: at, text: item.name }] : [])]
  const sent = (name: ItemFormName) => (form === name ? { refusal, typed } : {})
  return (
    <Layout title={item ? `Change ${item.name}` : 'Add an item'} section="stores" above={<Breadcrumb items={crumbs} />}>
      {form === 'page' && refusal && <ErrorSummary refusal={refusal} />}
      {item && !item.isActive && <p><Tag>not offered any more</Tag></p>}
      {!item && (
        <div class="paper">
          <p>Beginning? What a club that builds in ply and epoxy usually keeps can be put in at once, without stock and prices, its figures from memory.</p>
          <TapForm action="/stores/items/usual">Put in the usual items</TapForm>
        </div>
      )}
      {model.label && <LabelElements parts={[model.label]} />}
      <ItemFields model={model} action={item ? `${at}/edit` : '/stores/items/new'} {...sent('item')} />
      {item && <Packs model={model} item={item} sent={sent} />}
      {item && (
        <ButtonRow>
          <ButtonLink href={`/stores/labels?item=${item.id}`}>Shelf label</ButtonLink>
          {item.isActive
            ? <TapForm action={`${at}/active`} fields={{ version: item.version, isActive: 'no' }} kind="care" about={item.name}>Not kept any more</TapForm>
            : <TapForm action={`${at}/active`} fields={{ version: item.version, isActive: 'yes' }} about={item.name}>Keep it again</TapForm>}
        </ButtonRow>
      )}
    </Layout>
  )
}

type Sent = { refusal?: FormRefusal | undefined; typed?: Typed | undefined }

function ItemFields({ model, action, refusal, typed }: { model: ItemFormModel; action: string } & Sent) {
  const { item, values, suppliers } = model
  const v = (name: string) => String(values[name] ?? '')
  const pictograms = [values['pictograms'] ?? []].flat()
  return (
    <Form action={action} refusal={refusal} typed={typed} label="The item" {...(item ? { version: item.version } : {})}>
      <Sheet title="What it is">
        <Field name="name" label="Name" value={v('name')} required maxLength={120} size="full" hint="As it is called at the shelf and in job lists" />
        <SelectField name="kind" label="Kind" value={v('kind')} options={Object.entries(ITEM_KIND_WORDS).map(([value, label]) => ({ value, label }))} />
        <SelectField name="unit" label="Kept in" value={v('unit')} options={UNIT_CHOICES} hint="Everything about it is told in this unit; once it has stock it stays" />
        <Field name="shelf" label="Shelf" value={v('shelf')} required={false} maxLength={120} hint="Where it stands" />
        <CheckField name="isShared" label="Used by everybody" checked={v('isShared') === 'on'} hint="Gloves, rollers: club use of it is spread over the builds when charges are settled" />
        <TextArea name="note" label="Note" value={v('note')} required={false} rows={3} />
      </Sheet>
      <Sheet title="Buying">
        <SelectField name="supplierId" label="Supplier" value={v('supplierId')} options={supplierOptions(suppliers, v('supplierId'))} blank="None yet" hint={<>Not in the list? <a href="/stores/suppliers/new">Add a supplier</a> first</>} />
        <NumberField name="leadDays" label="Lead time, from the order to the shelf" value={v('leadDays')} unit="days" whole />
        <AmountField name="safety" label="Safety stock" value={v('safety')} unit={item?.unit ?? 'of its unit'} required={false} hint="Order so that stock never falls below it" />
      </Sheet>
      <Sheet title="Figures">
        <NumberField name="density" label="Density" value={v('density')} unit="g/mL" required={false} hint="Where it is weighed and measured by volume" />
        <NumberField name="widthMm" label="Width" value={v('widthMm')} unit="mm" required={false} hint="Of the roll or the sheet; metres off a roll then become square metres" />
        <NumberField name="lengthMm" label="Length" value={v('lengthMm')} unit="mm" required={false} hint="Of a sheet" />
        <NumberField name="thicknessMm" label="Thickness" value={v('thicknessMm')} unit="mm" required={false} />
        <NumberField name="arealMass" label="Mass of a square metre" value={v('arealMass')} unit="g/m²" required={false} hint="Cloth and tape" />
        <NumberField name="shelfLifeDays" label="Keeps unopened for" value={v('shelfLifeDays')} unit="days" whole required={false} hint="A lot past it is tested first" />
        <NumberField name="openedLifeDays" label="Keeps once open for" value={v('openedLifeDays')} unit="days" whole required={false} />
      </Sheet>
      <Sheet title="Hazard label">
        <p>Copy what the can’s label says, or section 2 of its safety data sheet.</p>
        <RadioRow name="signalWord" legend="Signal word" value={v('signalWord')} options={[{ value: '', label: 'none' }, { value: 'Warning', label: 'Warning' }, { value: 'Danger', label: 'Danger' }]} />
        <FieldGroup legend="Pictograms" name="pictograms">
          {Object.entries(PICTOGRAMS).map(([code, word]) => <CheckField key={code} name="pictograms" value={code} label={`${word} (${code})`} checked={pictograms.includes(code)} />)}
        </FieldGroup>
        <TextArea name="hazards" label="Hazard statements" value={v('hazards')} required={false} rows={4} hint="One a line, such as “H317 May cause an allergic skin reaction”" />
        <TextArea name="precautions" label="Precautionary statements" value={v('precautions')} required={false} rows={4} hint="One a line" />
      </Sheet>
      <Button>{item ? 'Save the item' : 'Add the item'}</Button>
    </Form>
  )
}

function Packs({ model, item, sent }: { model: ItemFormModel; item: NonNullable<ItemFormModel['item']>; sent(name: ItemFormName): Sent }) {
  const { club } = usePage()
  const at = `/stores/items/${item.id}/packs`
  return (
    <Sheet title="Packs">
      <p>What it is bought in. The buying list rounds up to whole packs.</p>
      {model.packs.length === 0 && <p class="muted">No pack yet: orders are then told in {format.STOCK_UNITS[item.unit]}.</p>}
      <ul class="plain-list">
        {model.packs.map((pack) => (
          <li key={pack.id}>
            <details open={sent(pack.id).refusal !== undefined}>
              <summary>{pack.name}: {format.stockAmount(pack.qtyMilli, item.unit, club)}, {priceText(pack.priceCents, club)}{pack.supplier && `, ${pack.supplier}`}{!pack.isActive && <> <Tag>given up</Tag></>}</summary>
              <PackFields action={`${at}/${pack.id}`} model={model} unit={item.unit} values={pack.values} about={pack.name} {...sent(pack.id)} />
              {pack.isActive ? <TapForm action={`${at}/${pack.id}/give-up`} kind="care" about={pack.name}>Not bought any more</TapForm> : <TapForm action={`${at}/${pack.id}/take-up`} about={pack.name}>Buy it again</TapForm>}
            </details>
          </li>
        ))}
      </ul>
      <PackFields action={at} model={model} unit={item.unit} values={{}} about="A new pack" {...sent('pack')} />
    </Sheet>
  )
}

function PackFields({ action, model, unit, values, about, refusal, typed }: { action: string; model: ItemFormModel; unit: string; values: Record<string, string>; about: string } & Sent) {
  return (
    <Form action={action} refusal={refusal} typed={typed} layout="row" label={about}>
      <Field name="name" label="Pack" value={values['name']} maxLength={60} hint="Such as “6 kg can”" />
      <AmountField name="amount" label="Holds" value={values['amount']} unit={unit} />
      <NumberField name="price" label="Price" value={values['price']} required={false} hint="Of one pack" />
      <Field name="orderCode" label="Order code" value={values['orderCode']} required={false} maxLength={60} size="short" />
      <SelectField name="supplierId" label="Supplier" value={values['supplierId']} options={supplierOptions(model.suppliers, values['supplierId'])} blank="The item’s own" />
      <Button kind="plain">{values['name'] === undefined ? 'Add the pack' : 'Save the pack'}</Button>
    </Form>
  )
}
