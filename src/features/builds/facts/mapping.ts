/** What the names of a job list stand for in this club: by name where they fit. Pure. */
import type { BuildDraft, DraftTask, PlaceRole, ProductRole } from '../job-lists/types.ts'

export type ClubRow = { id: string; name: string }
export type ListNames = {
  tools: { name: string; most: number }[]
  competences: string[]
  places: Exclude<PlaceRole, 'boat' | 'anywhere'>[]
  products: ProductRole[]
  materials: { name: string; units: string[] }[]
}

const PLACE_ROLES = ['bench', 'tent'] as const
const PRODUCT_ROLES = ['epoxy', 'glue', 'fairing', 'primer', 'topcoat', 'varnish'] as const

/** All names that a draft uses. */
export function listNames(draft: BuildDraft): ListNames {
  const tools = new Map<string, number>()
  for (const tool of draft.tasks.flatMap((t) => t.tools)) tools.set(tool.name, Math.max(tool.count, tools.get(tool.name) ?? 0))
  for (const hold of draft.holds) if (hold.toolName !== null) tools.set(hold.toolName, Math.max(hold.amount, tools.get(hold.toolName) ?? 0))
  const used = <K extends keyof DraftTask>(key: K, value: DraftTask[K]) => draft.tasks.some((t) => t[key] === value)
  return {
    tools: [...tools].map(([name, most]) => ({ name, most })).sort((a, b) => a.name.localeCompare(b.name)),
    competences: [...new Set(draft.tasks.flatMap((t) => t.competences))].sort(),
    places: PLACE_ROLES.filter((role) => used('placeRole', role)),
    products: PRODUCT_ROLES.filter((role) => used('productRole', role)),
    materials: materialNames(draft.tasks.flatMap((t) => t.materials)),
  }
}

/** Each name once, with the units that it comes in. */
export function materialNames(rows: readonly { name: string; unit: string }[]): { name: string; units: string[] }[] {
  const units = new Map<string, Set<string>>()
  for (const { name, unit } of rows) units.set(name, (units.get(name) ?? new Set()).add(unit))
  return [...units].map(([name, all]) => ({ name, units: [...all].sort() })).sort((a, b) => a.name.localeCompare(b.name))
}

const plain = (name: string) => name.toLowerCase().replace(/[^a-z0-9]+/g, ' ').trim()

/** Same name, else one that holds the other or begins with the same word. */
export function byName<R extends ClubRow>(name: string, rows: readonly R[]): R | null {
  const wanted = plain(name)
  return (
    rows.find((r) => plain(r.name) === wanted) ??
    rows.find((r) => plain(r.name).includes(wanted) || wanted.includes(plain(r.name))) ??
    rows.find((r) => plain(r.name).split(' ')[0] === wanted.split(' ')[0]) ??
    null
  )
}

const PLACE_WORDS: Record<ListNames['places'][number], RegExp> = { bench: /bench/i, tent: /tent|paint|spray|booth/i }
export const placeFor = <R extends ClubRow>(role: ListNames['places'][number], rows: readonly R[]): R | null => rows.find((r) => PLACE_WORDS[role].test(r.name)) ?? null

const KIND: Record<ProductRole, string> = { epoxy: 'epoxy', glue: 'glue', fairing: 'fairing', primer: 'primer', topcoat: 'paint', varnish: 'varnish' }
/** The first of its kind; of epoxies the slow one, which leaves time on a hull; of paints the one without a hazard of its own kind. */
export function productFor<R extends ClubRow & { kind: string; hazard: string }>(role: ProductRole, rows: readonly R[]): R | null {
  const fit = rows.filter((r) => r.kind === KIND[role])
  if (role === 'epoxy') return fit.find((r) => /slow/i.test(r.name)) ?? fit[0] ?? null
  return fit.find((r) => !/isocyanate/i.test(r.hazard)) ?? fit[0] ?? null
}

export const ROLE_WORDS: Record<ProductRole | ListNames['places'][number], string> = {
  epoxy: 'Epoxy for coats, glass and fillets', glue: 'Glue', fairing: 'Fairing compound', primer: 'Primer', topcoat: 'Topcoat', varnish: 'Varnish',
  bench: 'Bench work', tent: 'Painting',
}
