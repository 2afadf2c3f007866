import type { SessionChoices } from '../../src/features/sessions/queries/sessions.ts'
import { Breadcrumb, Button, CheckField, DateField, Field, FieldGroup, Form, Layout, NumberField, RadioRow, SelectField, TextArea, TimeField, type FormRefusal, type Typed } from '../shared/index.ts'
import { choices } from './words.ts'

type Common = { choices: SessionChoices; refusal?: FormRefusal; typed?: Typed }
export type NewSessionProps = Common & { fields: Record<string, string> }

export function NewSessionView({ choices: c, fields, refusal, typed }: NewSessionProps) {
  return (
    <Layout title="Enter sessions" above={<Breadcrumb items={[{ href: '/sessions', text: 'Sessions' }]} />}>
      <Form action="/sessions/new" refusal={refusal} typed={typed}>
        <About choices={c} fields={fields} />
        <RadioRow name="repeat" legend="How often" value="once" options={[{ value: 'once', label: 'Once' }, { value: 'weekly', label: 'Again and again on this weekday' }]} />
        <FieldGroup legend="When it repeats" hint="These matter only for sessions that repeat">
          <NumberField name="everyWeeks" label="Every how many weeks" value="1" whole />
          <DateField name="untilOn" label="Entered until" value={fields['untilOn']} hint="Members can answer for sessions up to this day; more can follow later" />
          <CheckField name="goesOn" label="The rhythm goes on after that" hint="Plans assume it up to two years ahead, and then name only the week" checked />
          <CheckField name="skipTaken" label="Leave out dates that are taken already" />
        </FieldGroup>
        <Button>Enter</Button>
      </Form>
    </Layout>
  )
}

export type EditSessionProps = Common & { session: { id: string; version: number; seriesId: string | null }; title: string; fields: Record<string, string> }

export function EditSessionView({ session, title, choices: c, fields, refusal, typed }: EditSessionProps) {
  return (
    <Layout title={`Change ${title}`} above={<Breadcrumb items={[{ href: '/sessions', text: 'Sessions' }, { href: `/sessions/${session.id}`, text: title }]} />}>
      {session.seriesId && <p>This changes this one session only. <a href={`/sessions/series/${session.seriesId}`}>Change the series from a date on</a> instead?</p>}
      <Form action={`/sessions/${session.id}/edit`} version={session.version} refusal={refusal} typed={typed}>
        <About choices={c} fields={fields} />
        <Button>Save</Button>
      </Form>
    </Layout>
  )
}

function About({ choices: c, fields }: { choices: SessionChoices; fields: Record<string, string> }) {
  return (
    <>
      <SelectField name="siteId" label="Where" value={fields['siteId']} options={choices(c.sites)} />
      <DateField name="date" label="Date" value={fields['date']} />
      <TimeField name="starts" label="Starts" value={fields['starts']} />
      <TimeField name="ends" label="Ends" value={fields['ends']} hint="00:00 is midnight at the end of the day" />
      <SelectField name="keyholderId" label="Keyholder" value={fields['keyholderId']} options={choices(c.keyholders)} blank="Nobody yet" hint="Hours count only while somebody with a key is there" />
      <Field name="title" label="What" value={fields['title']} required={false} maxLength={120} hint="Such as “Saturday” or “Turning over”" />
      <TextArea name="note" label="Note" value={fields['note']} required={false} rows={2} />
    </>
  )
}
