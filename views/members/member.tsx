import type { MemberPage } from '../../src/features/members/queries/members.ts'
import {
  Breadcrumb, Button, Caution, CheckField, DateField, DefinitionRows, Empty, ErrorSummary, Form, Layout, list, Notice, RadioRow, SelectField, Sheet, Table,
  TapForm, usePage, When, type FormRefusal, type Typed,
} from '../shared/index.ts'
import { MemberFields } from './member-fields.tsx'
import { dateText, roleNames, WEEKDAYS } from './words.ts'

export type MemberProps = { member: MemberPage; today: string; form?: 'member' | 'held'; refusal?: FormRefusal; typed?: Typed }

export function MemberView({ member, today, form, refusal, typed }: MemberProps) {
  const page = usePage()
  const isSelf = page.member?.id === member.id
  const mayEdit = page.may('members.edit')
  const seesContact = isSelf || page.may('members.contact')
  return (
    <Layout title={member.name} above={<Breadcrumb items={[{ href: '/members', text: 'Members' }]} />}>
      {refusal && !form && <ErrorSummary refusal={refusal} />}
      {!member.isActive && <Notice>{member.name} has left. What they did stays in the books; they are not planned.</Notice>}
      {member.isMinor && seesContact && (
        <Caution>{`${member.name} is under age: never alone at machines, with solvents or with uncured resin, and always with a grown-up who answers for them.`}</Caution>
      )}
      <Sheet title="In short">
        <DefinitionRows
          rows={[
            ['Roles', roleNames(member.roles)],
            ['Builds', member.builds.length > 0 ? list(member.builds.map((b) => b.name)) : null],
            ['Helps on', member.helpsAnyone ? 'any build' : 'their own builds'],
            ['E-mail', seesContact ? member.email : null],
            ['Telephone', seesContact ? member.phone : null],
            ['Usually here', list(member.usual.map((u) => `${WEEKDAYS[u.weekday - 1]} ${u.from}–${u.to} (${u.siteName})`)) || 'not said'],
          ]}
        />
        {isSelf && <p><a href="/my-times">Your times</a> · <a href="/me">Your own entry</a></p>}
        {!isSelf && mayEdit && member.isActive && <p><a href={`/members/${member.id}/times`}>Usual times and own hours</a></p>}
      </Sheet>
      <Competences member={member} today={today} />
      {mayEdit && <HoldForm member={member} today={today} refusal={form === 'held' ? refusal : undefined} typed={form === 'held' ? typed : undefined} />}
      {mayEdit && member.isActive && <SigningIn member={member} />}
      {mayEdit && (
        <Sheet title="Change">
          <Form action={`/members/${member.id}`} version={member.version} refusal={form === 'member' ? refusal : undefined} typed={form === 'member' ? typed : undefined}>
            <MemberFields member={member} />
            <CheckField name="isActive" label="Is with us" hint="Untick when they leave: they can’t sign in any more and aren’t planned" checked={member.isActive} />
            <Button>Save</Button>
          </Form>
        </Sheet>
      )}
    </Layout>
  )
}

function Competences({ member, today }: { member: MemberPage; today: string }) {
  const page = usePage()
  const locale = page.club?.locale
  return (
    <Sheet title="Competences">
      <Table
        caption={`What ${member.name} was checked on`}
        quietCaption
        rows={member.competences}
        rowKey={(c) => c.id}
        empty="Nothing checked yet."
        columns={[
          { key: 'name', heading: 'Competence', cell: (c) => c.name },
          { key: 'level', heading: 'Level', cell: (c) => (c.level === 'full' ? 'on their own' : 'supervised only') },
          { key: 'checked', heading: 'Checked', cell: (c) => `${dateText(c.checkedOn, locale)}${c.checkedBy ? ` by ${c.checkedBy}` : ''}` },
          {
            key: 'refresh',
            heading: 'Good until',
            cell: (c) => (c.refreshOn === null ? 'no end' : `${dateText(c.refreshOn, locale)}${c.refreshOn < today ? ': over, check again' : ''}`),
          },
          ...(page.may('members.edit')
            ? [{ key: 'off', heading: 'Take off', cell: (c: MemberPage['competences'][number]) => <TapForm action={`/members/${member.id}/competences/${c.id}/remove`} kind="care" about={c.name}>Take off</TapForm> }]
            : []),
        ]}
      />
    </Sheet>
  )
}

function HoldForm({ member, today, refusal, typed }: { member: MemberPage; today: string; refusal?: FormRefusal | undefined; typed?: Typed | undefined }) {
  if (member.choices.length === 0) return <Empty>There are no <a href="/competences">competences</a> yet.</Empty>
  return (
    <Sheet title="Note a check">
      <Form action={`/members/${member.id}/competences`} refusal={refusal} typed={typed}>
        <SelectField name="competenceId" label="Competence" options={member.choices.map((c) => ({ value: c.id, label: c.name }))} />
        <RadioRow name="level" legend="Level" value="full" options={[{ value: 'full', label: 'On their own' }, { value: 'supervised', label: 'Supervised only' }]} />
        <DateField name="checkedOn" label="Checked on" value={today} max={today} />
        <DateField name="refreshOn" label="Good until" required={false} hint="Empty: the competence’s own number of years, or no end" />
        <Button>Note it</Button>
      </Form>
    </Sheet>
  )
}

function SigningIn({ member }: { member: MemberPage }) {
  return (
    <Sheet title="Signing in">
      <p>
        {member.canSignIn ? `${member.name} signs in with e-mail and password. A new link lets them choose a new password.` : `${member.name} has no password yet.`}
        {member.invitedUntil && <> An invitation is open until <When at={member.invitedUntil} />; a new one ends it.</>}
      </p>
      <TapForm action={`/members/${member.id}/invite`}>Make an invitation link</TapForm>
    </Sheet>
  )
}
