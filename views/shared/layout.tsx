import type { ComponentChildren } from 'preact'
import { Nav, type Section } from './nav.tsx'
import { usePage, type Moved } from './page-context.ts'

export type LayoutProps = {
  /** The page's heading and, with the club's name, its title. */
  title: string
  /** Which entry of the navigation is marked; by the address when left out, none with null. */
  section?: Section | null
  /** A line above the heading, such as a Breadcrumb. */
  above?: ComponentChildren
  /** Wide pages (charts, tables) use the whole desk. */
  wide?: boolean
  /** Topics of live events that this page shows: "plan", "session:<id>". When one comes, the page offers to look again. */
  live?: readonly string[]
  children: ComponentChildren
}

// No history kept in the browser: a shared shed computer must not show a page to the next person. No inline style: the content policy.
const HTMX = JSON.stringify({
  historyCacheSize: 0,
  refreshOnHistoryMiss: true,
  includeIndicatorStyles: false,
  allowEval: false,
  allowScriptTags: false,
  selfRequestsOnly: true,
  scrollBehavior: 'instant',
  // A form shown again with its messages (409, 422) and a page that says what went wrong are shown like any other.
  responseHandling: [{ code: '204', swap: false }, { code: '...', swap: true }],
})

/** A whole page: head, skip link, header with the club's name and the navigation, what was done and what moved, heading, content. */
export function Layout({ title, section, above, wide = false, live, children }: LayoutProps) {
  const page = usePage()
  const name = page.club?.name ?? 'Garboard'
  return (
    <html lang={page.club?.locale ?? 'en'}>
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta name="color-scheme" content="light dark" />
        <meta name="theme-color" content="#0f3d38" />
        <meta name="htmx-config" content={HTMX} />
        <title>{title === name ? title : `${title} · ${name}`}</title>
        <link rel="stylesheet" href={page.asset('garboard.css')} />
        <link rel="icon" href={page.asset('icon.svg')} type="image/svg+xml" />
        <link rel="apple-touch-icon" href={page.asset('icon-180.png')} />
        <link rel="manifest" href={page.asset('garboard.webmanifest')} />
        <script src={page.asset('htmx.min.js')} defer />
        <script src={page.asset('garboard.js')} defer />
      </head>
      <body hx-boost="true">
        <a class="skip" href="#content">Skip to the content</a>
        <header class="top">
          <div class="top-in">
            <a class="club" href="/">
              <Mark />
              <span>{name}</span>
            </a>
            {page.member && <Nav section={section} foot={<Who name={page.member.name} />} />}
            {page.member && <Who name={page.member.name} />}
          </div>
        </header>
        <main id="content" class={wide ? 'page page-wide' : 'page'} tabIndex={-1}>
          <Strip flash={page.flash} moved={page.moved} />
          {live && (
            <div role="status" class="no-print">
              <p class="news" data-live={live.join(' ')} hidden>This page has news. <a href={page.path}>Look again</a></p>
            </div>
          )}
          {above}
          <h1>{title}</h1>
          {children}
        </main>
        <footer class="foot">
          <p>Data sheets, local codes and competent people come before anything a page here says.</p>
        </footer>
      </body>
    </html>
  )
}

function Who({ name }: { name: string }) {
  const page = usePage()
  return (
    <div class="who">
      <span class="who-name">{name}</span>
      <form method="post" action="/sign-out">
        <input type="hidden" name="once" value={page.once()} />
        <button class="button button-quiet" type="submit">Sign out</button>
      </form>
    </div>
  )
}

/** Three strakes: the garboard is the one next to the keel. */
function Mark() {
  return (
    <svg class="mark" viewBox="0 0 48 32" width="42" height="28" aria-hidden="true" focusable="false">
      <path class="mark-strake" d="M2 5c13 5 31 5 44 0" />
      <path class="mark-strake" d="M6 12c10 4.500 26 4.500 36 0" />
      <path class="mark-garboard" d="M11 20c8 4 18 4 26 0c-3 5.500-8 8-13 8s-10-2.500-13-8z" />
    </svg>
  )
}

const SHOWN = 3

/** What was just done, and what the last replan moved. */
function Strip({ flash, moved }: { flash: string | null; moved: readonly Moved[] }) {
  if (!flash && moved.length === 0) return null
  return (
    <div class="strip" role="status">
      {flash && <p class="strip-flash">{flash}</p>}
      {moved.length > 0 && (
        <div class="strip-moved">
          <p class="strip-title">What moved</p>
          <MovedList moved={moved.slice(0, SHOWN)} />
          {moved.length > SHOWN && (
            <details>
              <summary>{moved.length - SHOWN} more</summary>
              <MovedList moved={moved.slice(SHOWN)} />
            </details>
          )}
        </div>
      )}
    </div>
  )
}

function MovedList({ moved }: { moved: readonly Moved[] }) {
  return (
    <ul>
      <MovedLines moved={moved} />
    </ul>
  )
}

/** The lines alone, also as what takes the place of a line that said to wait. */
export function MovedLines({ moved }: { moved: readonly Moved[] }) {
  return (
    <>
      {moved.map(({ text, href, poll }) => (
        <li key={text} {...(poll ? { 'hx-get': poll, 'hx-trigger': 'load delay:700ms', 'hx-swap': 'outerHTML' } : {})}>{href ? <a href={href}>{text}</a> : text}</li>
      ))}
    </>
  )
}
