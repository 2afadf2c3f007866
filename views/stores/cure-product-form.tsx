import { Breadcrumb, Button, CheckField, Field, FieldGroup, Form, Layout, NumberField, RadioRow, SelectField, Sheet, TextArea, type FormRefusal, type Typed } from '../shared/index.ts'
import { KIND_WORDS } from './words.ts'

export type CureProductFormProps = { product: { id: string; name: string } | null; values: Typed; refusal?: FormRefusal | undefined; typed?: Typed | undefined }

export function CureProductFormPage({ product, values, refusal, typed }: CureProductFormProps) {
  const v = (name: string) => String(values[name] ?? '')
  const at = product ? `/stores/cure-products/${product.id}` : '/stores/cure-products'
  const crumbs = [{ href: '/stores/cure-products', text: 'Cure products' }, ...(product ? [{ href: at, text: product.name }] : [])]
  return (
    <Layout title={product ? `Figures of ${product.name}` : 'Add a cure product'} above={<Breadcrumb items={crumbs} />}>
      <Form action={product ? `${at}/edit` : `${at}/new`} refusal={refusal} typed={typed} {...(product ? { version: Number(v('version')) } : {})}>
        <Sheet title="What it is">
          <Field name="name" label="Name" value={v('name')} required maxLength={120} size="full" />
          <SelectField name="kind" label="Kind" value={v('kind')} options={Object.entries(KIND_WORDS).map(([value, label]) => ({ value, label }))} />
          <TextArea name="source" label="Where the figures come from" value={v('source')} required rows={2} hint="The data sheet and its date, or “from memory”" />
          <TextArea name="hazard" label="Caution" value={v('hazard')} required={false} rows={3} hint="Shown wherever it is used: what can hurt, short, and that the data sheet counts. Two-pack with isocyanates? Say so here." />
        </Sheet>
        <Sheet title="Stages">
          <NumberField name="referenceTemp" label="All of it at" value={v('referenceTemp')} unit="°C" required />
          <p>Write 90 min, 3 h or 7 d; a bare number is hours. Leave empty what the sheet does not give.</p>
          <Field name="workable" label="Workable until" value={v('workable')} size="short" hint="From the start of the coat" />
          <Field name="dustFree" label="Dust-free" value={v('dustFree')} size="short" />
          <Field name="opens" label="Window opens: takes the next coat" value={v('opens')} size="short" />
          <Field name="closes" label="Window shuts: the next coat must be on" value={v('closes')} size="short" hint="From the start of the coat. Empty: it never shuts" />
          <Field name="closesCap" label="Shuts by the clock, however cold" value={v('closesCap')} size="short" hint="“Within 24 h” on the sheet, for example" />
          <Field name="sandable" label="Sandable" value={v('sandable')} size="short" />
          <Field name="handleable" label="Handleable, clamps off" value={v('handleable')} size="short" />
          <Field name="fullCure" label="Full cure" value={v('fullCure')} size="short" />
          <CheckField name="dustSensitive" label="Dust spoils it until it is dust-free" checked={v('dustSensitive') === 'on'} />
        </Sheet>
        <Sheet title="Conditions for putting it on">
          <NumberField name="minAir" label="Air at least" value={v('minAir')} unit="°C" />
          <NumberField name="maxAir" label="Air at most" value={v('maxAir')} unit="°C" />
          <NumberField name="maxHumidity" label="Humidity at most" value={v('maxHumidity')} unit="%" />
          <NumberField name="dewPointMargin" label="Surface above dew point by at least" value={v('dewPointMargin')} unit="°C" />
        </Sheet>
        <Sheet title="Mixing">
          <FieldGroup legend="Ratio" hint="Two-pack only">
            <NumberField name="ratioA" label="Parts of A (resin)" value={v('ratioA')} />
            <NumberField name="ratioB" label="Parts of B (hardener)" value={v('ratioB')} />
            <RadioRow name="ratioBy" legend="By" value={v('ratioBy')} options={[{ value: 'mass', label: 'mass' }, { value: 'volume', label: 'volume' }, { value: '', label: 'one pack' }]} hint="The two differ: 2 : 1 by volume can be 100 : 44 by mass" />
          </FieldGroup>
          <NumberField name="densityA" label="Density of A" value={v('densityA')} unit="g/mL" />
          <NumberField name="densityB" label="Density of B" value={v('densityB')} unit="g/mL" />
          <FieldGroup legend="Pot life" hint="Only with the mass and temperature it was stated for">
            <NumberField name="potLifeMin" label="Pot life" value={v('potLifeMin')} unit="min" />
            <NumberField name="potMassG" label="for" value={v('potMassG')} unit="g" />
            <NumberField name="potTemp" label="at" value={v('potTemp')} unit="°C" />
          </FieldGroup>
        </Sheet>
        <Sheet title="How it follows temperature">
          <NumberField name="cureFloor" label="Stops curing below" value={v('cureFloor')} unit="°C" required />
          <NumberField name="filmEnergyLow" label="Film, least" value={v('filmEnergyLow')} unit="kJ/mol" required hint="18 to 55 unless you know better: sources conflict, so both are reckoned with" />
          <NumberField name="filmEnergyHigh" label="Film, most" value={v('filmEnergyHigh')} unit="kJ/mol" required />
          <NumberField name="potEnergy" label="Pot" value={v('potEnergy')} unit="kJ/mol" required hint="55 is twice as fast for every 10 °C" />
        </Sheet>
        <Button>{product ? 'Save the figures' : 'Add it'}</Button>
      </Form>
    </Layout>
  )
}
