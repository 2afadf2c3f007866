/** Who owes what for material, to the cent. Pure. */
import { largestRemainder } from '../../../core/stock/index.ts'

/** How shared use is spread over builds at a settlement. */
export const SHARED_BY = ['hours', 'equal', 'charges'] as const
export type SharedBy = (typeof SHARED_BY)[number]

/** Sums of entries that are not settled yet: what left stock is positive, in cents. */
export type ChargeSum = {
  buildId: string | null
  /** Own use, or bought from the club. */
  memberId: string | null
  /** Whose stock it was; null: the club's. */
  ownerId: string | null
  cents: number
  entries: number
}

/** A build and what its share follows from. */
export type BuildWeight = { id: string; isActive: boolean; workedMin: number }

/** What a build or a member owes; below 0 it is owed to them. */
export type ChargeLine = {
  buildId: string | null
  memberId: string | null
  /** From the club's stock. */
  clubCents: number
  /** From members' own stock that went into others' work. */
  membersCents: number
  /** A member's own stock that others took: below 0. */
  creditCents: number
  sharedCents: number
  totalCents: number
}

export type Statement = {
  builds: ChargeLine[]
  members: ChargeLine[]
  shared: {
    cents: number
    entries: number
    by: SharedBy
    /** The rule had nothing to go by (no hours, no charges): equal shares. */
    isEqualInstead: boolean
    /** Nobody to bear it: it stays open. */
    isUnspread: boolean
    weights: { buildId: string; weight: number; cents: number }[]
  }
  totalCents: number
  entries: number
}

const line = (key: Pick<ChargeLine, 'buildId' | 'memberId'>): ChargeLine => ({ ...key, clubCents: 0, membersCents: 0, creditCents: 0, sharedCents: 0, totalCents: 0 })

/**
 * Charges of builds and members, and shared use spread by the rule with `largestRemainder`, so that the lines add up to the entries'
 * values to the cent. Stock of a member's own that went to a build, or to another member, is charged there and credited to its owner.
 *
 * @param builds in the order in which the last odd cents go round.
 */
export function statement(sums: readonly ChargeSum[], builds: readonly BuildWeight[], by: SharedBy): Statement {
  const lines = new Map<string, ChargeLine>()
  const of = (buildId: string | null, memberId: string | null): ChargeLine => {
    const key = `${buildId ?? ''} ${memberId ?? ''}`
    const known = lines.get(key) ?? line({ buildId, memberId })
    lines.set(key, known)
    return known
  }
  let [sharedCents, sharedEntries] = [0, 0]
  for (const { buildId, memberId, ownerId, cents, entries } of sums) {
    if (buildId === null && memberId === null) {
      sharedCents += cents
      sharedEntries += entries
      continue
    }
    if (ownerId !== null && ownerId === memberId) continue
    const charged = of(buildId, memberId)
    if (ownerId === null) charged.clubCents += cents
    else {
      charged.membersCents += cents
      of(null, ownerId).creditCents -= cents
    }
  }

  const own = (id: string) => Math.max(0, (lines.get(`${id} `)?.clubCents ?? 0) + (lines.get(`${id} `)?.membersCents ?? 0))
  const weightOf = { hours: (b: BuildWeight) => Math.max(0, b.workedMin), equal: (b: BuildWeight) => Number(b.isActive), charges: (b: BuildWeight) => own(b.id) }[by]
  const byRule = builds.map((b) => ({ id: b.id, weight: weightOf(b) })).filter((b) => b.weight > 0)
  const bearers = byRule.length > 0 ? byRule : builds.filter((b) => b.isActive).map((b) => ({ id: b.id, weight: 1 }))
  const isUnspread = sharedEntries > 0 && bearers.length === 0
  const shares = bearers.length === 0 ? [] : largestRemainder(sharedCents, bearers.map((b) => b.weight))
  bearers.forEach((b, i) => {
    if (shares[i] !== 0) of(b.id, null).sharedCents += shares[i]!
  })

  const all = [...lines.values()].map((l) => ({ ...l, totalCents: l.clubCents + l.membersCents + l.creditCents + l.sharedCents }))
  const entries = sums.reduce((n, s) => n + s.entries, 0)
  return {
    builds: all.filter((l) => l.buildId !== null),
    members: all.filter((l) => l.memberId !== null),
    shared: {
      cents: sharedCents, entries: sharedEntries, by, isEqualInstead: by !== 'equal' && byRule.length === 0 && bearers.length > 0, isUnspread,
      weights: bearers.map((b, i) => ({ buildId: b.id, weight: b.weight, cents: shares[i]! })),
    },
    totalCents: all.reduce((sum, l) => sum + l.totalCents, 0),
    entries: isUnspread ? entries - sharedEntries : entries,
  }
}

/** What a settlement writes down, as one text: the same lines as were shown, or the page is shown again. */
export const digest = ({ builds, members, entries }: Statement): string =>
  [entries, ...[...builds, ...members].map((l) => `${l.buildId ?? ''}/${l.memberId ?? ''}:${l.totalCents - l.sharedCents}+${l.sharedCents}`).sort()].join(' ')
