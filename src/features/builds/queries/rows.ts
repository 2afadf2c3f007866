/** The rows of builds that planning and the states of tasks are made from. */
import type { Reader } from '../../../platform/database.ts'
import type { Prisma } from '../../../platform/generated/client.ts'
import type { Logged } from '../facts/work-left.ts'

export const taskForPlanning = {
  id: true, buildId: true, name: true, position: true, kind: true, workLikelyMin: true, handsFrom: true, handsTo: true, smallestMin: true,
  setUpMin: true, clearUpMin: true, portable: true, dusty: true, productId: true, minAir: true, maxAir: true, maxHumidity: true, dewPointMargin: true,
  releaseOn: true, statedLeftMin: true, statedLeftAt: true, startedAt: true, finishedAt: true,
  places: { select: { placeId: true }, orderBy: { placeId: 'asc' } },
  tools: { select: { toolId: true, count: true, heldUntil: true, tool: { select: { competenceId: true } } }, orderBy: { toolId: 'asc' } },
  competences: { select: { competenceId: true }, orderBy: { competenceId: 'asc' } },
  coat: {
    select: {
      id: true, productId: true, placeId: true, startedAt: true, endedAt: true, version: true,
      overrides: { select: { stage: true, at: true, loggedAt: true }, orderBy: [{ loggedAt: 'asc' }, { id: 'asc' }] },
    },
  },
} satisfies Prisma.TaskSelect

export const linkForPlanning = {
  id: true, buildId: true, fromId: true, toId: true, kind: true, lagMin: true, edge: true, minLagMin: true, maxLagMin: true, stage: true,
  washMin: true, missedAt: true, washStartedAt: true, washDoneAt: true, washLoggedMin: true, washToolIds: true,
} satisfies Prisma.LinkSelect

export type TaskRow = Prisma.TaskGetPayload<{ select: typeof taskForPlanning }>
export type LinkRow = Prisma.LinkGetPayload<{ select: typeof linkForPlanning }>

const inOrder = [{ position: 'asc' }, { id: 'asc' }] satisfies Prisma.TaskOrderByWithRelationInput[]

export async function taskRows(db: Reader, buildIds: readonly string[]): Promise<TaskRow[]> {
  return db.task.findMany({ where: { buildId: { in: [...buildIds] } }, select: taskForPlanning, orderBy: [{ buildId: 'asc' }, ...inOrder] })
}

export async function linkRows(db: Reader, buildIds: readonly string[]): Promise<LinkRow[]> {
  return db.link.findMany({ where: { buildId: { in: [...buildIds] } }, select: linkForPlanning, orderBy: { id: 'asc' } })
}

/** Hours logged on each task, those on washes left out; an entry that was reversed, and its reversal, are nothing. */
export async function loggedByTask(db: Reader, buildIds: readonly string[]): Promise<Map<string, Logged>> {
  const rows = await db.$queryRaw<(Logged & { taskId: string })[]>`
    select w.task_id as "taskId",
           sum(w.worked_min * p.n)::int as "personMin", sum(w.worked_min)::int as "elapsedMin",
           coalesce(sum(w.worked_min * p.n) filter (where w.logged_at > t.stated_left_at), 0)::int as "personMinSince",
           coalesce(sum(w.worked_min) filter (where w.logged_at > t.stated_left_at), 0)::int as "elapsedMinSince",
           min(w.started_at) as "firstAt", max(w.started_at + make_interval(mins => w.elapsed_min)) as "lastEnd"
    from work_log w
    join task t on t.id = w.task_id
    cross join lateral (select count(*) as n from work_log_person q where q.work_log_id = w.id) p
    where w.build_id = any(${[...buildIds]}::uuid[]) and w.link_id is null and w.reverses_id is null
      and not exists (select 1 from work_log r where r.reverses_id = w.id)
    group by w.task_id`
  return new Map(rows.map(({ taskId, ...sums }) => [taskId, sums]))
}

/** End of the last dusty work logged on each task (or on a wash before it) since a moment. */
export async function dustyEnds(db: Reader, since: Date): Promise<{ taskId: string; siteId: string | null; end: Date }[]> {
  return db.$queryRaw`
    select w.task_id as "taskId", s.site_id as "siteId", max(w.started_at + make_interval(mins => w.elapsed_min)) as "end"
    from work_log w
    join task t on t.id = w.task_id
    left join session s on s.id = w.session_id
    where (t.dusty or w.link_id is not null) and w.started_at > ${since} and w.reverses_id is null
      and not exists (select 1 from work_log r where r.reverses_id = w.id)
    group by w.task_id, s.site_id`
}
