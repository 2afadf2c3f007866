import { CLUB_HOLDER, receiveStock } from '../../../src/features/stores/public.ts'
import { transact } from '../../../src/platform/database.ts'
import type { Ctx } from '../../../src/platform/write.ts'
import type { BenchClub } from '../club.ts'

let count = 0

export const benchCtx = (club: BenchClub, memberId: string): Ctx => ({ now: club.now, member: { id: memberId, name: 'Bench', roles: ['storekeeper'] }, clubZone: 'Europe/Berlin', log: club.app.log, may: () => true })

/** An item in g with one lot of so much. */
export async function ledgerItem(club: BenchClub, memberId: string, qtyMilli: number): Promise<string> {
  const { id } = await club.db.item.create({ data: { name: `Resin ${++count}`, kind: 'resin', unit: 'g' } })
  await transact(club.db, async (tx) => {
    const got = await receiveStock(tx, benchCtx(club, memberId), { itemId: id, qtyMilli, valueCents: Math.min(5_000_000, Math.round(qtyMilli / 500)), receivedOn: '2026-05-01', code: 'bench', holderId: CLUB_HOLDER })
    if (!got.ok) throw new Error(got.refusal.message)
  })
  return id
}
