import { Prisma } from '../../../platform/generated/client.ts'
import type { Reader } from '../../../platform/database.ts'
import { CLUB_HOLDER, itemNames } from '../../stores/public.ts'
import { SHARED_BY, statement, type BuildWeight, type ChargeLine, type ChargeSum, type SharedBy, type Statement } from '../facts/charges.ts'
import { visibleTo } from './visible.ts'

export type Looker = { id: string; roles: readonly string[] }

/**
 * What is charged to somebody: draws and returns, what was sold, corrections of what draws were charged, and reversals of these. Losses
 * (write-offs, differences at a stocktake) and corrections of what is still in stock are the club's own.
 */
const SHARED = Prisma.sql`(e.build_id is null and e.charged_to_id is null and e.holder_id = ${CLUB_HOLDER}::uuid and (
  e.kind in ('draw', 'return')
  or (e.kind = 'price_correction' and exists (select from stock_entry d where d.id = e.of_entry_id and d.kind = 'draw'))
  or (e.kind = 'reversal' and exists (select from stock_entry r left join stock_entry d on d.id = r.of_entry_id
    where r.id = e.reverses_id and (r.kind in ('draw', 'return') or (r.kind = 'price_correction' and d.kind = 'draw'))))))`
/** Charged to a build or a member; all else that is charged is shared. */
export const isOwnCharge = Prisma.sql`(e.build_id is not null or e.charged_to_id is not null)`
const open = (upTo: bigint | null) => Prisma.sql`not exists (select from settlement_entry x where x.entry_id = e.id) and e.seq <= ${upTo ?? 9_223_372_036_854_775_807n}`

/** Which entries a statement is about: all that nobody settled, as far as the book went when the page was made. */
export const openEntries = (upTo: bigint | null) => Prisma.sql`${open(upTo)} and (${isOwnCharge} or ${SHARED})`

async function sumsOf(db: Reader, upTo: bigint | null): Promise<{ sums: ChargeSum[]; upTo: bigint }> {
  const rows = await db.$queryRaw<{ build: string | null; member: string | null; holder: string; cents: bigint; entries: bigint; last: bigint }[]>`
    select e.build_id as build, e.charged_to_id as member, e.holder_id as holder, -sum(e.value_cents)::bigint as cents, count(*) as entries, max(e.seq) as last
    from stock_entry e where ${open(upTo)} and ${isOwnCharge} group by 1, 2, 3
    union all select null, null, ${CLUB_HOLDER}::uuid, -sum(e.value_cents)::bigint, count(*), max(e.seq) from stock_entry e where ${open(upTo)} and ${SHARED} having count(*) > 0`
  const key = (r: (typeof rows)[number]) => `${r.build ?? ''} ${r.member ?? ''} ${r.holder}`
  rows.sort((a, b) => (key(a) < key(b) ? -1 : 1))
  const holders = new Map((await db.holder.findMany({ where: { memberId: { not: null } }, select: { id: true, memberId: true } })).map((h) => [h.id, h.memberId]))
  return {
    sums: rows.map((r) => ({ buildId: r.build, memberId: r.member, ownerId: holders.get(r.holder) ?? null, cents: Number(r.cents), entries: Number(r.entries) })),
    upTo: rows.reduce((last, r) => (r.last > last ? r.last : last), upTo ?? 0n),
  }
}

/** Hours worked since a settlement count for it by when they were logged: none is counted twice, none is left out. */
async function weights(db: Reader, since: Date | null, until: Date): Promise<BuildWeight[]> {
  return db.$queryRaw<BuildWeight[]>`
    select b.id, b.state = 'active' as "isActive", coalesce(w.worked, 0)::int as "workedMin" from build b left join (
      select l.build_id, sum((case when l.reverses_id is null then 1 else -1 end) * l.elapsed_min * (select count(*) from work_log_person p where p.work_log_id = l.id)) as worked
      from work_log l where l.logged_at <= ${until} and (${since}::timestamptz is null or l.logged_at > ${since}::timestamptz) group by 1) w on w.build_id = b.id
    order by b.name, b.id`
}

export type ChargeNames = { builds: Map<string, string>; members: Map<string, string> }
export const HIDDEN_BUILD = 'A build open to its team only'

/** Names for a page; of a build that this person may not see, that there is one. */
export async function chargeNames(db: Reader, member: Looker): Promise<ChargeNames> {
  const seen = new Set((await db.build.findMany({ where: visibleTo(member), select: { id: true } })).map((b) => b.id))
  const builds = await db.build.findMany({ select: { id: true, name: true } })
  const members = await db.member.findMany({ select: { id: true, name: true } })
  return { builds: new Map(builds.map((b) => [b.id, seen.has(b.id) ? b.name : HIDDEN_BUILD])), members: new Map(members.map((m) => [m.id, m.name])) }
}

export type OpenCharges = Statement & { upTo: bigint; since: Date | null }

/** Charges since the last settlement. `upTo`: only as far in the book. */
export async function openCharges(db: Reader, now: Date, upTo: bigint | null = null): Promise<OpenCharges> {
  const club = await db.club.findUniqueOrThrow({ where: { id: 1 }, select: { sharedBy: true } })
  const last = await db.settlement.findFirst({ select: { at: true }, orderBy: { number: 'desc' } })
  const { sums, upTo: reached } = await sumsOf(db, upTo)
  const by = SHARED_BY.find((rule) => rule === club.sharedBy) ?? 'hours'
  return { ...statement(sums, await weights(db, last?.at ?? null, now), by), upTo: reached, since: last?.at ?? null }
}

