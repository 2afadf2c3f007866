import type { Attender, SessionPage } from '../../src/features/sessions/queries/sessions.ts'
import {
  Breadcrumb, Button, Caution, CheckField, ErrorSummary, Field, Form, Layout, list, Notice, SelectField, Sheet, TapForm, usePage, When, type FormRefusal, type Typed,
} from '../shared/index.ts'
import { AnswerWords } from './answer.tsx'
import { choices, dateText } from './words.ts'

export type HereProps = SessionPage & { isOn: boolean; form?: 'walk-in'; refusal?: FormRefusal; typed?: Typed }

export function HereView({ session: s, people, keyless, isOn, form, refusal, typed }: HereProps) {
  const page = usePage()
  const mayOthers = page.may('sessions.others')
  const title = dateText(s.date, page.club?.locale)
  const here = people.filter((p) => p.cameAt && !p.leftAt)
  const gone = people.filter((p) => p.cameAt && p.leftAt)
  const expected = people.filter((p) => !p.cameAt && (p.hours.length > 0 || p.answer === 'coming' || (p.memberId === page.member?.id && p.answer !== 'not_coming')))
  const others = people.filter((p) => !here.includes(p) && !gone.includes(p) && !expected.includes(p))
  const minors = here.filter((p) => p.isMinor)
  const line = (p: Attender) => <Line key={p.memberId} person={p} session={s} keyless={keyless} mayTick={isOn && (mayOthers || p.memberId === page.member?.id)} />
  return (
    <Layout title={`Who is here: ${title}`} live={[`session:${s.id}`]} above={<Breadcrumb items={[{ href: '/sessions', text: 'Sessions' }, { href: `/sessions/${s.id}`, text: title }]} />}>
      {refusal && !form && <ErrorSummary refusal={refusal} />}
      {!isOn && <Notice>{s.state === 'planned' ? 'It is not on yet: tick who is here on the day.' : s.state === 'closed' ? 'This session is closed out.' : 'This session is called off.'}</Notice>}
      {isOn && !here.some((p) => p.holdsKeys || p.memberId === s.keyholderId) && <Notice kind="care">Nobody with a key is ticked as here yet.</Notice>}
      {minors.length > 0 && mayOthers && (
        <Caution>{`${list(minors.map((p) => p.name))} ${minors.length === 1 ? 'is' : 'are'} under age: never alone at machines, with solvents or with uncured resin, and with a grown-up who answers for them. Plans leave them out; the grown-ups decide what they do.`}</Caution>
      )}
      <Sheet title={`Here (${here.length})`}>{here.length === 0 ? <p class="muted">Nobody is ticked yet.</p> : <ul class="plain-list">{here.map(line)}</ul>}</Sheet>
      {expected.length > 0 && <Sheet title={`Expected (${expected.length})`}><ul class="plain-list">{expected.map(line)}</ul></Sheet>}
      {gone.length > 0 && <Sheet title={`Left (${gone.length})`}><ul class="plain-list">{gone.map(line)}</ul></Sheet>}
      {isOn && mayOthers && (
        <Sheet title="Somebody else came">
          <Form action={`/sessions/${s.id}/walk-in`} refusal={form ? refusal : undefined} typed={form ? typed : undefined} label="A walk-in">
            <SelectField name="memberId" label="Member" options={choices(others.map((p) => ({ id: p.memberId, name: p.name })))} blank="Not a member yet" />
            <Field name="newName" label="New name" required={false} maxLength={120} hint="Somebody new becomes a helper without a sign-in; an officer can fill in the rest" />
            <CheckField name="isMinor" label="Under age" />
            <Button>Is here</Button>
          </Form>
        </Sheet>
      )}
    </Layout>
  )
}

function Line({ person: p, session: s, keyless, mayTick }: { person: Attender; session: SessionPage['session']; keyless: boolean; mayTick: boolean }) {
  const action = `/sessions/${s.id}/here`
  const tap = (tick: string, words: string, kind: 'main' | 'plain' = 'plain') => <TapForm action={action} fields={{ memberId: p.memberId, tick }} about={p.name} kind={kind}>{words}</TapForm>
  return (
    <li>
      <p>
        <b>{p.name}</b>{p.walkIn && ' (walked in)'}{' '}
        <span class="muted">
          {p.cameAt ? <>since <When at={p.cameAt} as="time" />{p.leftAt && <>, left <When at={p.leftAt} as="time" /></>}</> : <AnswerWords mine={p} hours={p.hours} session={s} keyless={keyless} hasKey={s.keyholderId === p.memberId} />}
        </span>
      </p>
      {mayTick && (
        <div class="button-row">
          {!p.cameAt && tap('here', 'Is here', 'main')}
          {p.cameAt && !p.leftAt && tap('left', 'Has left')}
          {p.cameAt && !p.leftAt && tap('not-here', 'Was ticked by mistake')}
          {p.leftAt && tap('back', 'Is here still')}
        </div>
      )}
    </li>
  )
}
