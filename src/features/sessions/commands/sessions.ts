import { addDays } from '../../../core/calendar/index.ts'
import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { LIVE_CHANNEL, notify } from '../../../platform/events.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { mayHoldKeys } from '../queries/planning.ts'
import { shownTime, type EditSession, type NewSession } from '../schemas/session.ts'
import { dateColumn, hoursOf, isoDate, toInstant, zoneOnDate } from '../times.ts'
import { weekdayOf } from '../../../core/calendar/index.ts'
import { dateWords, dayWords, WEEKDAYS } from '../words.ts'

type Saved = Promise<Result<Done, Refusal>>
export type Hours = { date: string; starts: string; ends: string }

/** One at a time enters sessions of a site, so that two can't take the same hours. */
export async function lockSite(tx: Tx, siteId: string): Promise<{ id: string; name: string } | null> {
  const [site] = await tx.$queryRaw<{ id: string; name: string }[]>`select id, name from site where id = ${siteId}::uuid for update`
  return site ?? null
}

/** Refuses a keyholder who may not open up. */
export async function keyProblem(tx: Tx, keyholderId: string | null) {
  if (keyholderId === null) return null
  const member = await tx.member.findUnique({ where: { id: keyholderId }, select: { name: true, roles: true, isActive: true } })
  if (member?.isActive && mayHoldKeys(member.roles)) return null
  const who = member?.name ?? 'That member'
  return refused(422, `${who} may not open the workshop: that takes the role of keyholder or officer. An officer can give it on the member’s page.`, {
    fields: { keyholderId: `Keyholder: ${who} has neither the role of keyholder nor of officer; choose another or leave it open for now` },
  })
}

/** Sessions of the site that take place within these hours. */
export async function taken(tx: Tx, siteId: string, wanted: readonly Hours[], except: readonly string[] = []): Promise<{ hours: Hours; by: string }[]> {
  const rows = await tx.session.findMany({
    where: { siteId, state: { not: 'cancelled' }, date: { in: wanted.map((w) => dateColumn(w.date)) }, id: { notIn: [...except] } },
    select: { date: true, starts: true, ends: true, title: true }, orderBy: [{ date: 'asc' }, { starts: 'asc' }],
  })
  return wanted.flatMap((hours) => {
    const other = rows.find((r) => isoDate(r.date) === hours.date && r.starts < hours.ends && hours.starts < r.ends)
    return other ? [{ hours, by: `${dateWords(hours.date)} ${other.starts}–${other.ends}${other.title ? ` (${other.title})` : ''}` }] : []
  })
}

export const takenRefusal = (site: string, clashes: readonly { by: string }[], many: boolean) =>
  refused(422, `${site} is open then already: ${clashes.slice(0, 4).map((c) => c.by).join(', ')}${clashes.length > 4 ? ` and ${clashes.length - 4} more` : ''}. Nothing was changed.`, {
    fields: { starts: `Starts: overlaps the session of ${clashes[0]!.by}; choose other hours, change that session${many ? ', or tick that taken dates are left out' : ''}` },
  })

/** The dates of a rhythm, both ends included. */
export function rhythmDates(first: string, untilOn: string, everyWeeks: number): string[] {
  const dates: string[] = []
  for (let date = first; date <= untilOn; date = addDays(date, 7 * everyWeeks)) dates.push(date)
  return dates
}

const isOver = (ctx: Ctx, h: Hours) => hoursOf(zoneOnDate(ctx.clubZone, h.date), { ...h, date: dateColumn(h.date) }).end <= toInstant(ctx.now)

