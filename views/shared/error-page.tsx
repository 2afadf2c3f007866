import { Layout } from './layout.tsx'
import { usePage } from './page-context.ts'

export type ErrorPageProps = { status: number; title: string; text: string; number?: string }

export function ErrorPage({ status, title, text, number }: ErrorPageProps) {
  const page = usePage()
  return (
    <Layout title={title}>
      <p>{text}</p>
      {number && <p>Number: {number}</p>}
      {status === 401 && <p><a class="button main" href="/sign-in">Sign in</a></p>}
      {page.member && <p><a href="/">Back to the noticeboard</a></p>}
    </Layout>
  )
}
