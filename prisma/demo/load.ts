/** Rows of the example club: what it is, the builds it starts, and its past from past.json. */
import { readFileSync } from 'node:fs'
import { randomUUID } from 'node:crypto'
import { join } from 'node:path'
import { addDays, formatHm, localToInstant, weekdayOf, type OffsetTable } from '../../src/core/calendar/index.ts'
import { startBuild } from '../../src/features/builds/public.ts'
import { seedCureProducts } from '../../src/features/stores/public.ts'
import type { Tx } from '../../src/platform/database.ts'
import { Prisma } from '../../src/platform/generated/client.ts'
import { ROOT } from '../../src/platform/paths.ts'
import type { Ctx } from '../../src/platform/write.ts'
import { loadClub, type DemoClub } from './club.ts'
import { keyOfTask, namesIn, reader } from './names.ts'
import type { Past, PastBuild, When } from './past.ts'
import { BUILDS } from './scenario.ts'
import { loadItems } from './stock.ts'
import { SNAGS } from './story.ts'
import { tellSnag } from './telling.ts'

export async function loadBase(tx: Tx, today: string): Promise<DemoClub> {
  await seedCureProducts(tx)
  await loadItems(tx)
  return loadClub(tx, today)
}

/** The builds whose first week this is, with the names of the list matched to the club's own. */
export async function startBuilds(tx: Tx, ctx: Ctx, week: number, club: DemoClub, today: string): Promise<void> {
  const tools = await tx.tool.findMany({ select: { id: true, name: true } })
  const competences = await tx.competence.findMany({ select: { id: true, name: true } })
  const products = await tx.cureProduct.findMany({ select: { id: true, name: true } })
  const product = (part: RegExp): string => {
    const found = products.find((p) => part.test(p.name))
    if (!found) throw new Error(`demo: no cure product like ${part}`)
    return found.id
  }
  const monday = addDays(today, 1 - weekdayOf(today))
  for (const b of BUILDS.filter((x) => x.startWeek === week)) {
    const named: Record<string, string> = {
      'product.epoxy': product(/^Epoxy, fast/), 'product.glue': product(/glue/i), 'product.fairing': product(/fairing/i),
      'product.primer': product(/^One-pack primer/), 'product.topcoat': product(/enamel/i), 'product.varnish': product(/varnish/i),
      // At home nobody has the club's big machines: bench work is done at the shed.
      'place.bench': club.places.bench, 'place.tent': b.place === 'barn' ? club.places.barn : club.places.tent,
    }
    for (const { name, id } of tools) named[`tool.${name}`] = id
    for (const { name, id } of competences) named[`competence.${name}`] = id
    const started = await startBuild(tx, ctx, {
      ...named, list: 'sailing-dinghy', name: b.name, design: b.design, grade: b.grade, skill: b.skill, measured: b.measurements, placeId: club.places[b.place],
      team: b.team.map((key) => club.members.get(key) ?? ''), launchTarget: addDays(monday, 7 * b.targetWeeks + 5), priority: b.priority, visibility: 'club',
    })
    if (!started.ok) throw new Error(`demo: ${b.name} was refused: ${JSON.stringify(started.refusal)}`)
  }
}

