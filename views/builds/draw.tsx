import type { DrawPageModel, NeedLine } from '../../src/features/builds/queries/draw-page.ts'
import type { Short } from '../../src/features/builds/commands/draw.ts'
import { AmountField, Breadcrumb, Button, ButtonLink, ButtonRow, Caution, CheckField, DateField, Field, Form, format, Layout, Notice, NumberField, RadioRow, SelectField, Sheet, usePage, type FormRefusal, type PageClub, type Typed } from '../shared/index.ts'
import { USES } from './_store-options.ts'
import { entriesWord, StoreEntries } from './_store-entries.tsx'
import { dayWords } from './words.ts'

export type DrawProps = DrawPageModel & {
  /** Only this item is filled in. */
  only: string
  sent?: { form: 'draw' | 'weigh' | 'back' | 'undo'; entryId?: string; refusal: FormRefusal; typed: Typed } | undefined
}

/** At the shelf, on a phone: what the task needs is filled in, the scale's figure corrects it, one tap books. */
export function Draw(props: DrawProps) {
  const { build, task, lines, items, entries, isMixed } = props
  const at = `/builds/${build.id}/tasks/${task.id}`
  return (
    <Layout title={`Draw for “${task.name}”`} above={<Breadcrumb items={[{ href: '/builds', text: 'Builds' }, { href: `/builds/${build.id}`, text: build.name }, { href: at, text: task.name }]} />}>
      <Cautions {...props} />
      {items.length === 0 && <Notice>The <a href="/stores">stores</a> have no items yet.</Notice>}
      {items.length > 0 && <DrawForm {...props} at={at} />}
      {isMixed && (
        <Sheet title="Mixing resin?">
          <p>The mixing card shares the mix out into batches and books resin and hardener as it is logged: then nothing is drawn twice.</p>
          <ButtonRow><ButtonLink href={`${at}/mix`}>Mixing card</ButtonLink></ButtonRow>
        </Sheet>
      )}
      {lines.some((l) => l.item.unit === 'g' || l.item.unit === 'ml') && <WeighBack {...props} at={at} />}
      <Sheet title="Booked for this task">
        <div id="entries" />
        {entries.length === 0 && <p>Nothing yet.</p>}
        {(entries.length > 0 || props.sent) && <>{entries.length > 0 && <p class="quiet">{entriesWord(entries.length)}, newest first. Nothing is ever rubbed out: what was a mistake is taken back by an entry of its own.</p>}<StoreEntries entries={entries} at={`${at}/draw`} sent={props.sent} /></>}
      </Sheet>
    </Layout>
  )
}

function Cautions({ task, lines }: DrawProps) {
  const said = [task.hazard, ...(task.hazard === '' ? lines.filter((l) => l.item.hazards.length > 0).map((l) => `${l.item.name}${l.item.signalWord === '' ? '' : ` (${l.item.signalWord})`}: ${l.item.hazards.join(' ')}`) : [])]
    .filter((t, i, all) => t !== '' && all.indexOf(t) === i)
  return said.length === 0 ? null : <Caution>{said.map((t) => <p key={t}>{t}</p>)}</Caution>
}

/** The refusal's cans to weigh, if it was for this line. */
const shortOf = (sent: DrawProps['sent'], form: string, key: string): Short | undefined => {
  const short = sent?.form === form ? (sent.refusal.current as Short | undefined) : undefined
  return short?.key === key ? short : undefined
}

function DrawForm({ lines, items, own, task, only, sent, at, today }: DrawProps & { at: string }) {
  const mine = sent?.form === 'draw' ? sent : undefined
  const other = (name: string) => (typeof mine?.typed[name] === 'string' ? mine.typed[name] : '')
  const { club } = usePage()
  const shortOther = shortOf(sent, 'draw', 'other')
  return (
    <Sheet title="From the stores">
      <Form action={`${at}/draw`} refusal={mine?.refusal} typed={mine?.typed}>
        {lines.length === 0 && <p>This task asks for nothing from the stores.</p>}
        {lines.map((l) => <Line key={l.key} line={l} value={task.isFinished || (only !== '' && only !== l.itemId) ? null : l.leftMilli} short={shortOf(sent, 'draw', l.key)} />)}
        {lines.length > 1 && <p class="quiet">Empty what you don’t take.</p>}
        <details open={lines.length === 0 || other('otherItem') !== '' || other('otherAmount') !== ''}>
          <summary>Something else</summary>
          <SelectField name="otherItem" label="Item" value="" blank="Nothing else" options={items.map((i) => ({ value: i.id, label: `${i.name} (${i.unit === 'm2' ? 'm²' : i.unit})` }))} />
          <Field name="otherAmount" label="How much" value="" size="short" hint="In the item’s unit, or with another: 1.2 kg" />
          <SelectField name="otherUse" label="Stock that is" value="any" options={USES} />
          {shortOther && <WeighCan short={shortOther} suffix=".other" />}
        </details>
        {own.length > 0 && (
          <RadioRow
            name="whose" legend="Whose stock" value="club" options={[{ value: 'club', label: 'The club’s' }, { value: 'own', label: 'My own' }]}
            hint={`Of your own: ${own.map((o) => `${format.stockAmount(o.milli, o.unit, club)} of ${o.name}`).join(', ')}`}
          />
        )}
        <Button>Book it</Button>
        <details open={other('why') !== '' || other('onDate') !== ''}>
          <summary>With a note, or on another day</summary>
          <Field name="why" label="Note" value="" required={false} maxLength={300} size="full" />
          <DateField name="onDate" label="Day" value="" max={today} required={false} hint="Empty: today" />
        </details>
      </Form>
    </Sheet>
  )
}