export type NamedLine = ChargeLine & { name: string }
const named = (lines: readonly ChargeLine[], names: ChargeNames): NamedLine[] =>
  lines
    .map((l) => ({ ...l, name: (l.buildId !== null ? names.builds.get(l.buildId) : names.members.get(l.memberId ?? '')) ?? '' }))
    .sort((a, b) => a.name.localeCompare(b.name) || (a.buildId ?? a.memberId ?? '').localeCompare(b.buildId ?? b.memberId ?? ''))

/** The treasurer's page. */
export async function chargesPage(db: Reader, member: Looker, now: Date) {
  const [open, names] = [await openCharges(db, now), await chargeNames(db, member)]
  const settlements = await db.settlement.findMany({
    select: { id: true, number: true, at: true, by: { select: { name: true } }, lines: { select: { ownCents: true, sharedCents: true } } }, orderBy: { number: 'desc' }, take: 24,
  })
  return {
    open: { ...open, builds: named(open.builds, names), members: named(open.members, names), weights: open.shared.weights.map((w) => ({ ...w, name: names.builds.get(w.buildId) ?? '' })) },
    settlements: settlements.map((s) => ({ id: s.id, number: s.number, at: s.at, by: s.by.name, cents: s.lines.reduce((n, l) => n + l.ownCents + l.sharedCents, 0) })),
  }
}
export type ChargesPageModel = Awaited<ReturnType<typeof chargesPage>>

/** A settlement as it was written down. */
export async function settlementPage(db: Reader, settlementId: string, member: Looker) {
  const row = await db.settlement.findUnique({
    where: { id: settlementId },
    select: {
      id: true, number: true, at: true, sharedBy: true, note: true, by: { select: { name: true } },
      lines: { select: { buildId: true, memberId: true, ownCents: true, sharedCents: true } }, _count: { select: { entries: true } },
    },
  })
  if (!row) return null
  const names = await chargeNames(db, member)
  const before = await db.settlement.findFirst({ where: { number: { lt: row.number } }, select: { at: true }, orderBy: { number: 'desc' } })
  const lines = row.lines
    .map((l) => ({ ...l, totalCents: l.ownCents + l.sharedCents, name: (l.buildId !== null ? names.builds.get(l.buildId) : names.members.get(l.memberId ?? '')) ?? '' }))
    .sort((a, b) => Number(a.buildId === null) - Number(b.buildId === null) || a.name.localeCompare(b.name))
  return {
    id: row.id, number: row.number, at: row.at, since: before?.at ?? null, by: row.by.name, note: row.note, sharedBy: SHARED_BY.find((r) => r === row.sharedBy) ?? ('hours' as SharedBy),
    lines, entries: row._count.entries, totalCents: lines.reduce((n, l) => n + l.totalCents, 0),
  }
}
export type SettlementPageModel = NonNullable<Awaited<ReturnType<typeof settlementPage>>>

/** The entries behind a statement, in booking order, for lists. */
export async function chargeEntries(db: Reader, of: { settlementId: string } | { open: true } | { memberId: string }, member: Looker, most = 1_000_000) {
  const which = 'settlementId' in of ? Prisma.sql`exists (select from settlement_entry x where x.entry_id = e.id and x.settlement_id = ${of.settlementId}::uuid)`
    : 'memberId' in of ? Prisma.sql`${openEntries(null)} and (e.charged_to_id = ${of.memberId}::uuid or (e.build_id is not null and e.holder_id = (select h.id from holder h where h.member_id = ${of.memberId}::uuid)))`
    : openEntries(null)
  const rows = await db.$queryRaw<{
    id: string; seq: bigint; kind: string; item: string; lot: number; qty: bigint; value: number; on: Date; at: Date; by: string; why: string
    build: string | null; task: string | null; member: string | null; owner: string | null
  }[]>`
    select e.id, e.seq, e.kind::text as kind, e.item_id as item, l.number as lot, e.qty_milli as qty, e.value_cents as value, e.on_date as "on", e.at, m.name as by, e.why,
      e.build_id as build, t.name as task, e.charged_to_id as member, h.member_id as owner
    from stock_entry e join lot l on l.id = e.lot_id join member m on m.id = e.by_id join holder h on h.id = e.holder_id left join task t on t.id = e.task_id
    where ${which} order by e.seq limit ${most}`
  const [names, items] = [await chargeNames(db, member), await itemNames(db)]
  return rows.map((r) => {
    const buildName = r.build === null ? null : (names.builds.get(r.build) ?? '')
    return {
      id: r.id, seq: r.seq, kind: r.kind, item: items.get(r.item) ?? { name: '', unit: 'pcs' as const }, lot: r.lot, milli: 0 - Number(r.qty), cents: 0 - r.value, on: r.on, at: r.at, by: r.by, why: r.why,
      build: buildName, task: buildName === HIDDEN_BUILD ? null : r.task, member: r.member === null ? null : (names.members.get(r.member) ?? ''), owner: r.owner === null ? null : (names.members.get(r.owner) ?? ''),
      memberId: r.member, ownerId: r.owner, isShared: r.build === null && r.member === null,
    }
  })
}
export type ChargeEntry = Awaited<ReturnType<typeof chargeEntries>>[number]
