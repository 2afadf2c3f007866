import { Button, Empty, Field, Form, Layout, usePage, type FormRefusal, type Typed } from '../shared/index.ts'

export type InvitedProps = { token: string; open: { name: string; email: string | null } | null; refusal?: FormRefusal; typed?: Typed }

export function Invited({ token, open, refusal, typed }: InvitedProps) {
  const page = usePage()
  const club = page.club?.name ?? 'the club'
  if (!open) {
    return (
      <Layout title="This invitation is not open" section={null}>
        <Empty>It was used already, is past its date, or a newer one took its place. Ask an officer of {club} for a new link.</Empty>
      </Layout>
    )
  }
  return (
    <Layout title={`Welcome, ${open.name}`} section={null}>
      <p>{club} has invited you. Choose how you sign in.</p>
      <Form action={`/invite/${token}`} refusal={refusal} typed={typed}>
        <Field name="email" label="E-mail" type="email" autocomplete="username" value={open.email} />
        <Field name="password" label="Password" type="password" autocomplete="new-password" hint="10 characters or more; a few words in a row do well" />
        <Field name="again" label="Password once more" type="password" autocomplete="new-password" />
        <Button>Come in</Button>
      </Form>
    </Layout>
  )
}
