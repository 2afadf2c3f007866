import type { Reader } from '../../../platform/database.ts'
import { itemNames } from '../../stores/public.ts'
import { buildHead } from './build-page.ts'
import { chargeEntries, type Looker } from './charges.ts'

type Sum = { item: string; task: string | null; holder: string; settled: boolean; milli: bigint; cents: bigint }

/** What a build has cost in material, and what of it is settled: one walk over her entries, for she may have very many. */
export async function buildCosts(db: Reader, buildId: string) {
  const [build, sums, settled, items] = await Promise.all([
    buildHead(db, buildId),
    db.$queryRaw<Sum[]>`
      select e.item_id as item, e.task_id as task, e.holder_id as holder, x.entry_id is not null as settled, -sum(e.qty_milli)::bigint as milli, -sum(e.value_cents)::bigint as cents
      from stock_entry e left join settlement_entry x on x.entry_id = e.id where e.build_id = ${buildId}::uuid group by 1, 2, 3, 4`,
    db.settlementLine.findMany({
      where: { buildId }, select: { ownCents: true, sharedCents: true, settlement: { select: { id: true, number: true, at: true } } }, orderBy: { settlement: { number: 'desc' } },
    }),
    itemNames(db),
  ])
  const taskIds = [...new Set(sums.flatMap((s) => s.task ?? []))]
  const [tasks, holders] = await Promise.all([
    db.task.findMany({ where: { id: { in: taskIds } }, select: { id: true, name: true, phase: { select: { name: true } } }, orderBy: [{ position: 'asc' }, { id: 'asc' }] }),
    db.holder.findMany({ where: { id: { in: [...new Set(sums.map((s) => s.holder))] } }, select: { id: true, member: { select: { name: true } } } }),
  ])
  const cents = (pick: (s: Sum) => boolean) => sums.filter(pick).reduce((n, s) => n + Number(s.cents), 0)
  const byItem = [...new Set(sums.map((s) => s.item))].map((itemId) => {
    const { name = '', unit = 'pcs' } = items.get(itemId) ?? {}
    return { itemId, name, unit, milli: sums.filter((s) => s.item === itemId).reduce((n, s) => n + Number(s.milli), 0), cents: cents((s) => s.item === itemId) }
  })
  const none = sums.some((s) => s.task === null) ? [{ id: null, name: null, phase: null, cents: cents((s) => s.task === null) }] : []
  return {
    build,
    cost: { cents: cents(() => true), byItem: byItem.sort((a, b) => b.cents - a.cents || a.name.localeCompare(b.name)) },
    tasks: [...tasks.map((t) => ({ id: t.id, name: t.name, phase: t.phase.name, cents: cents((s) => s.task === t.id) })), ...none],
    open: holders
      .map((h) => ({ owner: h.member?.name ?? null, cents: cents((s) => s.holder === h.id && !s.settled) }))
      .filter((o) => o.cents !== 0)
      .sort((a, b) => (a.owner ?? '').localeCompare(b.owner ?? '')),
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