function Line({ line: l, value, short }: { line: NeedLine; value: number | null; short: Short | undefined }) {
  const { club } = usePage()
  const amount = (milli: number) => format.stockAmount(milli, l.item.unit, club)
  const first = l.item.lots[0]
  const facts = [
    `Needs ${amount(l.needMilli)}${l.drawnMilli === 0 ? '' : `, ${amount(l.drawnMilli)} drawn`}`,
    l.thereMilli === 0 ? 'none there by the book' : `${amount(l.thereMilli)} there${first ? `, lot ${first.number} first` : ''}`,
    l.item.shelf,
  ].filter((t) => t !== '')
  return (
    <div class="draw-line">
      <AmountField name={`amount.${l.key}`} label={l.structural ? l.item.name : `${l.item.name}, not for structure`} unit={l.item.unit} milli={value === 0 ? null : value} hint={facts.join(' · ')} />
      {short && <WeighCan short={short} suffix={`.${l.key}`} tares={l.item.lots} />}
      {l.item.lots.length > 1 && (
        <details>
          <summary>Another lot<span class="hidden"> of {l.item.name}</span></summary>
          <LotSelect name={`lot.${l.key}`} item={l.item} club={club} />
        </details>
      )}
    </div>
  )
}

function LotSelect({ name, item, club }: { name: string; item: NeedLine['item']; club: PageClub | null }) {
  const words = (lot: NeedLine['item']['lots'][number]) =>
    [`Lot ${lot.number}: ${format.stockAmount(lot.leftMilli, item.unit, club)}`, lot.until === null ? 'no date' : `until ${dayWords(lot.until, club?.locale ?? 'en-GB')}`, LOT_WORDS[lot.state]].filter((t) => t !== '').join(', ')
  return <SelectField name={name} label={`Lot of ${item.name}`} value="" blank="First expired first" options={item.lots.filter((l) => l.state !== 'discard').map((l) => ({ value: l.id, label: words(l) }))} />
}

const LOT_WORDS: Record<NeedLine['item']['lots'][number]['state'], string> = { fresh: '', test_first: 'past its date: test first', not_structural: 'not for structure', discard: 'to be discarded' }

/** The can and the book differ: the can is right. */
function WeighCan({ short, suffix, tares = [] }: { short: Short; suffix: string; tares?: NeedLine['item']['lots'] }) {
  const { club } = usePage()
  const one = short.lots.length === 1 ? short.lots[0] : undefined
  const byBook = (l: Short['lots'][number]) => `Lot ${l.number}: ${format.stockAmount(l.leftMilli, short.unit, club)} by the book`
  const hasTare = short.lots.some((s) => tares.some((t) => t.id === s.lotId && t.tareMg !== null))
  return (
    <Notice kind="care" title="Is there more in the can than the book says? Weigh it.">
      <p>The difference is booked for the storekeeper to look at, then your draw, both at once.</p>
      {one ? <input type="hidden" name={`weighedLot${suffix}`} value={one.lotId} /> : (
        <SelectField name={`weighedLot${suffix}`} label="Can" value="" blank="Choose the can" options={short.lots.map((l) => ({ value: l.lotId, label: byBook(l) }))} />
      )}
      <AmountField name={`weighed${suffix}`} label={`What is in it, of ${short.name}`} unit={short.unit} hint={`${one ? `${byBook(one)}. ` : ''}Before you take anything out`} />
      {hasTare && <CheckField name={`gross${suffix}`} label="Weighed with the can: take the empty can off" />}
    </Notice>
  )
}

/** The can on the scale before and after: the difference is what was taken. */
function WeighBack({ lines, sent, at }: DrawProps & { at: string }) {
  const mine = sent?.form === 'weigh' ? sent : undefined
  const short = shortOf(sent, 'weigh', 'weigh')
  const weighable = lines.filter((l) => l.item.unit === 'g' || l.item.unit === 'ml')
  const lots = weighable.flatMap((l) => l.item.lots.filter((x) => x.state !== 'discard').map((lot) => ({ value: lot.id, label: `Lot ${lot.number} of ${l.item.name}` })))
  return (
    <Sheet title="Or weigh the can back">
      <details open={mine !== undefined}>
        <summary>The can before and after</summary>
        <Form action={`${at}/draw/weigh`} refusal={mine?.refusal} typed={mine?.typed} label="Weigh the can back">
          <SelectField name="key" label="What was poured" value={weighable.length === 1 ? weighable[0]!.key : ''} {...(weighable.length === 1 ? {} : { blank: 'Choose' })} options={weighable.map((l) => ({ value: l.key, label: l.structural ? l.item.name : `${l.item.name}, not for structure` }))} />
          <div class="form-row">
            <NumberField name="before" label="Can before" unit="g" />
            <NumberField name="after" label="Can after" unit="g" />
          </div>
          {short && <WeighCan short={short} suffix="" tares={weighable.flatMap((l) => l.item.lots)} />}
          {lots.length > 1 && <SelectField name="lot" label="Can" value="" blank="First expired first" options={lots.filter((o, i) => lots.findIndex((x) => x.value === o.value) === i)} />}
          <Field name="why" label="Note" value="" required={false} maxLength={300} size="full" />
          <Button kind="plain">Book the difference</Button>
        </Form>
      </details>
    </Sheet>
  )
}
