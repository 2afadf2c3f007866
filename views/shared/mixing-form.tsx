import type { ComponentChildren } from 'preact'
import { Button } from './buttons.tsx'
import { RadioRow } from './choices.tsx'
import { AmountField, Field, NumberField, SelectField } from './fields.tsx'
import { Form, type FormRefusal, type Typed } from './form.tsx'
import { number } from './format.ts'
import type { MixValues } from './mixing-types.ts'
import { usePage } from './page-context.ts'

/** Of a product, what an empty field stands for. */
export type MixHints = { limitMg: number; stepMg: number; densityA: number | null; densityB: number | null; strokes: { aMg: number; bMg: number } | null }

export type MixFormProps = {
  action: string
  products: readonly { id: string; name: string; hint?: string }[]
  values: MixValues
  hints: MixHints
  /** A ratio may be typed instead of a product. */
  mayType: boolean
  massHint?: ComponentChildren
  refusal?: FormRefusal | undefined
  typed?: Typed | undefined
}

/** What a mixing card is asked for. A GET form: asking changes nothing. */
export function MixForm({ action, products, values: v, hints, mayType, massHint, refusal, typed }: MixFormProps) {
  const { club } = usePage()
  const g = (mg: number) => number(mg / 1000, club, 3)
  const empty = (text: string) => `Empty: ${text}`
  const wanted = [...Object.keys(refusal?.fields ?? {})]
  const isOpen = wanted.some((name) => ['limit', 'step', 'densityA', 'densityB', 'strokeA', 'strokeB'].includes(name)) || typedMore(typed)
  return (
    <Form action={action} method="get" refusal={refusal} typed={typed} label="What is mixed">
      <SelectField name="product" label="What is mixed" value={v.product} options={products.map((p) => ({ value: p.id, label: p.name }))} {...(mayType ? { blank: 'A ratio that I type' } : {})} size="full" />
      {mayType && <Field name="ratio" label="Mix ratio, where no product is chosen" value={v.ratio} hint="With by what: 100:44 by mass, or 2:1 by volume" />}
      <AmountField name="mass" label="Mixed mass" unit="g" value={v.mass} hint={massHint} required />
      <RadioRow name="by" legend="Measured by" value={v.by} options={[{ value: 'mass', label: 'mass, on a scale' }, { value: 'volume', label: 'volume, in cups' }, { value: 'strokes', label: 'whole pump strokes' }]} />
      <div class="form form-row">
        <NumberField name="people" label="People spreading it" value={v.people} whole />
        <NumberField name="minutes" label="One of them uses up a largest batch in" value={v.minutes} unit="min" />
      </div>
      <details class="more" open={isOpen}>
        <summary>Largest batch, scale, densities, pumps</summary>
        <AmountField name="limit" label="Largest batch" unit="g" value={v.limit} hint={empty(`${g(hints.limitMg)} g`)} />
        <NumberField name="step" label="Smallest step of the scale or the cup" value={v.step} unit="g or ml" hint={empty(`${g(hints.stepMg)} g, by volume 5 ml`)} />
        <NumberField name="densityA" label="Density of the resin" value={v.densityA} unit="g/ml" hint={empty(hints.densityA === null ? 'not known' : `${hints.densityA}, as its product says`)} />
        <NumberField name="densityB" label="Density of the hardener" value={v.densityB} unit="g/ml" hint={empty(hints.densityB === null ? 'not known' : `${hints.densityB}, as its product says`)} />
        <AmountField name="strokeA" label="One pump stroke of resin" unit="g" value={v.strokeA} hint={empty(hints.strokes === null ? 'not known' : `${g(hints.strokes.aMg)} g, as weighed`)} />
        <AmountField name="strokeB" label="One pump stroke of hardener" unit="g" value={v.strokeB} hint={empty(hints.strokes === null ? 'not known' : `${g(hints.strokes.bMg)} g, as weighed`)} />
      </details>
      <Button>Show the card</Button>
    </Form>
  )
}

const typedMore = (typed: Typed | undefined): boolean => ['limit', 'step', 'densityA', 'densityB', 'strokeA', 'strokeB'].some((name) => (typed?.[name] ?? '') !== '')
