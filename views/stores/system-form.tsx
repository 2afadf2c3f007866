import type { SystemFormModel } from '../../src/features/stores/queries/system-form.ts'
import { Breadcrumb, Button, ButtonRow, Caution, FieldGroup, Form, Layout, Notice, NumberField, SelectField, Sheet, TapForm, type FormRefusal, type Typed } from '../shared/index.ts'

export function SystemFormPage({ product: p, version, values, items, refusal, typed }: SystemFormModel & { refusal?: FormRefusal; typed?: Typed }) {
  const at = `/stores/cure-products/${p.id}`
  const v = (name: string) => (values as Record<string, string>)[name] ?? ''
  const options = (chosen: string) =>
    items.filter((item) => item.isActive || item.id === chosen).map((item) => ({ value: item.id, label: item.isActive ? item.name : `${item.name} (not kept any more)` }))
  const crumbs = [{ href: '/stores/cure-products', text: 'Cure products' }, { href: at, text: p.name }]
  return (
    <Layout title={`What ${p.name} is mixed from`} section="stores" above={<Breadcrumb items={crumbs} />}>
      {p.hazard !== '' && <Caution>{p.hazard}</Caution>}
      {p.ratio === null
        ? <Notice kind="care">This product has no ratio yet, so nothing can be split into resin and hardener. <a href={`${at}/edit`}>Put it in</a>, and say whether by mass or by volume.</Notice>
        : <p>Ratio {p.ratio.a} : {p.ratio.b} by {p.ratio.by}. It stands with <a href={`${at}/edit`}>the product’s figures</a>.</p>}
      <Form action={`${at}/system`} refusal={refusal} typed={typed} hidden={{ version }} label="The system">
        <Sheet title="In the stores">
          <SelectField name="resinItemId" label="Resin (part A)" value={v('resinItemId')} options={options(v('resinItemId'))} blank="Choose" />
          <SelectField name="hardenerItemId" label="Hardener (part B)" value={v('hardenerItemId')} options={options(v('hardenerItemId'))} blank="Choose" />
        </Sheet>
        <Sheet title="At the mixing bench">
          <NumberField name="batchLimit" label="Most in one batch" value={v('batchLimit')} unit="g"
            hint={p.potLifeMin === null ? 'A large pot heats up by itself' : `A large pot heats up by itself: the pot life of ${p.potLifeMin} min was stated for ${p.potMassG} g`} />
          <NumberField name="scaleStep" label="Step of the scale" value={v('scaleStep')} unit="g" hint="What its last digit counts in" />
          <FieldGroup legend="Pumps" hint="Only where pumps are used: what one full stroke gives, weighed">
            <NumberField name="strokeResin" label="One stroke of resin" value={v('strokeResin')} unit="g" />
            <NumberField name="strokeHardener" label="One stroke of hardener" value={v('strokeHardener')} unit="g" />
          </FieldGroup>
        </Sheet>
        <Button>Save the system</Button>
      </Form>
      {version > 0 && <ButtonRow><TapForm action={`${at}/system/drop`} fields={{ version }} kind="care" about={p.name}>Nothing of it is in the stores</TapForm></ButtonRow>}
    </Layout>
  )
}
