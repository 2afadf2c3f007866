/** The rows that a week review is made from: of this build, of this week, known by now. */
import type { Reader } from '../../../../platform/database.ts'
import type { StockUnit } from '../../../../platform/generated/enums.ts'
import type { Prisma } from '../../../../platform/generated/client.ts'
import { dateColumn, isoDate, localDate, localMoment } from '../../../../platform/times.ts'
import { craftSelect, type Logged } from '../../../builds/public.ts'
import type { Week } from '../facts/weeks.ts'

/** The build and the stretch: what happened from `week.from` until `asOf`, as it was in the books at `now`. */
export type Asked = { buildId: string; week: Week; asOf: Date; now: Date; zone: string }

export type LogRow = { taskId: string; linkId: string | null; startedAt: Date; elapsedMin: number; people: { id: string; name: string }[] }

/** Stretches worked in the week; an entry that was reversed, and its reversal, are nothing. */
export async function workRows(db: Reader, { buildId, week, asOf, now }: Asked): Promise<LogRow[]> {
  return db.$queryRaw<LogRow[]>`
    select w.task_id as "taskId", w.link_id as "linkId", w.started_at as "startedAt", w.elapsed_min as "elapsedMin",
      coalesce((select json_agg(json_build_object('id', m.id, 'name', m.name) order by m.name, m.id)
        from work_log_person p join member m on m.id = p.member_id where p.work_log_id = w.id), '[]'::json) as people
    from work_log w
    where w.build_id = ${buildId}::uuid and w.started_at >= ${week.from} and w.started_at < ${asOf} and w.logged_at <= ${now} and w.reverses_id is null
      and not exists (select 1 from work_log r where r.reverses_id = w.id and r.logged_at <= ${now})
    order by w.started_at, w.id`
}

/** Progress of tasks, washes left out: until the week began, and until now. */
export type LoggedRow = { taskId: string; before: Logged; until: Logged }

export async function loggedRows(db: Reader, taskIds: readonly string[], { week, asOf, now }: Asked): Promise<Map<string, LoggedRow>> {
  if (taskIds.length === 0) return new Map()
  type Row = { taskId: string; statedAt: Date | null; startedAt: Date; loggedAt: Date; workedMin: number; hands: number }
  const rows = await db.$queryRaw<Row[]>`
    select w.task_id as "taskId", t.stated_left_at as "statedAt", w.started_at as "startedAt", w.logged_at as "loggedAt", w.worked_min as "workedMin",
      (select count(*)::int from work_log_person p where p.work_log_id = w.id) as hands
    from work_log w join task t on t.id = w.task_id
    where w.task_id = any(${[...taskIds]}::uuid[]) and w.link_id is null and w.started_at < ${asOf} and w.logged_at <= ${now} and w.reverses_id is null
      and not exists (select 1 from work_log r where r.reverses_id = w.id and r.logged_at <= ${now})`
  const sum = (mine: readonly Row[], until: Date): Logged => {
    const counted = mine.filter((r) => r.startedAt < until)
    const since = counted.filter((r) => r.statedAt !== null && r.loggedAt > r.statedAt)
    const add = (list: readonly Row[], of: (r: Row) => number) => list.reduce((n, r) => n + of(r), 0)
    return {
      personMin: add(counted, (r) => r.workedMin * r.hands), elapsedMin: add(counted, (r) => r.workedMin),
      personMinSince: add(since, (r) => r.workedMin * r.hands), elapsedMinSince: add(since, (r) => r.workedMin), firstAt: null, lastEnd: null,
    }
  }
  const byTask = new Map<string, Row[]>()
  for (const row of rows) byTask.set(row.taskId, [...(byTask.get(row.taskId) ?? []), row])
  return new Map([...byTask].map(([taskId, mine]) => [taskId, { taskId, before: sum(mine, week.from), until: sum(mine, asOf) }]))
}

