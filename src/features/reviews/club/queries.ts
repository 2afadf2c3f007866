import { addDays, instantToLocal, localToInstant, weekdayOf, weekLabel, type OffsetTable } from '../../../core/calendar/index.ts'
import { instant } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import { dateColumn, isoDate, toDate, toInstant } from '../../../platform/times.ts'
import type { Actor } from '../../../platform/write.ts'
import { visibleTo } from '../../builds/public.ts'
import { currentPlan, linkOfWash, sessionsAhead, storesSoon, type SessionCard, type StoredPlan } from '../../planning/public.ts'
import { loadZone } from '../../sessions/public.ts'
import { clashLines, handsLines, skillLines, windowLines, type Door, type Known } from './ahead.ts'
import type { ClubLine, ClubSheet, StoreLine, Unsigned } from './model.ts'
import { launchesOf, nextOf, plannedIn, reviewsOf, stoppingSnags, weeksOf, workedIn } from './rows.ts'

const DAY = 1440
/** What comes in so many days is talked about. */
const AHEAD_DAYS = 14
const MOST_SESSIONS = 40
/** Nobody leafs through weeks that nobody plans. */
const MOST_WEEKS_AHEAD = 8

export const mondayOf = (date: string): string => addDays(date, 1 - weekdayOf(date))
const midnight = (zone: OffsetTable, date: string): number => localToInstant(zone, { date, time: '00:00' })

/** All builds' week, as somebody may see them. `asked`: a Monday; null: this week's. */
export async function clubSheet(db: Reader, member: Actor, asked: string | null, now: Date): Promise<ClubSheet> {
  const at = toInstant(now)
  const far = asked === null ? at : toInstant(dateColumn(asked))
  const zone = await loadZone(db, instant(Math.min(at, far) - 30 * DAY), instant(Math.max(at, far) + 60 * DAY))
  const thisMonday = mondayOf(instantToLocal(zone, at).date)
  const monday = asked ?? thisMonday
  const kind = monday < thisMonday ? 'past' : monday === thisMonday ? 'now' : 'ahead'
  const [from, until] = [midnight(zone, monday), midnight(zone, addDays(monday, 7))]
  const builds = await db.build.findMany({
    where: { AND: [visibleTo(member), { startedOn: { lt: dateColumn(addDays(monday, 7)) } }, kind === 'past' ? {} : { state: { not: 'launched' } }] },
    select: { id: true, name: true, state: true, startedOn: true }, orderBy: [{ state: 'asc' }, { priority: 'desc' }, { name: 'asc' }],
  })
  const ids = builds.map((b) => b.id)
  const plan = kind === 'past' ? null : await currentPlan(db, { from: now, until: toDate(at + AHEAD_DAYS * DAY) })
  const [weeks, worked, planned, launches, next, reviews, first] = await Promise.all([
    weeksOf(db, ids, monday), workedIn(db, ids, from, until), plan ? plannedIn(db, plan.id, ids, from, until) : null, launchesOf(db, ids, kind === 'past' ? until : at + 1),
    plan ? nextOf(db, plan.id, ids, Math.max(at, from)) : null, reviewsOf(db, ids, monday), db.build.aggregate({ where: visibleTo(member), _min: { startedOn: true } }),
  ])
  const lines = builds.map((b): ClubLine => {
    const week = weeks.get(b.id)
    const said = reviews.get(b.id)
    return {
      buildId: b.id, name: b.name, state: b.state, doneMin: worked.get(b.id) ?? 0,
      meantMin: week?.plannedMin ?? planned?.get(b.id) ?? (kind === 'past' || !plan || b.state === 'paused' ? null : 0),
      launch: launches.get(b.id) ?? null, plannedLaunch: kind === 'past' ? (week?.launch ?? null) : (plan?.builds.find((x) => x.buildId === b.id)?.launch ?? null),
      next: next?.get(b.id) ?? [], headline: said?.headline ?? null, review: said?.state ?? 'none',
    }
  }).filter((l) => l.state !== 'launched' || l.doneMin > 0 || weeks.has(l.buildId) || l.review !== 'none')
  const firstMonday = mondayOf(isoDate(first._min.startedOn ?? dateColumn(thisMonday)))
  return {
    monday, isoWeek: weekLabel(monday), kind, lines, hasPlan: plan !== null || kind === 'past',
    before: monday > firstMonday ? weekLabel(addDays(monday, -7)) : null,
    after: monday < addDays(thisMonday, 7 * MOST_WEEKS_AHEAD) ? weekLabel(addDays(monday, 7)) : null,
    ...(kind === 'now' ? await talkedAbout(db, { plan, zone, now, builds }) : NOTHING),
    unsigned: kind === 'ahead' ? [] : await unsignedOf(db, builds, kind === 'now' ? addDays(monday, -7) : monday),
  }
}

type Talk = Pick<ClubSheet, 'hands' | 'skills' | 'clashes' | 'stores' | 'windows' | 'snags' | 'unopened'>
const NOTHING: Talk = { hands: [], skills: [], clashes: [], stores: [], windows: [], snags: [], unopened: [] }
type BuildRow = { readonly id: string; readonly name: string; readonly state: string; readonly startedOn: Date }

