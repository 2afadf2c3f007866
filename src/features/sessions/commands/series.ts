import { addDays, weekdayOf, weekLabel } from '../../../core/calendar/index.ts'
import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import type { Prisma } from '../../../platform/generated/client.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { firstOn, shownTime, type SeriesChange } from '../schemas/session.ts'
import { dateColumn, hoursOf, isoDate, toInstant, today, zoneOnDate } from '../times.ts'
import { dateWords } from '../words.ts'
import { keyProblem, lockSite, rhythmDates, taken, takenRefusal, type Hours } from './sessions.ts'

type Saved = Promise<Result<Done, Refusal>>
type Series = Prisma.SeriesGetPayload<object>
type Session = Prisma.SessionGetPayload<{ include: { attendance: { select: { memberId: true } } } }>

/** A series as its form shows it. */
export const seriesFields = (s: Series): Record<string, string> => ({
  name: s.name, weekday: String(s.weekday), starts: s.starts, ends: shownTime(s.ends), everyWeeks: String(s.everyWeeks),
  keyholderId: s.keyholderId ?? '', untilOn: isoDate(s.untilOn), goesOn: s.goesOn ? 'on' : '',
})

async function lockSeries(tx: Tx, seriesId: string, version: number): Promise<{ ok: true; value: Series } | { ok: false; refusal: Refusal }> {
  const seen = await tx.series.findUnique({ where: { id: seriesId }, select: { siteId: true } })
  if (!seen) return refused(404, 'There is no such series.')
  await lockSite(tx, seen.siteId)
  const series = await tx.series.findUniqueOrThrow({ where: { id: seriesId } })
  if (series.version !== version) return refused(409, `Somebody changed the series ${series.name} since you opened this page. Nothing of yours was saved yet.`, { current: seriesFields(series) })
  return ok(series)
}

/** Planned sessions from a date on that have not begun. */
async function stillToCome(tx: Tx, ctx: Ctx, seriesId: string, fromOn: string): Promise<Session[]> {
  const rows = await tx.session.findMany({ where: { seriesId, date: { gte: dateColumn(fromOn) } }, include: { attendance: { select: { memberId: true } } }, orderBy: { date: 'asc' } })
  const now = toInstant(ctx.now)
  return rows.filter((s) => s.state !== 'closed' && hoursOf(zoneOnDate(ctx.clubZone, isoDate(s.date)), s).start > now)
}

/** Called off, or its day or hours changed by itself: an exception, which a change of the series leaves alone. Another keyholder makes none. */
const isException = (series: Series, s: Session) =>
  s.state === 'cancelled' || s.starts !== series.starts || s.ends !== series.ends || s.siteId !== series.siteId || weekdayOf(isoDate(s.date)) !== series.weekday

/** The series as it is to be from a date on. Sessions before it stay; a session changed by itself, or called off, stays as it is. */
export async function changeSeries(tx: Tx, ctx: Ctx, seriesId: string, input: SeriesChange): Saved {
  const locked = await lockSeries(tx, seriesId, input.version)
  if (!locked.ok) return locked
  const series = locked.value
  if (input.fromOn < today(ctx.clubZone, ctx.now)) return refused(422, 'What is over stays as it was.', { fields: { fromOn: 'From: today or later; past sessions stay as they were' } })
  const key = await keyProblem(tx, input.keyholderId === series.keyholderId ? null : input.keyholderId)
  if (key) return key
  const coming = await stillToCome(tx, ctx, seriesId, input.fromOn)
  const kept = coming.filter((s) => isException(series, s))
  const plain = coming.filter((s) => !isException(series, s))
  const weeks = new Set([...kept.map((s) => isoDate(s.date)), ...(await begun(tx, seriesId, input.fromOn, coming))].map(weekLabel))
  const first = await firstDate(tx, series, input)
  const dates = rhythmDates(first, input.untilOn, input.everyWeeks).filter((date) => !weeks.has(weekLabel(date)))
  const wanted: Hours[] = dates.map((date) => ({ date, starts: input.starts, ends: input.ends }))
  const clashes = await taken(tx, series.siteId, wanted, plain.map((s) => s.id))
  const site = await tx.site.findUniqueOrThrow({ where: { id: series.siteId }, select: { name: true } })
  if (clashes.length > 0 && !input.skipTaken) return takenRefusal(site.name, clashes, true)
  const free = wanted.filter((w) => !clashes.some((c) => c.hours === w))
  const target = await rowFor(tx, series, input, first, coming)
  const cleared = await moveSessions(tx, series, target, plain, free, input)
  await tx.session.updateMany({ where: { id: { in: kept.map((s) => s.id) } }, data: { seriesId: target } })
  await audit(tx, ctx, { what: 'changed a series', entity: 'series', entityId: target, before: series, after: input })
  await requestReplan(tx, `${input.name || series.name}: the sessions from ${dateWords(input.fromOn)} on changed`, ctx)
  return ok({
    location: `/sessions/series/${target}`,
    flash: `${free.length} sessions from ${dateWords(input.fromOn)} on are as you said.${kept.length > 0 ? ` Left as they are, for they were changed or called off by themselves: ${kept.map((s) => dateWords(isoDate(s.date))).join(', ')}.` : ''}${cleared > 0 ? ` ${cleared} answers were for another day and are cleared.` : ''}`,
  })
}

/** Dates from then on whose session has begun or is closed out: they stay. */
async function begun(tx: Tx, seriesId: string, fromOn: string, coming: readonly Session[]): Promise<string[]> {
  const rows = await tx.session.findMany({ where: { seriesId, date: { gte: dateColumn(fromOn) }, id: { notIn: coming.map((s) => s.id) } }, select: { date: true } })
  return rows.map((r) => isoDate(r.date))
}