export async function enterSessions(tx: Tx, ctx: Ctx, input: NewSession): Saved {
  const site = await lockSite(tx, input.siteId)
  if (!site) return refused(422, 'That site is gone.', { fields: { siteId: 'Site: choose from the list' } })
  const first = { date: input.date, starts: input.starts, ends: input.ends }
  if (isOver(ctx, first)) return refused(422, `${dateWords(input.date)} ${shownTime(input.ends)} is over already.`, { fields: { date: 'Date: this session would be over already; choose a later date' } })
  const key = await keyProblem(tx, input.keyholderId)
  if (key) return key
  const isSeries = input.repeat === 'weekly'
  const wanted = isSeries ? rhythmDates(input.date, input.untilOn ?? input.date, input.everyWeeks).map((date) => ({ ...first, date })) : [first]
  const clashes = await taken(tx, input.siteId, wanted)
  if (clashes.length > 0 && !(isSeries && input.skipTaken)) return takenRefusal(site.name, clashes, isSeries)
  const free = wanted.filter((w) => !clashes.some((c) => c.hours === w))
  if (free.length === 0) return takenRefusal(site.name, clashes, false)
  const shared = { siteId: input.siteId, keyholderId: input.keyholderId, note: input.note, title: input.title }
  const series = isSeries ? await addSeries(tx, input, isoName(input)) : null
  await tx.session.createMany({ data: free.map((h) => ({ ...shared, ...h, date: dateColumn(h.date), seriesId: series?.id ?? null })) })
  await audit(tx, ctx, { what: series ? 'entered a series of sessions' : 'entered a session', entity: series ? 'series' : 'session', entityId: series?.id ?? site.id, after: { ...input, dates: free.map((h) => h.date) } })
  const what = series ? `${free.length} sessions of ${series.name} are entered` : `A session on ${dateWords(input.date)} ${input.starts} is entered`
  await requestReplan(tx, what, ctx)
  const left = clashes.length === 0 ? '' : ` Left out, for they were taken: ${clashes.map((c) => dateWords(c.hours.date)).join(', ')}.`
  return ok({ location: series ? `/sessions/series/${series.id}` : '/sessions', flash: `${what}.${left}` })
}

const isoName = (input: NewSession) => input.title || WEEKDAYS[weekdayOf(input.date) - 1]!
const addSeries = (tx: Tx, input: NewSession, name: string) =>
  tx.series.create({
    data: {
      siteId: input.siteId, name, weekday: weekdayOf(input.date), starts: input.starts, ends: input.ends, everyWeeks: input.everyWeeks,
      fromOn: dateColumn(input.date), untilOn: dateColumn(input.untilOn ?? input.date), goesOn: input.goesOn, keyholderId: input.keyholderId,
    },
  })

/** A session as its form shows it. */
export const sessionFields = (s: { siteId: string; date: Date; starts: string; ends: string; keyholderId: string | null; title: string; note: string }): Record<string, string> => ({
  siteId: s.siteId, date: isoDate(s.date), starts: s.starts, ends: shownTime(s.ends), keyholderId: s.keyholderId ?? '', title: s.title, note: s.note,
})

const stale = (row: Parameters<typeof sessionFields>[0]) =>
  refused(409, `Somebody changed the session of ${dayWords(row)} since you opened this page. Nothing of yours was saved yet.`, { current: sessionFields(row) })

