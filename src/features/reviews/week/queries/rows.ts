/** The rows that a week review is made from: of this build, of this week, known by now. */
import type { Reader } from '../../../../platform/database.ts'
import type { StockUnit } from '../../../../platform/generated/enums.ts'
import { dateColumn, isoDate, localDate, localMoment } from '../../../../platform/times.ts'
import type { CraftFacts, Logged } from '../../../builds/public.ts'
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

type TaskLimits = { minAir: number | null; maxAir: number | null; maxHumidity: number | null; dewPointMargin: number | null }
export type TaskRow = Omit<CraftFacts, 'product' | 'tools'> & TaskLimits & {
  id: string
  workLikelyMin: number
  statedLeftMin: number | null
  statedLeftAt: Date | null
  finishedAt: Date | null
  product: ({ kind: string } & TaskLimits) | null
  tools: { toolId: string; tool: { name: string; arrivesOn: string | null } }[]
  /** Snag that it mends. */
  mends: number | null
}

/** Tasks by their ids, and those that were finished in the week; in one statement, for a page asks for a dozen tables of them. */
export async function taskRows(db: Reader, { buildId, week, asOf }: Asked, ids: readonly string[]): Promise<Map<string, TaskRow>> {
  const rows = await db.$queryRaw<TaskRow[]>`
    select t.id, t.name, t.kind::text as kind, t.craft::text as craft, t.hands_from as "handsFrom", t.dusty, t.work_likely_min as "workLikelyMin", t.stated_left_min as "statedLeftMin",
      t.stated_left_at as "statedLeftAt", t.finished_at as "finishedAt", t.min_air as "minAir", t.max_air as "maxAir", t.max_humidity as "maxHumidity", t.dew_point_margin as "dewPointMargin",
      (select json_build_object('kind', p.kind, 'minAir', p.min_air, 'maxAir', p.max_air, 'maxHumidity', p.max_humidity, 'dewPointMargin', p.dew_point_margin) from cure_product p where p.id = t.product_id) as product,
      coalesce((select json_agg(json_build_object('line', m.line, 'productId', m.product_id, 'item', case when i.id is not null then json_build_object('kind', i.kind) end))
        from task_material m left join item i on i.id = m.item_id where m.task_id = t.id), '[]'::json) as materials,
      coalesce((select json_agg(json_build_object('toolId', o.id, 'tool', json_build_object('name', o.name, 'arrivesOn', o.arrives_on)) order by o.name)
        from task_tool x join tool o on o.id = x.tool_id where x.task_id = t.id), '[]'::json) as tools,
      (select s.no from snag s where s.rework_task_id = t.id) as mends
    from task t
    where t.build_id = ${buildId}::uuid and (t.id = any(${[...ids]}::uuid[]) or (t.finished_at >= ${week.from} and t.finished_at < ${asOf}))
    order by t.position, t.id`
  return new Map(rows.map((r) => [r.id, r]))
}

export const stepRows = (db: Reader, { buildId, week, asOf }: Asked): Promise<{ taskId: string; text: string }[]> =>
  db.step.findMany({ where: { task: { buildId }, tickedAt: { gte: week.from, lt: asOf } }, select: { taskId: true, text: true }, orderBy: [{ tickedAt: 'asc' }, { position: 'asc' }, { id: 'asc' }] })

export type CoatRow = { taskId: string; name: string; product: string; place: string; startedAt: Date; endedAt: Date }

export const coatRows = (db: Reader, { buildId, week, asOf, now }: Asked): Promise<CoatRow[]> => db.$queryRaw<CoatRow[]>`
  select c.task_id as "taskId", t.name, p.name as product, l.name as place, c.started_at as "startedAt", c.ended_at as "endedAt"
  from coat c join task t on t.id = c.task_id join cure_product p on p.id = c.product_id join place l on l.id = c.place_id
  where t.build_id = ${buildId}::uuid and c.started_at >= ${week.from} and c.started_at < ${asOf} and c.logged_at <= ${now}
  order by c.started_at, c.id`

export type LinkRow = {
  id: string
  kind: 'finish' | 'lag' | 'stage' | 'window'
  toId: string
  missedAt: Date | null
  washMin: number | null
  washDoneAt: Date | null
  washLoggedMin: number
  before: string
  beforeFinishedAt: Date | null
}

/** What the tasks wait for. */
export const linkRows = (db: Reader, { buildId }: Asked, toIds: readonly string[]): Promise<LinkRow[]> => db.$queryRaw<LinkRow[]>`
  select l.id, l.kind::text as kind, l.to_id as "toId", l.missed_at as "missedAt", l.wash_min as "washMin", l.wash_done_at as "washDoneAt", l.wash_logged_min as "washLoggedMin",
    f.name as before, f.finished_at as "beforeFinishedAt"
  from link l join task f on f.id = l.from_id where l.build_id = ${buildId}::uuid and l.to_id = any(${[...toIds]}::uuid[]) order by l.id`

export type EntryRow = { itemId: string; item: string; unit: StockUnit; taskId: string | null; task: string | null; lot: number; milli: number; inWeek: boolean }

/** What was drawn for her in the week, and for the same tasks before; positive is used. What was reversed, and reversals, are nothing. */
export async function entryRows(db: Reader, { buildId, week, asOf, now, zone }: Asked): Promise<EntryRow[]> {
  const [monday, last] = [dateColumn(week.monday), dateColumn(lastDay(zone, week, asOf))]
  return db.$queryRaw<EntryRow[]>`
    with hers as (
      select e.item_id, e.task_id, e.lot_id, e.qty_milli, e.on_date >= ${monday}::date as in_week,
        bool_or(e.on_date >= ${monday}::date) over (partition by e.item_id, e.task_id) as of_week
      from stock_entry e
      where e.build_id = ${buildId}::uuid and e.on_date <= ${last}::date and e.at <= ${now} and e.reverses_id is null
        and not exists (select 1 from stock_entry r where r.reverses_id = e.id and r.at <= ${now}))
    select h.item_id as "itemId", i.name as item, i.unit::text as unit, h.task_id as "taskId", t.name as task, l.number as lot, (-sum(h.qty_milli))::float8 as milli, h.in_week as "inWeek"
    from hers h join item i on i.id = h.item_id join lot l on l.id = h.lot_id left join task t on t.id = h.task_id
    where h.of_week group by 1, 2, 3, 4, 5, 6, 8 having sum(h.qty_milli) <> 0 order by i.name, l.number, t.name`
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

export type SessionRow = { id: string; start: Date; end: Date; isCancelled: boolean; isClosed: boolean; here: string[] }

/** Sessions of the week, who was there as far as it was ticked. */
export async function sessionRows(db: Reader, { week, zone, now }: Pick<Asked, 'week' | 'zone' | 'now'>): Promise<SessionRow[]> {
  type Row = { id: string; date: Date; starts: string; ends: string; isCancelled: boolean; isClosed: boolean; here: string[] }
  const rows = await db.$queryRaw<Row[]>`
    select s.id, s.date, s.starts, s.ends, s.state = 'cancelled' as "isCancelled", coalesce(c.closed_at <= ${now}, false) as "isClosed",
      array(select a.member_id::text from attendance a where a.session_id = s.id and a.came_at <= ${now} order by 1) as here
    from session s left join close_out c on c.session_id = s.id
    where s.date between ${dateColumn(week.monday)}::date and ${dateColumn(week.sunday)}::date order by s.date, s.starts, s.id`
  return rows.map(({ date, starts, ends, ...s }) => ({ ...s, start: localMoment(zone, isoDate(date), starts), end: localMoment(zone, isoDate(date), ends) }))
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