/** Every other week goes on in step with the sessions before, where the rhythm stays the same. */
async function firstDate(tx: Tx, series: Series, input: SeriesChange): Promise<string> {
  const first = firstOn(input.fromOn, input.weekday)
  if (input.everyWeeks === 1 || input.everyWeeks !== series.everyWeeks || input.weekday !== series.weekday) return first
  const anchor = isoDate(series.fromOn)
  const steps = Math.ceil((dateColumn(first).getTime() - dateColumn(anchor).getTime()) / 86_400_000 / 7)
  const into = ((steps % input.everyWeeks) + input.everyWeeks) % input.everyWeeks
  return into === 0 ? first : addDays(first, 7 * (input.everyWeeks - into))
}

/** The series row that the change goes into: the same when nothing is before it, else a new one; the old one ends. */
async function rowFor(tx: Tx, series: Series, input: SeriesChange, first: string, coming: readonly Session[]): Promise<string> {
  const data = {
    name: input.name || series.name, weekday: input.weekday, starts: input.starts, ends: input.ends, everyWeeks: input.everyWeeks,
    keyholderId: input.keyholderId, untilOn: dateColumn(input.untilOn), goesOn: input.goesOn,
  }
  const before = await tx.session.count({ where: { seriesId: series.id, id: { notIn: coming.map((s) => s.id) } } })
  const sameRhythm = input.weekday === series.weekday && input.starts === series.starts && input.ends === series.ends && input.everyWeeks === series.everyWeeks
  if (before === 0 || sameRhythm) {
    await tx.series.update({ where: { id: series.id }, data: { ...data, ...(before === 0 && { fromOn: dateColumn(first) }), version: { increment: 1 } } })
    return series.id
  }
  const last = addDays(input.fromOn, -1)
  await tx.series.update({ where: { id: series.id }, data: { untilOn: dateColumn(last < isoDate(series.fromOn) ? isoDate(series.fromOn) : last), goesOn: false, version: { increment: 1 } } })
  return (await tx.series.create({ data: { ...data, siteId: series.siteId, fromOn: dateColumn(first <= input.untilOn ? first : input.untilOn) } })).id
}

/** Sessions go to the new dates, week by week where they can, so that answers for the same day stay. @returns answers cleared */
async function moveSessions(tx: Tx, series: Series, target: string, plain: readonly Session[], free: readonly Hours[], input: SeriesChange): Promise<number> {
  const used = new Set<string>()
  const left: Hours[] = []
  let cleared = 0
  const moves: { session: Session; hours: Hours }[] = []
  for (const hours of free) {
    const session = plain.find((s) => !used.has(s.id) && weekLabel(isoDate(s.date)) === weekLabel(hours.date))
    if (!session) {
      left.push(hours)
      continue
    }
    used.add(session.id)
    moves.push({ session, hours })
    if (isoDate(session.date) !== hours.date) cleared += (await tx.attendance.deleteMany({ where: { sessionId: session.id } })).count
  }
  const gone = plain.filter((s) => !used.has(s.id))
  cleared += gone.reduce((n, s) => n + s.attendance.length, 0)
  await tx.session.deleteMany({ where: { id: { in: gone.map((s) => s.id) } } })
  // First out of the series, so that no two ever stand on the same date of it.
  await tx.session.updateMany({ where: { id: { in: moves.map((m) => m.session.id) } }, data: { seriesId: null } })
  for (const { session, hours } of moves) {
    // Who took the key of one session keeps it.
    const keyholderId = session.keyholderId === series.keyholderId ? input.keyholderId : session.keyholderId
    await tx.session.update({ where: { id: session.id }, data: { ...hours, date: dateColumn(hours.date), keyholderId, seriesId: target, version: { increment: 1 } } })
  }
  await tx.session.createMany({
    data: left.map((h) => ({ ...h, date: dateColumn(h.date), seriesId: target, siteId: series.siteId, keyholderId: input.keyholderId, title: plain[0]?.title ?? '' })),
  })
  return cleared
}

/** No sessions of it from a date on, and none assumed. */
export async function endSeries(tx: Tx, ctx: Ctx, seriesId: string, input: { fromOn: string; version: number }): Saved {
  const locked = await lockSeries(tx, seriesId, input.version)
  if (!locked.ok) return locked
  const series = locked.value
  if (input.fromOn < today(ctx.clubZone, ctx.now)) return refused(422, 'What is over stays as it was.', { fields: { fromOn: 'From: today or later; past sessions stay as they were' } })
  const coming = await stillToCome(tx, ctx, seriesId, input.fromOn)
  await tx.session.deleteMany({ where: { id: { in: coming.map((s) => s.id) } } })
  const last = addDays(input.fromOn, -1)
  const untilOn = [isoDate(series.fromOn), last < isoDate(series.untilOn) ? last : isoDate(series.untilOn)].sort().at(-1)!
  await tx.series.update({ where: { id: seriesId }, data: { goesOn: false, untilOn: dateColumn(untilOn), version: { increment: 1 } } })
  await audit(tx, ctx, { what: 'ended a series', entity: 'series', entityId: seriesId, before: { ...series, sessions: coming.map((s) => isoDate(s.date)) } })
  await requestReplan(tx, `${series.name} ends: no sessions of it from ${dateWords(input.fromOn)} on`, ctx)
  return ok({ location: `/sessions/series/${seriesId}`, flash: `${series.name} ends; ${coming.length} sessions from ${dateWords(input.fromOn)} on are taken out.` })
}
