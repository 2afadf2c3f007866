import type { LinkLine } from '../../src/features/reviews/guests/model.ts'
import type { Shows } from '../../src/features/reviews/model.ts'
import {
  Breadcrumb, Button, CheckField, DateField, Empty, ErrorSummary, Field, FieldGroup, Form, Layout, list, Notice, QrCode, sentence, Sheet, Swatch, TapForm, usePage, useTimes, When, type FormRefusal, type Typed,
} from '../shared/index.ts'

export type GuestsProps = {
  build: { id: string; name: string; visibility: 'club' | 'team' }
  links: readonly LinkLine[]
  /** The address of a link just made: shown this once. */
  fresh: { address: string; qr: { size: number; path: string }; isLocal: boolean } | null
  today: string
  refusal?: FormRefusal | undefined
  typed?: Typed | undefined
  /** The link whose form was refused; none: the new one's. */
  linkId?: string | undefined
}

const NEW: Shows = { money: false, names: false, photos: true, snags: false, log: false }

/** Links for people who are no members: family, friends, whoever gave money. Each shows what it is told to, and can be withdrawn. */
export function Guests(props: GuestsProps) {
  const { build, links, fresh, refusal, typed, linkId } = props
  const at = `/builds/${build.id}/guests`
  const open = links.filter((l) => l.state !== 'withdrawn')
  const gone = links.filter((l) => l.state === 'withdrawn')
  const isNewRefused = refusal !== undefined && linkId === undefined
  return (
    <Layout title={`Guests of ${build.name}`} section="builds" above={<Breadcrumb items={[{ href: '/builds', text: 'Builds' }, { href: `/builds/${build.id}`, text: build.name }]} />}>
      {fresh && <Fresh {...fresh} />}
      <p class="lead">A guests’ link shows {build.name} to people who are no members: how far she is, when she may be launched, what happens next, and her signed week reviews. Nobody needs a sign-in for it, so whoever has the address sees the page.</p>
      {build.visibility === 'team' && <Notice><p>She is open to her team only. A guests’ link shows her all the same to whoever gets it from you.</p></Notice>}
      {refusal && linkId !== undefined && !open.some((l) => l.id === linkId) && <ErrorSummary refusal={refusal} />}
      <Sheet title="Links">
        {open.length === 0 ? <Empty>No guests yet. Make the first link below.</Empty> : (
          <ul class="plain-list">
            {open.map((l) => <li key={l.id}><OpenLink link={l} at={at} refusal={linkId === l.id ? refusal : undefined} typed={linkId === l.id ? typed : undefined} today={props.today} /></li>)}
          </ul>
        )}
      </Sheet>
      <Sheet title="Make a link">
        <Form action={at} refusal={isNewRefused ? refusal : undefined} typed={isNewRefused ? typed : undefined} label="Make a link">
          <Field name="label" label="For whom" hint="For your own list, such as “the aunt’s family” or “the savings bank”; guests don’t see it." maxLength={80} required />
          <ShowsFields shows={NEW} />
          <DateField name="untilOn" label="Last day" hint="After it the link shows nothing." min={props.today} required={false} />
          <Button>Make the link</Button>
        </Form>
        <p>Photos of people need their consent; those of minors, their parents’ too. A photo can be kept from guests where it is in the log. Nicknames can’t be known to the service: open the link yourself before you give it away.</p>
      </Sheet>
      {gone.length > 0 && (
        <Sheet title="Withdrawn">
          <ul>
            {gone.map((l) => <li key={l.id}>{l.label}: withdrawn {l.withdrawnAt && <When at={l.withdrawnAt} as="day" />} by {l.withdrawnBy}</li>)}
          </ul>
        </Sheet>
      )}
    </Layout>
  )
}

/** The address of a new link. Nobody can look it up again: the service keeps only what it is recognised by. */
function Fresh({ address, qr, isLocal }: NonNullable<GuestsProps['fresh']>) {
  return (
    <div class="notice notice-good guest-new">
      <p class="notice-title">Copy this address now: it is shown this once</p>
      <div class="guest-address">
        <QrCode qr={qr} label="Code that opens the new link" width={170} />
        <div>
          <p><a href={address}><code>{address}</code></a></p>
          <p>Send it to whom it is for, or let them point a phone at the code. When it is lost, make another and withdraw this one.</p>
          {isLocal && <p><b>Only this computer knows that address.</b> Open this page by the address that others use, or have the service’s public address set, and make the link then.</p>}
        </div>
      </div>
    </div>
  )
}

const PARTS: readonly { name: keyof Shows; label: string; word: string }[] = [
  { name: 'photos', label: 'Photos that may be shown to guests', word: 'photos' },
  { name: 'names', label: 'Names of the people who build her; never those of minors', word: 'names' },
  { name: 'snags', label: 'Snags', word: 'snags' },
  { name: 'log', label: 'Her log', word: 'her log' },
  { name: 'money', label: 'What her materials cost', word: 'money' },
]

function ShowsFields({ shows }: { shows: Shows }) {
  return (
    <FieldGroup legend="It shows, besides how far she is">
      {PARTS.map(({ name, label }) => <CheckField key={name} name={name} label={label} checked={shows[name]} />)}
    </FieldGroup>
  )
}

function OpenLink({ link: l, at, refusal, typed, today }: { link: LinkLine; at: string; refusal: FormRefusal | undefined; typed: Typed | undefined; today: string }) {
  const times = useTimes()
  const page = usePage()
  const shown = PARTS.filter(({ name }) => l.shows[name]).map(({ word }) => word)
  const day = (iso: string) => times.day(Date.parse(`${iso}T12:00:00Z`) / 60_000)
  return (
    <>
      <h3>{l.label}</h3>
      <p>
        {l.state === 'over' ? <Swatch state="paused">over since {day(l.untilOn ?? today)}</Swatch> : <Swatch state="ready">open</Swatch>}
        {' '}{sentence(`Besides how far she is, it shows ${shown.length === 0 ? 'nothing' : list(shown)}`)}
        {l.untilOn !== null && l.state === 'open' && <> Its last day is {day(l.untilOn)}.</>}
        {' '}<span class="quiet">Made <When at={l.madeAt} as="day" /> by {l.madeBy}; {l.lastSeenAt === null ? 'nobody has opened it yet' : <>last opened <When at={l.lastSeenAt} /></>}.</span>
      </p>
      {page.may('reviews.share') && (
        <>
          <details open={refusal !== undefined}>
            <summary>Change what it shows</summary>
            <Form action={`${at}/${l.id}`} version={l.version} refusal={refusal} typed={typed} label={`What the link for ${l.label} shows`}>
              <ShowsFields shows={l.shows} />
              <DateField name="untilOn" label="Last day" hint="After it the link shows nothing." value={l.untilOn} required={false} />
              <Button kind="plain">Save</Button>
            </Form>
          </details>
          <TapForm action={`${at}/${l.id}/withdraw`} kind="care" about={`the link for ${l.label}`}>Withdraw</TapForm>
        </>
      )}
    </>
  )
}
