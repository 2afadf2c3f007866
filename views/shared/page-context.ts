import { createContext } from 'preact'
import { useContext } from 'preact/hooks'

export type PageRole = 'officer' | 'storekeeper' | 'keyholder' | 'builder' | 'helper'
export type PageMember = { id: string; name: string; roles: readonly PageRole[] }
export type PageClub = { name: string; zone: string; units: 'metric' | 'imperial'; currency: string; locale: string }
/** `poll`: not known yet; with htmx the line asks there for what takes its place. */
export type Moved = { text: string; href?: string; poll?: string }

/** What every view may know without being handed it. */
export type Page = {
  member: PageMember | null
  /** null until the club is set up. */
  club: PageClub | null
  now: Date
  /** Path with its query, as asked for. */
  path: string
  /** One sentence about what was just done. */
  flash: string | null
  /** What the last replan moved, in words, newest first. */
  moved: readonly Moved[]
  /** A fresh once-only key; call it once a form: <input type="hidden" name="once" value={page.once()} />. */
  once(): string
  /** True when htmx asked for a part: leave out the layout. */
  isFragment: boolean
  /** Address of a file in static/ with its content's hash: asset('garboard.css'). */
  asset(path: string): string
  /** The policy table, for leaving out what this person can't do. On pages of a build its team counts by itself. */
  may(permission: string, onTeam?: boolean): boolean
}

export const PageContext = createContext<Page | null>(null)

export function usePage(): Page {
  const page = useContext(PageContext)
  if (!page) throw new Error('a view was rendered without reply.view()')
  return page
}
