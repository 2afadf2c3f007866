import type { Reader } from '../../../../platform/database.ts'
import type { Asker } from '../model.ts'

/** Who wants reminders and can get them: with us, with a sign-in (its address is where they go). */
export async function askersOf(db: Reader): Promise<Asker[]> {
  const rows = await db.reminderWish.findMany({
    where: { OR: [{ windows: true }, { sessions: true }], member: { isActive: true, signInUser: { isNot: null } } },
    select: { memberId: true, windows: true, sessions: true, quietFrom: true, quietTo: true, stopKey: true, member: { select: { isMinor: true, roles: true } } },
    orderBy: { memberId: 'asc' },
  })
  return rows.map(({ member, ...row }) => ({ ...row, isMinor: member.isMinor, seesAll: member.roles.includes('officer') }))
}
