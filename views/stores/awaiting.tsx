import type { AwaitingModel } from '../../src/features/stores/queries/ledger-items.ts'
import { Breadcrumb, ErrorSummary, Layout, Sheet, TapForm, type FormRefusal } from '../shared/index.ts'
import { EntryTable } from './ledger-parts.tsx'

/** Differences that people weighed at the shelf, for the storekeeper to look at. */
export function Awaiting({ entries, refusal }: AwaitingModel & { refusal?: FormRefusal }) {
  return (
    <Layout title="Differences weighed at the shelf" section="stores" above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }]} />}>
      {refusal && <ErrorSummary refusal={refusal} />}
      <Sheet title="To look at">
        <p>Each is booked already, so that work could go on. If it is right, say so; if not, open it and reverse it with the reason.</p>
        <EntryTable
          entries={entries} caption="The newest first" then="/stores/awaiting" item empty="Nothing waits: book and shelf agree as far as anybody weighed."
          actions={(e) => <TapForm action={`/stores/awaiting/${e.id}`} about={`the difference of lot ${e.lotNumber}`}>It is right</TapForm>}
        />
      </Sheet>
    </Layout>
  )
}
