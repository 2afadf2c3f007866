import type { Reader } from '../../../platform/database.ts'
import { buildCost } from '../../stores/public.ts'
import { buildHead } from './build-page.ts'
import { chargeEntries, type Looker } from './charges.ts'

/** What a build has cost in material, and what of it is settled. */
export async function buildCosts(db: Reader, buildId: string) {
  const build = await buildHead(db, buildId)
  const cost = await buildCost(db, buildId)
  const tasks = await db.$queryRaw<{ id: string | null; name: string | null; phase: string | null; cents: bigint }[]>`
    select t.id, t.name, p.name as phase, e.cents from (select task_id, -sum(value_cents)::bigint as cents from stock_entry where build_id = ${buildId}::uuid group by 1) e
    left join task t on t.id = e.task_id left join phase p on p.id = t.phase_id order by t.position nulls last, t.id`
  const open = await db.$queryRaw<{ owner: string | null; cents: bigint }[]>`
    select m.name as owner, -sum(e.value_cents)::bigint as cents from stock_entry e join holder h on h.id = e.holder_id left join member m on m.id = h.member_id
    where e.build_id = ${buildId}::uuid and not exists (select from settlement_entry x where x.entry_id = e.id) group by h.id, m.name order by m.name nulls first, h.id`
  const settled = await db.settlementLine.findMany({
    where: { buildId }, select: { ownCents: true, sharedCents: true, settlement: { select: { id: true, number: true, at: true } } }, orderBy: { settlement: { number: 'desc' } },
  })
  return {
    build, cost,
    tasks: tasks.map((t) => ({ ...t, cents: Number(t.cents) })),
    open: open.map((o) => ({ owner: o.owner, cents: Number(o.cents) })).filter((o) => o.cents !== 0),
    settled: settled.map(({ settlement: s, ownCents, sharedCents }) => ({ id: s.id, number: s.number, at: s.at, ownCents, sharedCents, totalCents: ownCents + sharedCents })),
  }
}
export type BuildCostsModel = Awaited<ReturnType<typeof buildCosts>>

/** What a member owes the club for material, and is owed. */
export async function ownCharges(db: Reader, member: Looker) {
  const entries = (await chargeEntries(db, { memberId: member.id }, member)).map((e) => {
    const isOwed = e.memberId === member.id && e.ownerId !== member.id
    const isCredit = e.ownerId === member.id && e.memberId !== member.id
    return { ...e, cents: isOwed ? e.cents : isCredit ? 0 - e.cents : 0, isCredit }
  }).filter((e) => e.memberId !== e.ownerId)
  const settled = await db.settlementLine.findMany({
    where: { memberId: member.id }, select: { ownCents: true, sharedCents: true, settlement: { select: { id: true, number: true, at: true } } }, orderBy: { settlement: { number: 'desc' } }, take: 24,
  })
  return {
    entries, cents: entries.reduce((n, e) => n + e.cents, 0),
    settled: settled.map((s) => ({ id: s.settlement.id, number: s.settlement.number, at: s.settlement.at, cents: s.ownCents + s.sharedCents })),
  }
}
export type OwnChargesModel = Awaited<ReturnType<typeof ownCharges>>
