import type { ComponentChildren } from 'preact'
import { usePage } from '../shared/index.ts'

/** Pages for guests: the club's name, no way into the club's own pages, nothing that runs, nothing for search engines. */
export function GuestLayout({ title, above, children }: { title: string; above?: ComponentChildren; children: ComponentChildren }) {
  const page = usePage()
  const club = page.club?.name ?? 'Garboard'
  return (
    <html lang={page.club?.locale ?? 'en'}>
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta name="color-scheme" content="light dark" />
        <meta name="theme-color" content="#0f3d38" />
        <meta name="robots" content="noindex, nofollow, noarchive" />
        <title>{`${title} · ${club}`}</title>
        <link rel="stylesheet" href={page.asset('garboard.css')} />
        <link rel="icon" href={page.asset('icon.svg')} type="image/svg+xml" />
      </head>
      <body class="guest">
        <a class="skip" href="#content">Skip to the content</a>
        <header class="guest-top">
          <p>{club}</p>
        </header>
        <main id="content" class="page" tabIndex={-1}>
          {above}
          <h1>{title}</h1>
          {children}
        </main>
        <footer class="foot">
          <p>Shown to you by a link of {club}. Please don’t put it where everybody can read it.</p>
        </footer>
      </body>
    </html>
  )
}