/** Lays the told past before this week's Monday. */
export async function loadPast(tx: Tx, zone: OffsetTable, today: string, club: DemoClub, as: (key: string, at: Date) => Ctx): Promise<void> {
  const past = JSON.parse(readFileSync(join(ROOT, 'prisma/demo/past.json'), 'utf8')) as Past
  const monday = addDays(today, 1 - weekdayOf(today))
  const at = ([day, minute]: When): Date => new Date(localToInstant(zone, { date: addDays(monday, day), time: formatHm(minute) }) * 60_000)
  const maybe = (w: When | null): Date | null => (w ? at(w) : null)
  const member = (key: string | null): string | null => (key === null ? null : (club.members.get(key) ?? null))
  const known = (key: string): string => member(key) ?? [...club.members.values()][0] ?? ''
  const dateOf = (day: number): Date => new Date(`${addDays(monday, day)}T00:00:00Z`)

  const sessions = new Map((await tx.session.findMany({ select: { id: true, date: true, starts: true, title: true, series: { select: { name: true } } } })).map((s) => [`${s.series?.name ?? s.title}|${s.date.toISOString().slice(0, 10)}`, s]))
  const sessionOf = (series: string, day: number) => sessions.get(`${series}|${addDays(monday, day)}`)
  for (const s of past.sessions) {
    const session = sessionOf(s.series, s.day)
    if (!session) continue
    await tx.session.update({ where: { id: session.id }, data: { state: 'closed', version: { increment: 1 } } })
    await tx.closeOut.create({ data: { sessionId: session.id, closedBy: known(s.closedBy), closedAt: at(s.closedAt), shedLocked: true, wasteSafe: true } })
    const cameAt = new Date(localToInstant(zone, { date: addDays(monday, s.day), time: session.starts }) * 60_000)
    for (const key of s.came) {
      const here = { answer: 'coming' as const, cameAt, leftAt: at(s.closedAt) }
      await tx.attendance.upsert({ where: { sessionId_memberId: { sessionId: session.id, memberId: known(key) } }, create: { sessionId: session.id, memberId: known(key), ...here }, update: here })
    }
  }
  const builds = new Map((await tx.build.findMany({ select: { id: true, name: true } })).map((b) => [b.name, b.id]))
  const names: Names = { at, maybe, member, known, sessionOf }
  for (const b of past.builds) await loadTasks(tx, builds.get(b.build) ?? '', b.tasks.filter((t) => !isRework(t.task)), names)
  for (const snag of SNAGS) {
    const day = addDays(monday, 7 * snag.at[0] + snag.at[1] - 1)
    await tellSnag(tx, as(snag.by, new Date(localToInstant(zone, { date: day, time: snag.at[2] }) * 60_000)), snag, day)
  }
  for (const b of past.builds) await loadBuild(tx, builds.get(b.build) ?? '', b, names)

  const ids = new Map([...(await namesIn(tx, new Map([...club.members].map(([key, id]) => [id, key]))))].map(([id, name]) => [name, id]))
  const read = reader({ zone, monday }, (name) => {
    const id = ids.get(name)
    if (id === undefined) throw new Error(`demo: past.json points at ${name}, which is not there; tell the past anew`)
    return id
  })
  for (const p of past.plans) {
    const plan = await tx.plan.create({
      data: {
        madeAt: at(p.at), fromAt: at(p.at), coversRequest: 0n, causes: [...p.causes], schedules: 0, tookMs: p.tookMs, status: 'feasible', score: {}, unplanned: [], dropped: [], missed: [], met: [], moves: [],
        builds: { create: p.builds.map((b) => ({ buildId: builds.get(b.build) ?? '', launchAt: maybe(b.launch), lowerBound: maybe(b.lower), lateMin: b.late, chain: [] })) },
      },
      select: { id: true },
    })
    const rows = <Row>(of: readonly unknown[], more: object): Row[] => of.map((row) => ({ ...(read(row) as Row), ...more }))
    await tx.planPiece.createMany({ data: rows<Prisma.PlanPieceCreateManyInput>(p.pieces, { planId: plan.id, binding: { kind: 'choice' } }) })
    await tx.forecast.createMany({ data: rows<Prisma.ForecastCreateManyInput>(p.forecasts, { planId: plan.id }).map((row) => ({ ...row, step: row.step ?? Prisma.DbNull })) })
  }
  await tx.buildWeek.createMany({ data: past.weeks.map((w) => ({ buildId: builds.get(w.build) ?? '', monday: dateOf(w.day), availableMin: w.available, plannedMin: w.planned, leftMin: w.left, launchAt: maybe(w.launch), meant: read(w.meant) as Prisma.InputJsonValue })), skipDuplicates: true })
  for (const b of past.builds) {
    for (const row of b.baselines) {
      const { tasks, ...baseline } = read(row) as Prisma.BaselineUncheckedCreateInput & { tasks: Omit<Prisma.BaselineTaskCreateManyInput, 'baselineId'>[] }
      const { id: baselineId } = await tx.baseline.create({ data: baseline, select: { id: true } })
      await tx.baselineTask.createMany({ data: tasks.map((task) => ({ ...task, baselineId })) })
    }
  }
}

