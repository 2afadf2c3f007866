import { ButtonLink, ButtonRow } from './buttons.tsx'
import { Layout } from './layout.tsx'
import { usePage } from './page-context.ts'

export type ErrorPageProps = { status: number; title: string; text: string; number?: string }

export function ErrorPage({ status, title, text, number }: ErrorPageProps) {
  const page = usePage()
  return (
    <Layout title={title} section={null}>
      <p>{text}</p>
      {number && <p>Number to give when you ask about it: {number}</p>}
      <ButtonRow>
        {status === 401 && <ButtonLink href="/sign-in" kind="main">Sign in</ButtonLink>}
        {page.member && <ButtonLink href="/">Back to the noticeboard</ButtonLink>}
      </ButtonRow>
    </Layout>
  )
}
