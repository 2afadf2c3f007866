import {
  BatchForm, BatchTable, Breadcrumb, Caution, Layout, MixForm, MixingCard, NoSystem, RadioRow, Sheet,
  type FormRefusal, type MixFormProps, type Typed,
} from '../shared/index.ts'
import type { MixedBatch, MixShown, SystemLots } from '../shared/mixing-types.ts'

export type MixPageProps = {
  form: Pick<MixFormProps, 'products' | 'values' | 'hints'>
  shown: MixShown | null
  /** Where a batch would be drawn from; null: no system, or nothing is asked yet. */
  lots: SystemLots | null
  structural: boolean
  members: readonly { id: string; name: string }[]
  recent: readonly MixedBatch[]
  /** The question, as it stands in the address. */
  query: string
  asked?: { refusal: FormRefusal | undefined; typed: Typed } | undefined
  logged?: { refusal: FormRefusal; typed: Typed } | undefined
}

/** A mixing card for any mass of anything with two parts. */
export function MixPage({ form, shown, lots, structural, members, recent, query, asked, logged }: MixPageProps) {
  const first = shown?.card.masses[0]
  return (
    <Layout title="Mixing card" above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }]} />}>
      <div class="no-print">
        <Sheet title="What and how much">
          <MixForm action="/stores/mix" {...form} mayType massHint="Grams, or with its unit: 1.25 kg" refusal={asked?.refusal} typed={asked?.typed} />
        </Sheet>
      </div>
      {shown && <MixingCard shown={shown} />}
      {shown === null && <Caution>Mixed resin heats itself, and uncured resin can make skin allergic for good: gloves, small batches, spread out flat at once.</Caution>}
      {shown && first && shown.source.productId !== null && (
        <div class="no-print">
          <Sheet title="Book a batch">
            {lots === null ?
              <NoSystem name={shown.source.name} />
            : (
              <BatchForm
                action={`/stores/mix${query}`} productId={shown.source.productId} lots={lots} next={{ resinMg: first.a, hardenerMg: first.b }} structural={structural}
                title="Mixed: book it" members={members} refusal={logged?.refusal} typed={logged?.typed}
              >
                <RadioRow name="use" legend="For" value="club" options={[{ value: 'club', label: 'the club’s use' }, { value: 'own', label: 'my own use: I owe it' }]} hint="For a boat’s coat, mix from its task: then it is hers." />
              </BatchForm>
            )}
          </Sheet>
        </div>
      )}
      {recent.length > 0 && (
        <div class="no-print">
          <Sheet title="Mixed lately, for no build"><BatchTable batches={recent} caption="The latest batches" /></Sheet>
        </div>
      )}
    </Layout>
  )
}
