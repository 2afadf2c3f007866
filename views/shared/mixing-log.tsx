import type { ComponentChildren } from 'preact'
import { Button } from './buttons.tsx'
import { CheckField, RadioRow } from './choices.tsx'
import { AmountField, Field, SelectField } from './fields.tsx'
import { Form, type FormRefusal, type Typed } from './form.tsx'
import { stockAmount } from './format.ts'
import type { MixedBatch, MixLot, PartLots, SystemLots } from './mixing-types.ts'
import { Notice } from './notices.tsx'
import { usePage, type PageClub } from './page-context.ts'
import { Table } from './table.tsx'
import { When } from './time.tsx'

const STATE = { fresh: 'fresh', test_first: 'test first', not_structural: 'not structural', discard: 'discard' } as const

export type BatchFormProps = {
  action: string
  productId: string
  lots: SystemLots
  /** What the next batch of the card has in it. */
  next: { resinMg: number; hardenerMg: number }
  structural: boolean
  title: string
  members?: readonly { id: string; name: string }[]
  /** Fields of the page it stands on. */
  children?: ComponentChildren
  refusal?: FormRefusal | undefined
  typed?: Typed | undefined
}

/** Books a batch as it was weighed: resin and hardener leave their lots, first expired unless another can was taken. */
export function BatchForm({ action, productId, lots, next, structural, title, members = [], children, refusal, typed }: BatchFormProps) {
  const { club, member } = usePage()
  const isOff = refusal?.fields?.['offRatio'] !== undefined || typed?.['offRatio'] !== undefined
  return (
    <Form action={action} hidden={{ product: productId }} refusal={refusal} typed={typed} label={title}>
      <Part part="resin" label="Resin" lots={lots.resin} mg={next.resinMg} club={club} refusal={refusal} typed={typed} />
      <Part part="hardener" label="Hardener" lots={lots.hardener} mg={next.hardenerMg} club={club} refusal={refusal} typed={typed} />
      {isOff && <CheckField name="offRatio" label="The ratio is off, and that is what went into the pot" hint="It may never cure: do not put it on the boat. It is booked with a note." />}
      {children}
      <details class="more" open={refusal?.fields?.['note'] !== undefined || refusal?.fields?.['by'] !== undefined}>
        <summary>Use, who mixed, note</summary>
        <RadioRow name="structural" legend="What it is for" value={structural ? 'yes' : 'no'} options={[{ value: 'yes', label: 'bears load' }, { value: 'no', label: 'bears none: may be stock that is not for structure' }]} />
        {members.length > 0 && <SelectField name="by" label="Mixed by" value={member?.id ?? ''} options={members.map((m) => ({ value: m.id, label: m.name }))} />}
        <Field name="note" label="Note" maxLength={500} hint="Filler, air, what it went on" size="full" required={false} />
      </details>
      <Button>{title}</Button>
    </Form>
  )
}

type PartProps = { part: 'resin' | 'hardener'; label: string; lots: PartLots; mg: number; club: PageClub | null; refusal: FormRefusal | undefined; typed: Typed | undefined }

function Part({ part, label, lots, mg, club, refusal, typed }: PartProps) {
  const weigh = refusal?.fields?.[part] !== undefined && isAbout(refusal.current, lots.itemId)
  const isWeighed = weigh || refusal?.fields?.[`${part}Left`] !== undefined || (typed?.[`${part}Left`] ?? '') !== ''
  return (
    <div>
      <AmountField name={part} label={`${label} as weighed: ${lots.name}`} unit="g" milli={mg} hint={pickWords(lots, club)} required />
      <details class="more" open={isWeighed || refusal?.fields?.[`${part}Lot`] !== undefined}>
        <summary>Another can, or weigh the can of {label.toLowerCase()}</summary>
        <SelectField name={`${part}Lot`} label={`Can of ${label.toLowerCase()}`} blank="First expired" options={lots.lots.map((lot) => ({ value: lot.id, label: lotWords(lot, club), disabled: !lot.mayServe && lot.state !== 'fresh' }))} size="full" />
        <AmountField name={`${part}Left`} label="The can really held, before this batch" unit="g" value="" hint="Only where the book is wrong: weigh the can less its tare. The difference is booked and waits for the storekeeper." />
      </details>
    </div>
  )
}

const isAbout = (current: unknown, itemId: string): boolean => typeof current === 'object' && current !== null && 'itemId' in current && current.itemId === itemId

function pickWords({ picks, shortMg, lots }: PartLots, club: PageClub | null): string {
  if (picks.length === 0) return lots.length === 0 ? 'None is left by the book' : 'None is left by the book that may be used for this'
  const from = picks.map((p) => `lot ${p.number}${picks.length > 1 ? ` (${stockAmount(p.mg, 'g', club)})` : ''}`).join(', then ')
  return `From ${from}, first expired${shortMg > 0 ? `; ${stockAmount(shortMg, 'g', club)} is short by the book` : ''}`
}

const lotWords = (lot: MixLot, club: PageClub | null): string =>
  [`Lot ${lot.number}`, `${stockAmount(lot.leftMg, 'g', club)} left`, lot.until === null ? 'no date' : `good until ${lot.until}`, lot.isOpen ? 'open' : 'sealed', lot.state === 'fresh' ? '' : STATE[lot.state]].filter((t) => t !== '').join(', ')

/** What was mixed so far. */
export function BatchTable({ batches, caption, empty }: { batches: readonly MixedBatch[]; caption: string; empty?: ComponentChildren }) {
  const { club } = usePage()
  return (
    <Table
      caption={caption} rows={batches} rowKey={(b) => b.id} empty={empty}
      columns={[
        { key: 'number', heading: 'Batch', cell: (b) => <a href={`/stores/batches/${b.id}`}>Batch {b.number}</a> },
        { key: 'at', heading: 'Mixed', cell: (b) => <When at={b.mixedAt} /> },
        { key: 'what', heading: 'What', cell: (b) => b.product.name },
        { key: 'mass', heading: 'Mass', numeric: true, cell: (b) => stockAmount(b.massMg, 'g', club) },
        { key: 'parts', heading: 'From', cell: (b) => <PartList parts={b.parts} club={club} /> },
        { key: 'by', heading: 'By', cell: (b) => <>{b.by}{b.chargedTo !== null && `, for ${b.chargedTo}’s own use`}{b.undone !== null && `; taken back by ${b.undone.by}: ${b.undone.why}`}</> },
      ]}
    />
  )
}

function PartList({ parts, club }: { parts: MixedBatch['parts']; club: PageClub | null }) {
  return <>{parts.map((p, i) => <span key={`${p.lotId}${i}`}>{i > 0 && ' + '}{p.mg === null ? '' : `${stockAmount(Math.round(p.mg / 100) * 100, 'g', club)} `}{p.name} (<a href={`/stores/lots/${p.lotId}`}>lot {p.lot}</a>)</span>)}</>
}

/** Says why there is nothing to book from. */
export const NoSystem = ({ name }: { name: string }) => <Notice><p>{name} is not tied to resin and hardener of the stores, so a batch of it can’t be drawn. A storekeeper says at the product which they are.</p></Notice>
