import { addDays, dayOf, localToInstant } from '../../../core/calendar/index.ts'
import type { HeldCompetence } from '../../../core/schedule/problem.ts'
import { instant, MINUTES_PER_DAY } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import { offsetTable } from '../../../platform/zone.ts'
import { isoDate } from '../../../platform/times.ts'

export type PersonRow = {
  readonly id: string
  readonly name: string
  readonly helpsAnyone: boolean
  readonly isMinor: boolean
  readonly competences: readonly HeldCompetence[]
}

/** Everybody who may be planned: active members with what they may do. A check counts to the end of its refresh date, local time. */
export async function loadPeople(db: Reader): Promise<PersonRow[]> {
  const club = await db.club.findUnique({ where: { id: 1 }, select: { zone: true } })
  const rows = await db.member.findMany({
    where: { isActive: true },
    select: {
      id: true, name: true, helpsAnyone: true, isMinor: true,
      competences: { select: { competenceId: true, level: true, refreshOn: true }, where: { competence: { isActive: true } }, orderBy: { competenceId: 'asc' } },
    },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
  const until = endOfDay(club?.zone ?? 'UTC', rows.flatMap((r) => r.competences.flatMap((c) => (c.refreshOn ? [isoDate(c.refreshOn)] : []))))
  return rows.map((r) => ({
    ...r,
    competences: r.competences.map((c) => ({ competenceId: c.competenceId, level: c.level, until: c.refreshOn && until(isoDate(c.refreshOn)) })),
  }))
}

/** The midnight that ends a date. One offset table serves all the dates. */
function endOfDay(zone: string, dates: readonly string[]) {
  const days = dates.map(dayOf)
  const table = days.length === 0 ? [] : offsetTable(zone, at(Math.min(...days) - 2), at(Math.max(...days) + 3))
  return (date: string) => localToInstant(table, { date: addDays(date, 1), time: '00:00' })
}

const at = (day: number) => instant(day * MINUTES_PER_DAY)

/** Names of all members, former ones too: what they did stays theirs. */
export async function memberNames(db: Reader): Promise<Map<string, string>> {
  const rows = await db.member.findMany({ select: { id: true, name: true } })
  return new Map(rows.map((r) => [r.id, r.name]))
}
