import type { LotFormModel } from '../../src/features/stores/queries/ledger-forms.ts'
import { AmountField, Breadcrumb, Button, DateField, Field, Form, format, Layout, NumberField, RadioRow, SelectField, Sheet, usePage, type FormRefusal, type Typed } from '../shared/index.ts'
import { lotOption } from './lot-options.ts'

export type LotFormProps = LotFormModel & { what: 'write-off' | 'transfer' | 'correct'; values: Record<string, string>; refusal?: FormRefusal; typed?: Typed }

const TITLES = { 'write-off': 'Write off', transfer: 'Lend, give back, hand over', correct: 'Correct a price' }

/** Write-offs, moves between the club and a member, price corrections: all about one lot of the item. */
export function LotFormPage({ what, item, today, lots, members, values, refusal, typed }: LotFormProps) {
  const page = usePage()
  const { club } = page
  const books = page.may('stores.book')
  const at = `/stores/items/${item.id}`
  const some = lots.filter((lot) => (what === 'correct' ? true : lot.clubMilli > 0 || lot.mine > 0 || (books && lot.held.length > 0)))
  const label = (lot: (typeof lots)[number]) => {
    const option = lotOption(lot, club)
    return what === 'correct' ? { ...option, label: `lot ${lot.number}: cost ${format.money(lot.costCents, club)}` } : option
  }
  return (
    <Layout title={`${TITLES[what]}: ${item.name}`} section="stores" above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }, { href: at, text: item.name }]} />}>
      <Sheet title={TITLES[what]}>
        {some.length === 0 ? <p>There is nothing of it to book this on.</p> : (
          <Form action={`${at}/${what}`} refusal={refusal} typed={typed} label={TITLES[what]}>
            <SelectField name="lotId" label="Lot" options={some.map(label)} value={values['lot'] ?? (some.length === 1 ? some[0]!.id : '')} {...(some.length > 1 ? { blank: 'Choose' } : {})} />
            {what === 'write-off' && (
              <>
                {books && some.some((lot) => lot.mine > 0) ? <RadioRow name="from" legend="Whose" options={[{ value: 'club', label: 'the club’s' }, { value: 'own', label: 'my own' }]} value="club" /> : !books && <input type="hidden" name="from" value="own" />}
                {!books && <p>You can write off your own stock here; what happens to the club’s, tell the storekeeper.</p>}
                <AmountField name="amount" label="How much" unit={item.unit} />
              </>
            )}
            {what === 'transfer' && <MoveFields unit={item.unit} members={members} books={books} />}
            {what === 'correct' && (
              <>
                <p>The difference goes where the lot went, by quantity: into what is left in stock, and onto the builds and members who drew from it.</p>
                <NumberField name="cost" label="What the whole lot really cost" unit={club?.currency ?? ''} />
              </>
            )}
            <DateField name="onDate" label="On" value={today} max={today} />
            <Field name="why" label="Why" required={what !== 'transfer'} maxLength={300} size="full" />
            <Button>{what === 'write-off' ? 'Write it off' : what === 'transfer' ? 'Book it' : 'Correct it'}</Button>
          </Form>
        )}
      </Sheet>
    </Layout>
  )
}

function MoveFields({ unit, members, books }: { unit: string; members: LotFormModel['members']; books: boolean }) {
  const page = usePage()
  const own = [{ value: 'lend-club', label: 'a member lends it to the club' }, { value: 'back-member', label: 'the club gives back what it borrowed' }]
  const keeper = [
    { value: 'lend-member', label: 'the club lends it to a member' }, { value: 'back-club', label: 'a member gives back what they borrowed' },
    { value: 'to-member', label: 'sold to a member (on their account)' }, { value: 'to-club', label: 'bought from a member (to their credit)' },
  ]
  return (
    <>
      <RadioRow name="what" legend="What happens" options={books ? [...own, ...keeper] : [own[0]!, own[1]!]} value="" />
      {books && <SelectField name="memberId" label="Member" options={members.map((m) => ({ value: m.id, label: m.name }))} value={page.member?.id} />}
      <AmountField name="amount" label="How much" unit={unit} />
    </>
  )
}