const LIMITS = { minAir: true, maxAir: true, maxHumidity: true, dewPointMargin: true } as const
const taskOfWeek = {
  ...craftSelect,
  id: true, workLowMin: true, workLikelyMin: true, workHighMin: true, statedLeftMin: true, statedLeftAt: true, startedAt: true, finishedAt: true, ...LIMITS,
  product: { select: { kind: true, name: true, ...LIMITS } },
  tools: { select: { toolId: true, tool: { select: { name: true, arrivesOn: true } } } },
  reworkOf: { select: { no: true } },
} satisfies Prisma.TaskSelect
export type TaskRow = Prisma.TaskGetPayload<{ select: typeof taskOfWeek }>

/** Tasks by their ids, and those that were finished in the week. */
export async function taskRows(db: Reader, { buildId, week, asOf }: Asked, ids: readonly string[]): Promise<Map<string, TaskRow>> {
  const rows = await db.task.findMany({
    where: { buildId, OR: [{ id: { in: [...ids] } }, { finishedAt: { gte: week.from, lt: asOf } }] }, select: taskOfWeek, orderBy: [{ position: 'asc' }, { id: 'asc' }],
  })
  return new Map(rows.map((r) => [r.id, r]))
}

export const stepRows = (db: Reader, { buildId, week, asOf }: Asked): Promise<{ taskId: string; text: string }[]> =>
  db.step.findMany({ where: { task: { buildId }, tickedAt: { gte: week.from, lt: asOf } }, select: { taskId: true, text: true }, orderBy: [{ tickedAt: 'asc' }, { position: 'asc' }, { id: 'asc' }] })

export const coatRows = (db: Reader, { buildId, week, asOf, now }: Asked) =>
  db.coat.findMany({
    where: { task: { buildId }, startedAt: { gte: week.from, lt: asOf }, loggedAt: { lte: now } }, orderBy: [{ startedAt: 'asc' }, { id: 'asc' }],
    select: { taskId: true, startedAt: true, endedAt: true, product: { select: { name: true } }, place: { select: { name: true } }, task: { select: { name: true } } },
  })

export type LinkRow = Prisma.LinkGetPayload<{ select: typeof linkOfWeek }>
const linkOfWeek = { id: true, kind: true, toId: true, fromId: true, missedAt: true, washMin: true, washDoneAt: true, washLoggedMin: true, from: { select: { name: true, finishedAt: true } }, to: { select: { name: true } } } satisfies Prisma.LinkSelect
/** What the tasks wait for. */
export const linkRows = (db: Reader, { buildId }: Asked, toIds: readonly string[]): Promise<LinkRow[]> =>
  db.link.findMany({ where: { buildId, toId: { in: [...toIds] } }, select: linkOfWeek, orderBy: { id: 'asc' } })

export type EntryRow = { itemId: string; item: string; unit: StockUnit; taskId: string | null; task: string | null; lot: number; milli: number; inWeek: boolean }

/** What was drawn for her in the week, and for the same tasks before; positive is used. What was reversed, and reversals, are nothing. */
export async function entryRows(db: Reader, { buildId, week, asOf, now, zone }: Asked): Promise<EntryRow[]> {
  const [monday, last] = [dateColumn(week.monday), dateColumn(lastDay(zone, week, asOf))]
  return db.$queryRaw<EntryRow[]>`
    select e.item_id as "itemId", i.name as item, i.unit::text as unit, e.task_id as "taskId", t.name as task, l.number as lot,
      (-sum(e.qty_milli))::float8 as milli, e.on_date >= ${monday}::date as "inWeek"
    from stock_entry e join item i on i.id = e.item_id join lot l on l.id = e.lot_id left join task t on t.id = e.task_id
    where e.build_id = ${buildId}::uuid and e.on_date <= ${last}::date and e.at <= ${now} and e.reverses_id is null
      and not exists (select 1 from stock_entry r where r.reverses_id = e.id and r.at <= ${now})
      and (e.on_date >= ${monday}::date or exists (select 1 from stock_entry d where d.build_id = e.build_id and d.task_id = e.task_id and d.item_id = e.item_id
        and d.on_date between ${monday}::date and ${last}::date and d.at <= ${now}))
    group by 1, 2, 3, 4, 5, 6, 8 having sum(e.qty_milli) <> 0 order by i.name, l.number, t.name`
}

