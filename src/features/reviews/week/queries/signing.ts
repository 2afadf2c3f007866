import { isoWeek as weekIn, weekLabel } from '../../../../core/calendar/index.ts'
import type { Reader } from '../../../../platform/database.ts'
import { found } from '../../../../platform/errors.ts'
import { isoDate, toInstant } from '../../../../platform/times.ts'
import { clubWords } from '../../../builds/public.ts'
import { isMonday, notYet, thisMonday, weekOf } from '../facts/weeks.ts'
import { sessionRows } from './rows.ts'

/** Whether a week is one of hers and may be signed; `notYet` says why not. */
export async function signingOf(db: Reader, buildId: string, monday: string, now: Date) {
  const [club, row] = await Promise.all([
    db.club.findUniqueOrThrow({ where: { id: 1 }, select: { zone: true, locale: true } }),
    db.build.findUnique({ where: { id: buildId }, select: { id: true, name: true, startedOn: true } }),
  ])
  const { startedOn, ...build } = found(row)
  const words = clubWords(club, toInstant(now))
  const week = weekOf(club.zone, isoDate(startedOn), monday)
  const isWeek = isMonday(monday) && week.no >= 1
  const said = { build, isoWeek: weekLabel(monday), isWeek, hasBegun: now >= week.from, hasNext: monday < thisMonday(club.zone, now) }
  if (!isWeek) return { ...said, notYet: `${build.name} was started on ${words.day(isoDate(startedOn))}, in week ${weekIn(isoDate(startedOn)).week}: no week before that is hers.` }
  const sessions = (await sessionRows(db, { week, zone: club.zone, now })).filter((s) => !s.isCancelled)
  return { ...said, notYet: notYet(club.zone, week, sessions, now, words.day) }
}
