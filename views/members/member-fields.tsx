import type { PageRole } from '../shared/page-context.ts'
import { CheckField, Field, FieldGroup, TextArea } from '../shared/index.ts'
import { ROLES } from './words.ts'

export type MemberValues = { name: string; email: string | null; phone: string | null; roles: readonly PageRole[]; isMinor: boolean; helpsAnyone: boolean; note: string }

/** What an officer notes about a member. */
export function MemberFields({ member }: { member?: MemberValues }) {
  return (
    <>
      <Field name="name" label="Name" value={member?.name} required />
      <Field name="email" label="E-mail" type="email" value={member?.email} required={false} />
      <Field name="phone" label="Telephone" value={member?.phone} required={false} />
      <FieldGroup legend="Roles" name="roles">
        {ROLES.map(({ role, name, hint }) => (
          <CheckField key={role} name="roles" value={role} label={name} hint={hint} checked={member ? member.roles.includes(role) : role === 'builder'} />
        ))}
      </FieldGroup>
      <CheckField name="helpsAnyone" label="Helps on any build" hint="Otherwise planned only on builds whose team they are in" checked={member?.helpsAnyone ?? false} />
      <CheckField
        name="isMinor"
        label="Under age"
        hint="Never alone at machines, with solvents or uncured resin; a grown-up who answers for them is there. Local law and the club’s own rules come first."
        checked={member?.isMinor ?? false}
      />
      <TextArea name="note" label="Note" value={member?.note} required={false} rows={2} />
    </>
  )
}