const isRework = (key: string): boolean => key.startsWith('own:')

interface Names {
  at(w: When): Date
  maybe(w: When | null): Date | null
  member(key: string | null): string | null
  known(key: string): string
  sessionOf(series: string, day: number): { id: string } | undefined
}

async function taskNamed(tx: Tx, buildId: string): Promise<(key: string) => string> {
  const tasks = new Map((await tx.task.findMany({ where: { buildId }, select: { id: true, listKey: true, name: true } })).map((t) => [keyOfTask(t), t.id]))
  return (key) => {
    const id = tasks.get(key)
    if (!id) throw new Error(`demo: past.json knows a task that the job list has not: ${key}; tell the past anew`)
    return id
  }
}

async function loadTasks(tx: Tx, buildId: string, tasks: PastBuild['tasks'], n: Names): Promise<void> {
  const task = await taskNamed(tx, buildId)
  for (const t of tasks) {
    await tx.task.update({ where: { id: task(t.task) }, data: { startedAt: n.maybe(t.started), finishedAt: n.maybe(t.finished), finishedBy: n.member(t.by), statedLeftMin: t.left, statedLeftAt: n.maybe(t.leftAt) } })
  }
}

async function loadBuild(tx: Tx, buildId: string, past: PastBuild, n: Names): Promise<void> {
  await loadTasks(tx, buildId, past.tasks.filter((t) => isRework(t.task)), n)
  const task = await taskNamed(tx, buildId)
  const places = new Map((await tx.place.findMany({ select: { id: true, name: true } })).map((p) => [p.name, p.id]))
  const products = new Map((await tx.cureProduct.findMany({ select: { id: true, name: true } })).map((p) => [p.name, p.id]))
  for (const t of past.ticks) await tx.step.updateMany({ where: { taskId: task(t.task), position: t.step }, data: { tickedAt: n.at(t.at), tickedBy: n.member(t.by) } })
  await tx.coat.createMany({
    data: past.coats.map((c) => ({ taskId: task(c.task), productId: products.get(c.product) ?? '', placeId: places.get(c.place) ?? '', startedAt: n.at(c.from), endedAt: n.at(c.to), loggedBy: n.known(c.by), loggedAt: n.at(c.to) })),
  })
  const links = await tx.link.findMany({ where: { buildId }, select: { id: true, fromId: true, toId: true, kind: true } })
  const linkOf = (from: string, to: string): string | undefined => links.find((l) => l.kind === 'window' && l.fromId === task(from) && l.toId === task(to))?.id
  for (const l of past.links) {
    const id = linkOf(l.from, l.to)
    if (id) await tx.link.update({ where: { id }, data: { missedAt: n.maybe(l.missed), washStartedAt: n.maybe(l.washStarted), washDoneAt: n.maybe(l.washDone), washLoggedMin: l.washLogged } })
  }
  const logs = past.logs.map((l) => ({ id: randomUUID(), l }))
  await tx.workLog.createMany({
    data: logs.map(({ id, l }) => ({
      id, buildId, taskId: task(l.task), linkId: l.wash ? (linkOf(...l.wash) ?? null) : null, startedAt: n.at(l.at), elapsedMin: l.elapsed, workedMin: l.worked,
      sessionId: l.session ? (n.sessionOf(...l.session)?.id ?? null) : null, loggedBy: n.known(l.people[0] ?? ''), loggedAt: n.at(l.at),
    })),
  })
  await tx.workLogPerson.createMany({ data: logs.flatMap(({ id, l }) => l.people.map((key) => ({ workLogId: id, memberId: n.known(key) }))) })
}
