import { usePage } from './page-context.ts'

export type ErrorPageProps = { status: number; title: string; text: string; number?: string }

export function ErrorPage({ status, title, text, number }: ErrorPageProps) {
  const page = usePage()
  return (
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <title>{title}</title>
      </head>
      <body>
        <main>
          <h1>{title}</h1>
          <p>{text}</p>
          {number && <p>Number: {number}</p>}
          {status === 401 && <p><a href="/sign-in">Sign in</a></p>}
          {page.member && <p><a href="/">Back to the noticeboard</a></p>}
        </main>
      </body>
    </html>
  )
}
