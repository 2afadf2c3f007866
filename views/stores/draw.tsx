import type { DrawModel } from '../../src/features/stores/queries/ledger-forms.ts'
import type { NotEnough } from '../../src/features/stores/commands/ledger-draw.ts'
import { AmountField, Breadcrumb, Button, Caution, CheckField, DateField, Field, FieldGroup, Form, Layout, Notice, NumberField, RadioRow, SelectField, Sheet, usePage, type FormRefusal, type Typed } from '../shared/index.ts'
import { LOT_WORDS, lotOption } from './lot-options.ts'
import { Amount, SKIN } from './ledger-parts.tsx'

export type DrawPageProps = DrawModel & { bearsLoad: boolean; values: Record<string, string>; refusal?: FormRefusal; typed?: Typed }

/** Taking something off the shelf: for the club, for oneself, for a build. */
export function DrawPage({ item, today, lots, cans, builds, members, bearsLoad, values, refusal, typed }: DrawPageProps) {
  const page = usePage()
  const at = `/stores/items/${item.id}`
  const short = (refusal?.current ?? null) as NotEnough | null
  // Asked for once, the weighing stays on the form whatever else is wrong with it.
  const weighs = short?.lots ?? (typed?.['weighed'] || typed?.['gross'] ? cans.map(({ id, number }) => ({ lotId: id, number })) : null)
  const own = lots.filter((lot) => lot.mine > 0)
  const club = lots.filter((lot) => lot.clubMilli > 0)
  const next = club.find((lot) => lot.state === 'fresh')
  const canWeigh = item.unit === 'g' || (item.unit === 'ml' && item.density !== null)
  const uses = [
    { value: 'club', label: 'the club (shared use)' }, ...builds.map((b) => ({ value: `build:${b.id}`, label: b.name, group: 'A build' })), { value: 'own', label: 'my own use (on my account)', group: 'A member' },
    ...(page.may('stores.book') ? members.filter((m) => m.id !== page.member?.id).map((m) => ({ value: `member:${m.id}`, label: m.name, group: 'A member' })) : []),
  ]
  return (
    <Layout title={`Draw ${item.name}`} section="stores" above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }, { href: at, text: item.name }]} />}>
      {SKIN[item.kind] && <Caution>{SKIN[item.kind]}</Caution>}
      <Sheet title="What you take">
        {next && <p>First expired, first out: <b>lot {next.number}</b>{item.shelf !== '' && <> on shelf <b>{item.shelf}</b></>}, with <Amount milli={next.clubMilli} unit={item.unit} />.</p>}
        <Form action={`${at}/draw`} refusal={refusal} typed={typed} label="Draw">
          <AmountField name="amount" label="How much" unit={item.unit} value={values['amount']} />
          {canWeigh && (
            <details open={Boolean(typed?.['before'] || typed?.['after'])}>
              <summary>Or weigh the can before and after</summary>
              <FieldGroup legend="The can on the scale" hint={item.unit === 'ml' ? `Turned into millilitres by its density, ${item.density} g/ml` : 'What it lost is what you took'}>
                <NumberField name="before" label="Before" unit="g" />
                <NumberField name="after" label="After" unit="g" />
              </FieldGroup>
            </details>
          )}
          {weighs && <WeighTheCan cans={weighs} unit={item.unit} lots={lots} canWeigh={canWeigh} />}
          <SelectField name="use" label="For" options={uses} value={values['use'] ?? 'club'} />
          <CheckField name="structural" label="It bears load" checked={bearsLoad} hint="Then only what is fresh serves" />
          {own.length > 0 && <RadioRow name="from" legend="Whose" options={[{ value: 'club', label: 'the club’s' }, { value: 'own', label: 'my own' }]} value={values['from'] ?? 'club'} />}
          <SelectField name="lotId" label="Lot" options={(own.length > 0 ? lots : club).map((lot) => lotOption(lot, page.club))} value={values['lot']} blank="First expired, first out" hint={LOT_WORDS} />
          <DateField name="onDate" label="On" value={today} max={today} />
          <Field name="why" label="Note" required={false} maxLength={300} size="full" />
          <Button>Draw</Button>
        </Form>
      </Sheet>
    </Layout>
  )
}

/** The book says there is not enough: what the can really holds is booked first, in the same step. */
function WeighTheCan({ cans, unit, lots, canWeigh }: { cans: readonly { lotId: string; number: number }[]; unit: string; lots: DrawModel['lots']; canWeigh: boolean }) {
  const tared = lots.some((lot) => lot.tareMg !== null && cans.some((s) => s.lotId === lot.id))
  return (
    <Notice kind="care" title="Is there more in the can than the book says?">
      <p>Weigh it before you take anything, and type here what is in it. The difference is booked for the storekeeper to look at, and your draw after it, in one step. A wrong lot or a slip of the pen? Then change the amount instead.</p>
      {cans.length === 0 ? <p>No lot of it is in the book: the storekeeper books it in first.</p> : (
        <>
          <SelectField name="weighedLot" label="Which can" options={cans.map((lot) => ({ value: lot.lotId, label: `lot ${lot.number}` }))} value={cans.length === 1 ? cans[0]!.lotId : ''} {...(cans.length > 1 ? { blank: 'Choose' } : {})} />
          <AmountField name="weighed" label="What is in it now" unit={unit} />
          {canWeigh && tared && <NumberField name="gross" label="Or what it weighs with the can" unit="g" hint="The empty can’s weight is known for some lots and is taken off" />}
        </>
      )}
    </Notice>
  )
}
