import { addDays, instantToLocal, weekdayOf, weekLabel, type OffsetTable } from '../../../core/calendar/index.ts'
import type { Reader } from '../../../platform/database.ts'
import type { Actor } from '../../../platform/write.ts'
import { dateColumn, localAt, toDate, toInstant } from '../times.ts'
import type { BuildCard } from './visible.ts'

export type ToReview = { readonly buildId: string; readonly monday: string; /** '2026-W23' */ readonly isoWeek: string; readonly isDraft: boolean }

/** From then on of its Sunday a week may be reviewed. */
const EVENING = '18:00'

/** Of the boats that this person builds, those whose last week has something to tell and no signed review. Quiet weeks ask for nothing. */
export async function toReview(db: Reader, member: Actor, builds: readonly BuildCard[], zone: OffsetTable, now: Date): Promise<ToReview[]> {
  const own = builds.filter((b) => b.onTeam && member.roles.some((r) => r === 'builder' || r === 'keyholder' || r === 'officer'))
  if (own.length === 0) return []
  const { date, time } = instantToLocal(zone, toInstant(now))
  const isOver = weekdayOf(date) === 7 && time >= EVENING
  const monday = addDays(date, 1 - weekdayOf(date) - (isOver ? 0 : 7))
  const [from, until] = [toDate(localAt(zone, monday, '00:00')), toDate(localAt(zone, addDays(monday, 7), '00:00'))]
  const rows = await db.$queryRaw<{ id: string; draft: boolean }[]>`
    select b.id, r.id is not null as draft from build b left join week_review r on r.build_id = b.id and r.monday = ${dateColumn(monday)}::date
    where b.id = any(${own.map((b) => b.id)}::uuid[]) and (r.id is null or r.state = 'draft') and b.started_on < ${dateColumn(addDays(monday, 7))}::date
      and (exists (select 1 from work_log w where w.build_id = b.id and w.started_at >= ${from} and w.started_at < ${until})
        or exists (select 1 from build_week p where p.build_id = b.id and p.monday = ${dateColumn(monday)}::date and p.planned_min > 0))
    order by b.name, b.id`
  return rows.map((r) => ({ buildId: r.id, monday, isoWeek: weekLabel(monday), isDraft: r.draft }))
}
