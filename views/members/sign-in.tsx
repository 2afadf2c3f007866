import { Button, Field, Form, Layout, usePage, type FormRefusal, type Typed } from '../shared/index.ts'

export function SignIn({ then, refusal, typed }: { then: string; refusal?: FormRefusal; typed?: Typed }) {
  const page = usePage()
  return (
    <Layout title={`Sign in to ${page.club?.name ?? 'Garboard'}`} section={null}>
      <Form action="/sign-in" refusal={refusal} typed={typed} hidden={{ then }}>
        <Field name="email" label="E-mail" type="email" autocomplete="username" />
        <Field name="password" label="Password" type="password" autocomplete="current-password" />
        <Button>Sign in</Button>
      </Form>
      <p>No password yet, or forgotten? An officer of the club can make you an invitation link.</p>
    </Layout>
  )
}
