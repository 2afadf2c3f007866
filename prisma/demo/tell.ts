/** Tells the example club's past anew and writes it to past.json. Takes a minute or two; needs an empty database in DATABASE_URL. */
import { writeFileSync } from 'node:fs'
import pg from 'pg'
import { addDays, daysBetween, instantToLocal, localToInstant, weekdayOf, type OffsetTable } from '../../src/core/calendar/index.ts'
import { instant } from '../../src/core/units/index.ts'
import { openDatabase, transact, type Db, type Tx } from '../../src/platform/database.ts'
import { migrate } from '../../src/platform/migrate.ts'
import { offsetTable } from '../../src/platform/zone.ts'
import type { Ctx } from '../../src/platform/write.ts'
import { receiveStock } from '../../src/features/stores/public.ts'
import { loadBase, startBuilds } from './load.ts'
import { STEPS, tellPast } from './history.ts'
import type { Past, PastBuild, When } from './past.ts'
import { must } from './must.ts'
import { keyOfTask, namesIn, writer } from './names.ts'
import { CLUB, MEMBERS, PAST_WEEKS } from './scenario.ts'

const say = (...what: unknown[]): void => void process.stderr.write(`${JSON.stringify(what)}\n`)
const quiet = { info: () => undefined, warn: say, error: say, debug: () => undefined }

async function tell(url: string): Promise<void> {
  await migrate(url)
  await countIds(url)
  const database = openDatabase(url)
  const db = database.prisma
  const at = Math.floor(Date.now() / 60_000)
  const zone = offsetTable(CLUB.zone, instant(at - (PAST_WEEKS + 4) * 7 * 1440), instant(at + 110 * 7 * 1440))
  const today = instantToLocal(zone, instant(at)).date
  const monday = addDays(today, 1 - weekdayOf(today))
  const now = new Date(localToInstant(zone, { date: monday, time: '05:00' }) * 60_000)
  const club = await transact(db, (tx) => loadBase(tx, monday), { timeoutMs: 60_000 })
  await db.club.update({ where: { id: 1 }, data: { planSchedules: STEPS } })
  await transact(db, (tx) => plenty(tx, monday, club.members.get('priya') ?? ''), { timeoutMs: 60_000 })
  await tellPast({
    db, zone, zoneName: CLUB.zone, today: monday, now, log: quiet as never,
    scribe: { id: club.members.get('inge') ?? '', name: 'Inge Harbo' },
    startBuilds: async (tx, ctx, week) => {
      await startBuilds(tx, ctx, week, club, monday)
      await tx.$executeRaw`update task t set id = md5(b.name || ' ' || t.list_key)::uuid from build b where b.id = t.build_id and t.list_key is not null`
      await tx.$executeRaw`update link set id = md5(from_id::text || to_id::text || kind::text)::uuid`
      await tx.$executeRaw`update hold set id = md5(build_id::text || from_task_id::text || to_task_id::text || coalesce(tool_id::text, ''))::uuid`
    },
    memberOf: (key) => ({ id: club.members.get(key) ?? '', name: MEMBERS.find((m) => m.key === key)?.name ?? '' }),
  })
  const past = await written(db, zone, monday, new Map([...club.members].map(([key, id]) => [id, key])))
  writeFileSync(new URL('./past.json', import.meta.url), `${JSON.stringify(past)}\n`)
  await database.close()
}

/** Ids in a fixed row: the planner decides ties by them, and the same start is to give the same story. */
async function countIds(url: string): Promise<void> {
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  await client.query("create sequence told_ids; create function told_id() returns uuid language sql as $$ select md5(nextval('told_ids')::text)::uuid $$")
  const { rows } = await client.query<{ t: string; c: string }>("select table_name t, column_name c from information_schema.columns where table_schema = 'public' and column_default = 'gen_random_uuid()'")
  for (const { t, c } of rows) await client.query(`alter table "${t}" alter column "${c}" set default told_id()`)
  await client.end()
}

/** While the past is told nothing runs out: what was bought and used is laid out when it is loaded. */
async function plenty(tx: Tx, monday: string, keeper: string): Promise<void> {
  const day = addDays(monday, -7 * PAST_WEEKS)
  const ctx: Ctx = { now: new Date(`${day}T03:00:00Z`), member: { id: keeper, name: '', roles: ['storekeeper'] }, clubZone: CLUB.zone, log: quiet as never, may: () => true }
  for (const { id, name } of await tx.item.findMany({ select: { id: true, name: true } })) {
    must(await receiveStock(tx, ctx, { itemId: id, qtyMilli: 1_000_000_000, valueCents: 1, receivedOn: day, code: 'plenty', expiresOn: null }), name)
  }
}

