import type { ComponentChildren } from 'preact'
import { usePage } from './page-context.ts'

export type Section = 'noticeboard' | 'weeks' | 'builds' | 'sessions' | 'workshop' | 'stores' | 'members' | 'me'

const ENTRIES: readonly { section: Section; href: string; text: string; under: readonly string[] }[] = [
  { section: 'noticeboard', href: '/', text: 'Noticeboard', under: ['/moved'] },
  { section: 'weeks', href: '/weeks-ahead', text: 'Weeks ahead', under: ['/weeks-ahead', '/club-sheet'] },
  { section: 'builds', href: '/builds', text: 'Builds', under: ['/builds', '/log'] },
  { section: 'sessions', href: '/sessions', text: 'Sessions', under: ['/sessions'] },
  { section: 'workshop', href: '/workshop', text: 'Workshop', under: ['/workshop', '/overnight'] },
  { section: 'stores', href: '/stores', text: 'Stores', under: ['/stores'] },
  { section: 'members', href: '/members', text: 'Members', under: ['/members', '/competences', '/club'] },
  { section: 'me', href: '/me', text: 'Me', under: ['/me', '/my-times'] },
]

/** Which part of the club's pages an address belongs to. */
export function sectionOf(path: string): Section | null {
  const bare = path.split('?')[0] ?? '/'
  if (bare === '/') return 'noticeboard'
  return ENTRIES.find((entry) => entry.under.some((start) => bare === start || bare.startsWith(`${start}/`)))?.section ?? null
}

function Links({ current }: { current: Section | null }) {
  const { path } = usePage()
  const bare = path.split('?')[0]
  return (
    <ul>
      {ENTRIES.map(({ section, href, text }) => (
        <li key={section}>
          <a href={href} aria-current={section !== current ? undefined : href === bare ? 'page' : 'true'}>{text}</a>
        </li>
      ))}
    </ul>
  )
}

/** One list for a wide page, the same folded away on a small one; only one of the two is ever shown. */
export function Nav({ section, foot }: { section?: Section | null | undefined; foot?: ComponentChildren }) {
  const { path } = usePage()
  const current = section ?? sectionOf(path)
  return (
    <>
      <nav class="nav nav-wide" aria-label="Club">
        <Links current={current} />
      </nav>
      <nav class="nav nav-small" aria-label="Club">
        <details>
          <summary>Menu</summary>
          <Links current={current} />
          {foot}
        </details>
      </nav>
    </>
  )
}
