import type { Attender, SessionPage } from '../../src/features/sessions/queries/sessions.ts'
import {
  Breadcrumb, Button, ButtonLink, Caution, DefinitionRows, ErrorSummary, Form, Layout, list, Notice, Sheet, Span, Table, TapForm, TextArea, usePage, useTimes, When,
  type FormRefusal, type Typed,
} from '../shared/index.ts'
import { AnswerTaps, AnswerWords, HoursText } from './answer.tsx'
import { dateText, shownTime } from './words.ts'

export type SessionProps = SessionPage & { form?: 'answer' | 'cancel'; refusal?: FormRefusal; typed?: Typed }

export function SessionView(props: SessionProps) {
  const { session: s, people, form, refusal, typed } = props
  const page = usePage()
  const times = useTimes()
  const mine = people.find((p) => p.memberId === page.member?.id)
  const isOpen = s.state === 'planned' && s.end > times.now
  const asked = typeof typed?.['memberId'] === 'string' ? typed['memberId'] : undefined
  const isMine = !asked || asked === page.member?.id
  // Where its form is not on the page (any more), the message stands on top.
  const inForm = (form === 'answer' && isMine && isOpen && mine) || (form === 'cancel' && s.state === 'planned')
  return (
    <Layout title={`${dateText(s.date, page.club?.locale)}, ${s.starts}–${shownTime(s.ends)}`} live={[`session:${s.id}`]} above={<Breadcrumb items={[{ href: '/sessions', text: 'Sessions' }]} />}>
      {refusal && !inForm && <ErrorSummary refusal={refusal} />}
      {s.state === 'cancelled' && <Notice kind="care" title="Called off">{s.note || 'This session does not take place.'}</Notice>}
      {s.state === 'closed' && <Notice kind="good">Closed out{s.closedAt && <> <When at={s.closedAt} /></>}.</Notice>}
      <KeyNotice {...props} />
      {isOpen && mine && (
        <Sheet title="Do you come?">
          <p>You: <AnswerWords mine={mine} hours={mine.hours} session={s} keyless={props.keyless} hasKey={s.keyholderId === mine.memberId} /></p>
          <AnswerTaps sessionId={s.id} about="" starts={s.starts} ends={shownTime(s.ends)} mine={mine} back="page" refusal={form === 'answer' && isMine ? refusal : undefined} typed={form === 'answer' && isMine ? typed : undefined} />
        </Sheet>
      )}
      <Sheet
        title="The session"
        actions={<>
          <ButtonLink href={`/sessions/${s.id}/sheet`}>Session sheet</ButtonLink>
          {s.state === 'planned' && <ButtonLink href={`/sessions/${s.id}/here`}>Who is here</ButtonLink>}
          {s.state === 'planned' && page.may('sessions.edit') && <ButtonLink href={`/sessions/${s.id}/close-out`}>Close out</ButtonLink>}
        </>}
      >
        <DefinitionRows
          rows={[
            ['Time', <Span from={s.start} to={s.end} />],
            ['Site', s.siteName],
            ['Keyholder', s.keyholderName ?? 'nobody yet'],
            ['What', s.title],
            ['Note', s.note],
            ['Series', s.seriesId && <a href={`/sessions/series/${s.seriesId}`}>{s.seriesName}</a>],
          ]}
        />
      </Sheet>
      <People {...props} />
      {page.may('sessions.edit') && s.state !== 'closed' && <Change {...props} />}
    </Layout>
  )
}

function KeyNotice({ session: s, keyless, unkeyed }: SessionProps) {
  const page = usePage()
  const times = useTimes()
  if (s.state !== 'planned' || s.end <= times.now) return null
  const holdsKeys = page.member?.roles.some((role) => role === 'keyholder' || role === 'officer') ?? false
  const key = holdsKeys && (s.keyholderId === page.member?.id
    ? <TapForm action={`/sessions/${s.id}/key`} fields={{ key: 'give-back', back: 'page' }}>Give back the key</TapForm>
    : <TapForm action={`/sessions/${s.id}/key`} fields={{ key: 'take', back: 'page' }}>I take the key</TapForm>)
  if (unkeyed.length === 0) return s.keyholderId ? <>{key}</> : <Notice><p>Nobody has taken the key yet, but somebody who may open comes.</p>{key}</Notice>
  return (
    <Notice kind="care" title={keyless ? 'No keyholder is there: nobody’s hours count' : 'Part of it is without a keyholder'}>
      <p>
        {keyless
          ? 'The workshop is open only while a keyholder is there, so nothing is planned for this session. Whoever may open can take the key.'
          : <>Hours count only while a keyholder is there; nobody is at <HoursText hours={unkeyed} />.</>}
      </p>
      {key}
    </Notice>
  )
}

function People({ session: s, people, keyless }: SessionProps) {
  const page = usePage()
  const mayOthers = page.may('sessions.others')
  const minors = people.filter((p) => p.isMinor && p.hours.length > 0)
  return (
    <Sheet title="Who comes">
      {mayOthers && minors.length > 0 && (
        <Caution>{`${list(minors.map((p) => p.name))} ${minors.length === 1 ? 'is' : 'are'} under age: never alone at machines, with solvents or with uncured resin, and with a grown-up who answers for them. Plans leave them out; the grown-ups decide what they do.`}</Caution>
      )}
      <Table
        caption="Members and their answers"
        quietCaption
        rows={[...people].sort((a, b) => rank(a) - rank(b))}
        rowKey={(p) => p.memberId}
        columns={[
          { key: 'name', heading: 'Member', cell: (p) => <a href={`/members/${p.memberId}`}>{p.name}</a> },
          { key: 'said', heading: 'Comes', cell: (p) => <AnswerWords mine={p} hours={p.hours} session={s} keyless={keyless} hasKey={s.keyholderId === p.memberId} /> },
          ...(mayOthers && s.state === 'planned' ? [{ key: 'for', heading: 'Answer for them', cell: (p: Attender) => p.memberId === page.member?.id ? '' : <For session={s} person={p} /> }] : []),
        ]}
      />
    </Sheet>
  )
}

const rank = (p: Attender) => (p.hours.length > 0 ? 0 : p.answer === 'coming' ? 1 : p.answer === null ? 2 : 3)

function For({ session: s, person: p }: { session: SessionPage['session']; person: Attender }) {
  return (
    <details>
      <summary>Answer<span class="hidden"> for {p.name}</span></summary>
      <AnswerTaps sessionId={s.id} about={`for ${p.name}`} starts={s.starts} ends={shownTime(s.ends)} mine={p} memberId={p.memberId} back="page" />
    </details>
  )
}

function Change({ session: s, form, refusal, typed }: SessionProps) {
  const own = form === 'cancel'
  return (
    <Sheet title="Change it" actions={s.state === 'planned' && <ButtonLink href={`/sessions/${s.id}/edit`}>Change this one</ButtonLink>}>
      {s.state === 'cancelled' ? (
        <TapForm action={`/sessions/${s.id}/restore`} fields={{ version: s.version }}>It takes place after all</TapForm>
      ) : (
        <Form action={`/sessions/${s.id}/cancel`} version={s.version} refusal={own ? refusal : undefined} typed={own ? typed : undefined} label="Call it off">
          <TextArea name="note" label="Why it is called off" required={false} rows={2} />
          <Button kind="care">Call this one off</Button>
        </Form>
      )}
      {s.seriesId && <p>The others of its series stay; <a href={`/sessions/series/${s.seriesId}`}>change the series from a date on</a>.</p>}
    </Sheet>
  )
}