/** The last local day that counts. */
export const lastDay = (zone: string, week: Week, asOf: Date): string => (asOf >= week.until ? week.sunday : localDate(zone, asOf))

/** Cents charged to her: in the week, and to date. */
export async function chargedRows(db: Reader, { buildId, week, asOf, now, zone }: Asked): Promise<{ week: number; toDate: number }> {
  const [row] = await db.$queryRaw<{ week: number; toDate: number }[]>`
    select coalesce(-sum(value_cents) filter (where on_date >= ${dateColumn(week.monday)}::date), 0)::int as week, coalesce(-sum(value_cents), 0)::int as "toDate"
    from stock_entry where build_id = ${buildId}::uuid and on_date <= ${dateColumn(lastDay(zone, week, asOf))}::date and at <= ${now}`
  return row ?? { week: 0, toDate: 0 }
}

export async function weighRow(db: Reader, { buildId, week, asOf, now, zone }: Asked): Promise<{ massG: number; day: string } | null> {
  const row = await db.weighIn.findFirst({
    where: { buildId, isWhole: true, weighedOn: { lte: dateColumn(lastDay(zone, week, asOf)) }, loggedAt: { lte: now }, OR: [{ withdrawnAt: null }, { withdrawnAt: { gt: now } }] },
    orderBy: [{ weighedOn: 'desc' }, { loggedAt: 'desc' }, { id: 'desc' }], select: { massG: true, weighedOn: true },
  })
  return row && { massG: row.massG, day: isoDate(row.weighedOn) }
}

export type SessionRow = { id: string; start: Date; end: Date; isCancelled: boolean; isClosed: boolean; here: string[]; isTicked: boolean; siteId: string }

/** Sessions of the week, who was there as far as it was ticked. */
export async function sessionRows(db: Reader, { week, zone, now }: Pick<Asked, 'week' | 'zone' | 'now'>): Promise<SessionRow[]> {
  const rows = await db.session.findMany({
    where: { date: { gte: dateColumn(week.monday), lte: dateColumn(week.sunday) } }, orderBy: [{ date: 'asc' }, { starts: 'asc' }, { id: 'asc' }],
    select: { id: true, siteId: true, date: true, starts: true, ends: true, state: true, closeOut: { select: { closedAt: true } }, attendance: { where: { cameAt: { lte: now } }, select: { memberId: true } } },
  })
  return rows.map((s) => ({
    id: s.id, siteId: s.siteId, start: localMoment(zone, isoDate(s.date), s.starts), end: localMoment(zone, isoDate(s.date), s.ends),
    isCancelled: s.state === 'cancelled', isClosed: s.closeOut !== null && s.closeOut.closedAt <= now, here: s.attendance.map((a) => a.memberId), isTicked: s.attendance.length > 0,
  }))
}

export type Pause = { from: Date; until: Date | null; note: string }

/** Her pauses, oldest first, as they were written down; the one that is on stands in her row too. */
export async function pauseRows(db: Reader, buildId: string): Promise<Pause[]> {
  const rows = await db.auditRow.findMany({ where: { buildId, entity: 'build', what: { in: ['paused', 'resumed'] } }, select: { what: true, at: true, after: true }, orderBy: { id: 'asc' } })
  const pauses: Pause[] = []
  for (const row of rows) {
    const open = pauses.at(-1)
    if (row.what === 'paused') pauses.push({ from: row.at, until: null, note: (row.after as { note?: string } | null)?.note ?? '' })
    else if (open && open.until === null) open.until = row.at
  }
  return pauses
}
