import type { MemberPage } from '../../src/features/members/queries/members.ts'
import { Button, ButtonLink, ButtonRow, CheckField, DefinitionRows, Field, Form, Layout, list, Sheet, usePage, type FormRefusal, type Typed } from '../shared/index.ts'
import { dateText, roleNames } from './words.ts'

export function MeView({ member, form, refusal, typed }: { member: MemberPage; form?: 'me' | 'password'; refusal?: FormRefusal; typed?: Typed }) {
  const page = usePage()
  const { club } = page
  return (
    <Layout title="Me">
      <ButtonRow>
        <ButtonLink href="/my-times">My times</ButtonLink>
        <ButtonLink href="/me/reminders">Reminders</ButtonLink>
        <ButtonLink href={`/members/${member.id}`}>How others see me</ButtonLink>
        {page.may('club.edit') && <ButtonLink href="/club">The club’s settings</ButtonLink>}
      </ButtonRow>
      <Sheet title="My entry">
        <DefinitionRows
          rows={[
            ['Roles', `${roleNames(member.roles)} (an officer changes them)`],
            ['Competences', list(member.competences.map((c) => `${c.name}${c.level === 'supervised' ? ' (supervised)' : ''}${c.refreshOn ? ` until ${dateText(c.refreshOn, club?.locale)}` : ''}`)) || 'none checked yet'],
          ]}
        />
        <Form action="/me" version={member.version} refusal={form === 'me' ? refusal : undefined} typed={form === 'me' ? typed : undefined}>
          <Field name="name" label="Name" value={member.name} autocomplete="name" required />
          <Field name="email" label="E-mail" type="email" value={member.email} autocomplete="email" hint="You sign in with it" />
          <Field name="phone" label="Telephone" value={member.phone} autocomplete="tel" required={false} hint="Officers and keyholders see it" />
          <CheckField name="helpsAnyone" label="I help on any build" hint="Otherwise you are planned only on builds whose team you are in" checked={member.helpsAnyone} />
          <Button>Save</Button>
        </Form>
      </Sheet>
      <Sheet title="Password">
        <Form action="/me/password" refusal={form === 'password' ? refusal : undefined}>
          <Field name="current" label="Password so far" type="password" autocomplete="current-password" />
          <Field name="password" label="New password" type="password" autocomplete="new-password" hint="10 characters or more" />
          <Field name="again" label="New password once more" type="password" autocomplete="new-password" />
          <Button kind="plain">Change password</Button>
        </Form>
      </Sheet>
      <Sheet title="My data">
        <p>Everything that is kept about you: your entry, times, answers and logged hours, as a file.</p>
        <p><a href="/me/data" download="my-data.json" hx-boost="false">Download my data</a></p>
      </Sheet>
    </Layout>
  )
}