/** An exception of its series, or a session by itself: this one only. */
export async function editSession(tx: Tx, ctx: Ctx, sessionId: string, input: EditSession): Saved {
  const before = await tx.session.findUnique({ where: { id: sessionId } })
  if (!before) return refused(404, 'There is no such session.')
  if (before.state !== 'planned') return refused(422, `The session of ${dayWords(before)} is ${before.state === 'closed' ? 'closed out' : 'called off'}; it can’t be changed any more.`)
  const site = await lockSite(tx, input.siteId)
  if (!site) return refused(422, 'That site is gone.', { fields: { siteId: 'Site: choose from the list' } })
  const moved = isoDate(before.date) !== input.date
  const hours = { date: input.date, starts: input.starts, ends: input.ends }
  const begun = hoursOf(zoneOnDate(ctx.clubZone, isoDate(before.date)), before).start <= toInstant(ctx.now)
  if (moved && begun) return refused(422, `The session of ${dayWords(before)} has begun: its date stays.`, { fields: { date: `Date: it has begun on ${dateWords(isoDate(before.date))}; enter another session for another day` } })
  if (isOver(ctx, hours) && !begun) return refused(422, `${dateWords(input.date)} ${shownTime(input.ends)} is over already.`, { fields: { date: 'Date: this session would be over already; choose a later date' } })
  const key = await keyProblem(tx, input.keyholderId === before.keyholderId ? null : input.keyholderId)
  if (key) return key
  const clashes = await taken(tx, input.siteId, [hours], [sessionId])
  if (clashes.length > 0) return takenRefusal(site.name, clashes, false)
  if (moved && before.seriesId && (await tx.session.findFirst({ where: { seriesId: before.seriesId, date: dateColumn(input.date), NOT: { id: sessionId } } }))) {
    return refused(422, 'Its series has a session on that day already.', { fields: { date: 'Date: its series has a session then already; choose another day' } })
  }
  const { version, ...data } = input
  const saved = await tx.session.updateMany({ where: { id: sessionId, version }, data: { ...data, date: dateColumn(input.date), version: { increment: 1 } } })
  if (saved.count === 0) return stale(before)
  // An answer was for that day, not for another.
  const cleared = moved ? await tx.attendance.deleteMany({ where: { sessionId } }) : { count: 0 }
  await audit(tx, ctx, { what: 'changed a session', entity: 'session', entityId: sessionId, before, after: input })
  await requestReplan(tx, `The session of ${dayWords(before)} ${moved ? `moved to ${dateWords(input.date)} ${input.starts}` : 'changed'}`, ctx)
  await notify(tx, LIVE_CHANNEL, `session:${sessionId}`)
  return ok({ location: `/sessions/${sessionId}`, flash: `Saved.${cleared.count > 0 ? ` It is another day now, so the ${cleared.count} answers given were cleared: ask again.` : ''}` })
}

export async function cancelSession(tx: Tx, ctx: Ctx, sessionId: string, input: { version: number; note: string }): Saved {
  const before = await tx.session.findUnique({ where: { id: sessionId } })
  if (!before) return refused(404, 'There is no such session.')
  if (before.state === 'closed') return refused(422, `The session of ${dayWords(before)} is closed out: it took place.`)
  const saved = await tx.session.updateMany({
    where: { id: sessionId, version: input.version, state: 'planned' },
    data: { state: 'cancelled', ...(input.note && { note: input.note }), version: { increment: 1 } },
  })
  if (saved.count === 0) return stale(before)
  await audit(tx, ctx, { what: 'called off a session', entity: 'session', entityId: sessionId, before })
  await requestReplan(tx, `The session of ${dayWords(before)} is called off`, ctx)
  await notify(tx, LIVE_CHANNEL, `session:${sessionId}`)
  return ok({ location: `/sessions/${sessionId}`, flash: `The session of ${dayWords(before)} is called off; the others of its series stay.` })
}

export async function restoreSession(tx: Tx, ctx: Ctx, sessionId: string, version: number): Saved {
  const before = await tx.session.findUnique({ where: { id: sessionId } })
  if (!before) return refused(404, 'There is no such session.')
  const site = await lockSite(tx, before.siteId)
  const hours = { date: isoDate(before.date), starts: before.starts, ends: before.ends }
  const clashes = await taken(tx, before.siteId, [hours], [sessionId])
  if (clashes.length > 0) return takenRefusal(site?.name ?? 'The site', clashes, false)
  const saved = await tx.session.updateMany({ where: { id: sessionId, version, state: 'cancelled' }, data: { state: 'planned', version: { increment: 1 } } })
  if (saved.count === 0) return stale(before)
  await audit(tx, ctx, { what: 'put a session back on', entity: 'session', entityId: sessionId, before })
  await requestReplan(tx, `The session of ${dayWords(before)} takes place after all`, ctx)
  return ok({ location: `/sessions/${sessionId}`, flash: `The session of ${dayWords(before)} takes place.` })
}
