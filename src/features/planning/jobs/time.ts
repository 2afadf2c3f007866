import { instantToLocal } from '../../../core/calendar/index.ts'
import { instant } from '../../../core/units/index.ts'
import type { Tx } from '../../../platform/database.ts'
import { offsetTable } from '../../../platform/zone.ts'
import { OPEN_FOR } from '../queries/problem.ts'
import { addDaysTo, DAY, isoDate, localAt, toInstant } from '../times.ts'

/**
 * Time alone changes what can be done: with a new day, and when a session that nobody closed out is given up for lost. Asks for a
 * plan then, and for the first one of all.
 */
export async function requestByTime(tx: Tx, at: Date): Promise<{ id: bigint; cause: string } | null> {
  const club = await tx.club.findUnique({ where: { id: 1 }, select: { zone: true } })
  const cause = club && (await causeByTime(tx, at, club.zone))
  return cause ? tx.planRequest.create({ data: { cause, at }, select: { id: true, cause: true } }) : null
}

async function causeByTime(tx: Tx, at: Date, zoneName: string): Promise<string | null> {
  const newest = await tx.plan.findFirst({ orderBy: { id: 'desc' }, select: { madeAt: true } })
  if (!newest) return (await tx.build.count()) > 0 ? 'the first plan' : null
  const now = toInstant(at)
  const zone = offsetTable(zoneName, instant(now - 8 * DAY), instant(now + 8 * DAY))
  const day = (t: number) => instantToLocal(zone, instant(t)).date
  // An attempt that failed is not tried over and over: the next day will do.
  const tried = toInstant(newest.madeAt)
  if (day(tried) !== day(now)) return 'a new day'
  return (await givenUp(tx, zone, tried, now)) ? 'a session was not closed out' : null
}

/** Whether a session's day of grace ended since the last attempt. */
async function givenUp(tx: Tx, zone: ReturnType<typeof offsetTable>, since: number, now: number): Promise<boolean> {
  const today = instantToLocal(zone, instant(now)).date
  const open = await tx.session.findMany({
    where: { state: 'planned', closeOut: null, date: { gte: addDaysTo(today, -3), lte: addDaysTo(today, 0) } },
    select: { date: true, ends: true },
  })
  return open.some((s) => {
    const over = localAt(zone, isoDate(s.date), s.ends) + OPEN_FOR
    return over > since && over <= now
  })
}
