import { ok, type Result } from '../../../core/result.ts'
import { Prisma } from '../../../platform/generated/client.ts'
import type { Tx } from '../../../platform/database.ts'
import { audit, refused, type Ctx, type Refusal } from '../../../platform/write.ts'
import { digest, type SharedBy } from '../facts/charges.ts'
import { isOwnCharge, openCharges, openEntries } from '../queries/charges.ts'

/** One settlement at a time; any number does that nothing else locks. */
const SETTLING = 730_511

export type Settle = { upTo: bigint; digest: string; note: string }

/** Settles exactly what the page showed: its lines are written down and its entries marked, in one transaction. */
export async function settle(tx: Tx, ctx: Ctx, input: Settle): Promise<Result<{ settlementId: string; number: number }, Refusal>> {
  await tx.$executeRaw`select pg_advisory_xact_lock(${SETTLING}::bigint)`
  const open = await openCharges(tx, ctx.now, input.upTo)
  if (open.entries === 0) return refused(409, 'There is nothing to settle: somebody settled these charges, or there are none.')
  if (digest(open) !== input.digest) return refused(409, 'Nothing was settled: the charges changed while the page was open. They stand here as they are now; look at them and settle again.')
  const { id, number } = await tx.settlement.create({ data: { at: ctx.now, byId: ctx.member.id, sharedBy: open.shared.by, note: input.note }, select: { id: true, number: true } })
  const lines = [...open.builds, ...open.members].map((l) => ({ settlementId: id, buildId: l.buildId, memberId: l.memberId, ownCents: l.totalCents - l.sharedCents, sharedCents: l.sharedCents }))
  await tx.settlementLine.createMany({ data: lines.filter((l) => l.ownCents !== 0 || l.sharedCents !== 0) })
  const which = open.shared.isUnspread ? Prisma.sql`${openEntries(input.upTo)} and ${isOwnCharge}` : openEntries(input.upTo)
  const marked = await tx.$executeRaw`insert into settlement_entry (entry_id, settlement_id) select e.id, ${id}::uuid from stock_entry e where ${which}`
  // An entry that was just committed beneath the last one shown is neither lost nor charged unseen.
  if (marked !== open.entries) return refused(409, 'Nothing was settled: an entry was booked at the same moment. Look at the charges and settle again.')
  await audit(tx, ctx, { what: 'charges settled', entity: 'settlement', entityId: id, after: { number, entries: marked, cents: open.totalCents } })
  return ok({ settlementId: id, number })
}

/** Settles whatever is open, with nobody looking at it first: for telling a past. */
export async function settleOpen(tx: Tx, ctx: Ctx, note: string): Promise<Result<{ settlementId: string; number: number }, Refusal>> {
  const open = await openCharges(tx, ctx.now)
  return settle(tx, ctx, { upTo: open.upTo, digest: digest(open), note })
}

/** How shared use is spread from the next settlement on. */
export async function setSharedBy(tx: Tx, ctx: Ctx, sharedBy: SharedBy): Promise<Result<null, Refusal>> {
  const before = await tx.club.findUniqueOrThrow({ where: { id: 1 }, select: { sharedBy: true } })
  await tx.club.update({ where: { id: 1 }, data: { sharedBy } })
  await audit(tx, ctx, { what: 'rule for shared use changed', entity: 'club', entityId: '1', before, after: { sharedBy } })
  return ok(null)
}