/** What has to be talked about this week: it is of today, so other weeks have none. */
async function talkedAbout(db: Reader, { plan, zone, now, builds }: { plan: StoredPlan | null; zone: OffsetTable; now: Date; builds: readonly BuildRow[] }): Promise<Talk> {
  const names = new Map(builds.map((b) => [b.id, b.name]))
  const at = toInstant(now)
  const until = at + AHEAD_DAYS * DAY
  const sessions = (await sessionsAhead(db, zone, now, MOST_SESSIONS)).filter((s) => s.start < until)
  const [known, stores, snags] = await Promise.all([plan ? knownOf(db, plan, names, sessions) : null, storesSoon(db, now), stoppingSnags(db, names)])
  return {
    hands: known ? handsLines(known, plan!.pieces, plan!.unplanned) : [],
    skills: known ? skillLines(known, plan!.unplanned) : [],
    clashes: known ? clashLines(known, plan!.pieces) : [],
    windows: known ? windowLines(known, plan!, at, until) : [],
    stores: await storeLines(db, stores.items, names),
    snags,
    unopened: sessions.filter((s) => s.keyholderId === null).map(({ id, start, end, title }) => ({ id, start, end, title })),
  }
}

/** Names and ends of all that the plan's lines are about; of the rest nothing. */
async function knownOf(db: Reader, plan: StoredPlan, builds: ReadonlyMap<string, string>, sessions: readonly SessionCard[]): Promise<Known> {
  const bound = plan.pieces.flatMap((p) => ('taskId' in p.binding && p.binding.taskId !== null ? [p.binding.taskId] : []))
  const asked = [...plan.pieces.map((p) => p.taskId), ...bound, ...plan.unplanned.map((u) => u.taskId)]
  const linkIds = [...asked.flatMap((id) => linkOfWash(id) ?? []), ...plan.met.map((m) => m.linkId), ...plan.missed.map((m) => m.linkId)]
  const links = await db.link.findMany({ where: { id: { in: [...new Set(linkIds)] } }, select: { id: true, fromId: true, toId: true } })
  const taskIds = [...new Set([...asked.filter((id) => linkOfWash(id) === null), ...links.map((l) => l.toId)])]
  const named = { select: { id: true, name: true } } as const
  const [tasks, holds, tools, places, competences, said] = await Promise.all([
    db.task.findMany({ where: { id: { in: taskIds } }, select: { id: true, name: true, buildId: true, kind: true, handsFrom: true } }),
    db.hold.findMany({ where: { id: { in: bound.filter((id) => linkOfWash(id) === null) } }, select: { id: true, buildId: true } }),
    db.tool.findMany(named), db.place.findMany({ select: { id: true, name: true, siteId: true } }), db.competence.findMany(named),
    db.attendance.groupBy({ by: ['sessionId'], where: { sessionId: { in: sessions.map((s) => s.id) }, answer: 'coming' }, _count: { memberId: true } }),
  ])
  const count = new Map(said.map((s) => [s.sessionId, s._count.memberId]))
  const byName = (rows: readonly { id: string; name: string }[]) => new Map(rows.map((r) => [r.id, r.name]))
  return {
    builds, tasks: new Map(tasks.map((t) => [t.id, t])), links: new Map(links.map((l) => [l.id, l])), holds: new Map(holds.map((h) => [h.id, h])),
    names: { tools: byName(tools), places: byName(places), competences: byName(competences) }, siteOf: new Map(places.map((p) => [p.id, p.siteId])),
    doors: sessions.map((s): Door => ({ start: s.start, end: s.end, siteId: s.siteId, said: count.get(s.id) ?? 0 })),
  }
}

type Soon = Awaited<ReturnType<typeof storesSoon>>['items']

async function storeLines(db: Reader, items: Soon, builds: ReadonlyMap<string, string>): Promise<StoreLine[]> {
  const tasks = await db.task.findMany({
    where: { id: { in: items.flatMap((a) => a.runOut?.taskId ?? []) }, buildId: { in: [...builds.keys()] } }, select: { id: true, name: true, buildId: true },
  })
  const named = new Map(tasks.map((t) => [t.id, `${builds.get(t.buildId) ?? ''}: ${t.name}`]))
  return items.map((a) => ({
    itemId: a.item.id, name: a.item.name, unit: a.item.unit, buyMilli: a.buy, orderBy: a.orderBy, isLate: a.isLate,
    runOut: a.runOut && { at: a.runOut.at, missingMilli: a.runOut.missing, task: named.get(a.runOut.taskId) ?? null },
  }))
}

/** Builds that were going on in a week of which nobody has signed the review. */
async function unsignedOf(db: Reader, builds: readonly BuildRow[], monday: string): Promise<Unsigned[]> {
  const there = builds.filter((b) => b.state === 'active' && isoDate(b.startedOn) < addDays(monday, 7))
  const reviews = await reviewsOf(db, there.map((b) => b.id), monday)
  return there.flatMap((b) => {
    const state = reviews.get(b.id)?.state
    return state === 'signed' ? [] : [{ buildId: b.id, build: b.name, monday, isDraft: state === 'draft' }]
  })
}