async function written(db: Db, zone: OffsetTable, monday: string, keyOf: ReadonlyMap<string, string>): Promise<Past> {
  const when = (at: Date): When => {
    const local = instantToLocal(zone, instant(Math.round(at.getTime() / 60_000)))
    return [daysBetween(monday, local.date), local.minuteOfDay]
  }
  const maybe = (at: Date | null): When | null => (at ? when(at) : null)
  const day = (at: Date): number => daysBetween(monday, at.toISOString().slice(0, 10))
  const member = (id: string | null): string | null => (id === null ? null : (keyOf.get(id) ?? null))
  const write = writer({ zone, monday }, await namesIn(db, keyOf))
  const rows = (of: readonly object[]): unknown[] => of.map(write)
  const builds = await db.build.findMany({
    orderBy: { createdAt: 'asc' },
    include: {
      tasks: { orderBy: { position: 'asc' }, include: { steps: true, coat: { include: { place: true, product: true } }, workLogs: { orderBy: { startedAt: 'asc' }, include: { people: true, session: { include: { series: true } } } } } },
      links: { include: { from: { select: { listKey: true, name: true } }, to: { select: { listKey: true, name: true } } } },
      baselines: { orderBy: { no: 'asc' }, include: { tasks: { orderBy: { taskId: 'asc' } } } },
    },
  })
  const sessions = await db.session.findMany({ where: { closeOut: { isNot: null } }, orderBy: [{ date: 'asc' }, { starts: 'asc' }], include: { closeOut: true, attendance: { where: { cameAt: { not: null } } }, series: true } })
  const plans = await db.plan.findMany({ where: { status: { not: 'failed' } }, orderBy: { id: 'asc' }, include: { builds: { include: { build: true } }, pieces: { orderBy: [{ startsAt: 'asc' }, { pieceId: 'asc' }] }, forecasts: { orderBy: { buildId: 'asc' } } } })
  const weeks = await db.buildWeek.findMany({ orderBy: { monday: 'asc' }, include: { build: true } })
  return {
    builds: builds.map((b): PastBuild => {
      const links = new Map(b.links.map((l) => [l.id, l]))
      return {
        build: b.name,
        tasks: b.tasks.filter((t) => t.startedAt || t.statedLeftMin !== null).map((t) => ({ task: keyOfTask(t), started: maybe(t.startedAt), finished: maybe(t.finishedAt), by: member(t.finishedBy), left: t.statedLeftMin, leftAt: maybe(t.statedLeftAt) })),
        ticks: b.tasks.flatMap((t) => t.steps.flatMap((s) => (s.tickedAt ? [{ task: keyOfTask(t), step: s.position, at: when(s.tickedAt), by: member(s.tickedBy) }] : []))),
        logs: b.tasks.flatMap((t) => t.workLogs.map((l) => {
          const link = l.linkId ? links.get(l.linkId) : undefined
          return {
            task: keyOfTask(t), wash: link ? ([keyOfTask(link.from), keyOfTask(link.to)] as const) : null, at: when(l.startedAt), elapsed: l.elapsedMin, worked: l.workedMin,
            people: l.people.map((p) => member(p.memberId) ?? '').sort(), session: l.session ? ([l.session.series?.name ?? l.session.title, day(l.session.date)] as const) : null,
          }
        })),
        coats: b.tasks.flatMap((t) => (t.coat ? [{ task: keyOfTask(t), from: when(t.coat.startedAt), to: when(t.coat.endedAt), place: t.coat.place.name, product: t.coat.product.name, by: member(t.coat.loggedBy) ?? '' }] : [])),
        baselines: rows(b.baselines.map(({ id: _id, planId: _plan, tasks, ...baseline }) => ({ ...baseline, tasks: tasks.map(({ baselineId: _baseline, ...task }) => task) }))),
        links: b.links.filter((l) => l.missedAt || l.washDoneAt || l.washStartedAt).map((l) => ({ from: keyOfTask(l.from), to: keyOfTask(l.to), kind: l.kind, missed: maybe(l.missedAt), washStarted: maybe(l.washStartedAt), washDone: maybe(l.washDoneAt), washLogged: l.washLoggedMin })),
      }
    }),
    sessions: sessions.map((s) => ({ series: s.series?.name ?? s.title, day: day(s.date), came: s.attendance.map((a) => member(a.memberId) ?? '').sort(), closedBy: member(s.closeOut?.closedBy ?? null) ?? '', closedAt: when(s.closeOut?.closedAt ?? s.date) })),
    plans: plans.map((p) => ({
      at: when(p.madeAt), tookMs: p.tookMs, causes: p.causes.slice(-5),
      pieces: rows(p.pieces.filter((x) => x.startsAt.getTime() < p.fromAt.getTime() + FORTNIGHT_MS).map(({ planId: _plan, binding: _binding, ...piece }) => piece)),
      // What it was made from is needed of the newest alone: the next one is explained by what differs.
      forecasts: rows(p.forecasts.map(({ planId: _plan, inputs, ...forecast }) => ({ ...forecast, inputs: p === plans.at(-1) ? inputs : { ...(inputs as object), left: {} } }))),
      builds: p.builds.map((b) => ({ build: b.build.name, launch: maybe(b.launchAt), lower: maybe(b.lowerBound), late: b.lateMin })).sort((a, b) => (a.build < b.build ? -1 : 1)),
    })),
    weeks: weeks.map((w) => ({ build: w.build.name, day: day(w.monday), available: w.availableMin, planned: w.plannedMin, left: w.leftMin, launch: maybe(w.launchAt), meant: write(w.meant) })),
  }
}

const FORTNIGHT_MS = 14 * 86_400_000
const url = process.env['DATABASE_URL']
if (!url) throw new Error('DATABASE_URL: an empty database to tell the past in')
await tell(url)
