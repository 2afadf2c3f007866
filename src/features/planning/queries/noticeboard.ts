import type { Reader } from '../../../platform/database.ts'
import type { Actor } from '../../../platform/write.ts'
import { taskStates } from '../../builds/public.ts'
import type { Failed, NameBook, StoredMissed, StoredUnplanned, Suggestion } from '../model.ts'
import { toInstant } from '../times.ts'
import { rangesOf } from '../forecast/queries/forecast.ts'
import { nameBook } from './names.ts'
import { storesSoon, type Soon } from './outlook.ts'
import { currentPlan, newestFailure } from './plans.ts'
import { comers, isInSession, notClosedOut, sessionsAhead, siteOfPlaces, zoneAround, type Comer, type SessionCard } from './sessions.ts'
import { curingOf, finishedOf, readyOf, type CuringView, type ReadyView } from './states.ts'
import { toReview, type ToReview } from './to-review.ts'
import { launchViews, pieceViews, windowViews, type LaunchView, type PieceView, type WindowView } from './shown.ts'
import { visibleBuilds, type BuildCard } from './visible.ts'

export type Noticeboard = {
  readonly names: NameBook
  readonly builds: readonly BuildCard[]
  readonly session: SessionCard | null
  readonly comers: readonly Comer[]
  /** Pieces of the session, in order; other builds' stay hidden from who may not see them. */
  readonly pieces: readonly PieceView[]
  /** The next pieces of the person who looks, wherever they are. */
  readonly own: readonly PieceView[]
  readonly windows: readonly WindowView[]
  readonly missed: readonly (StoredMissed & { buildId: string })[]
  readonly curing: readonly CuringView[]
  /** What could be done in the session beside its pieces. */
  readonly ready: readonly ReadyView[]
  readonly launches: readonly LaunchView[]
  /** Newest forecast of each build that has one. */
  readonly ranges: ReadonlyMap<string, { readonly p50: number | null; readonly p80: number | null }>
  readonly unplanned: readonly (StoredUnplanned & { buildId: string })[]
  readonly suggestions: readonly Suggestion[]
  readonly notClosed: readonly SessionCard[]
  /** Weeks of this person's boats that can be reviewed. */
  readonly toReview: readonly ToReview[]
  readonly failure: Failed | null
  /** What of the stores runs out or must be ordered within a week. */
  readonly stores: Soon
  readonly planMadeAt: number | null
  /** What a club that has just begun still lacks. */
  readonly lacks: { readonly people: boolean; readonly place: boolean; readonly sessions: boolean; readonly builds: boolean }
}

/** Windows this far ahead are shown. */
const AHEAD = 7 * 1440
const OWN_SHOWN = 5

export async function noticeboard(db: Reader, member: Actor, now: Date): Promise<Noticeboard> {
  const at = toInstant(now)
  const zone = await zoneAround(db, now)
  const builds = await visibleBuilds(db, member)
  const ids = builds.map((b) => b.id)
  const [names, plan, failure, ahead, notClosed, siteOf, stores] = await Promise.all([
    nameBook(db, ids), currentPlan(db), newestFailure(db), sessionsAhead(db, zone, now, 1), notClosedOut(db, zone, now), siteOfPlaces(db), storesSoon(db, now),
  ])
  const session = ahead[0] ?? null
  const [who, states, lacks] = await Promise.all([session ? comers(db, now, [session]) : null, taskStates(db, ids, now), whatLacks(db)])
  const isSeen = (x: { buildId: string }) => ids.includes(x.buildId)
  const buildOf = (taskId: string) => names.tasks.get(taskId)?.buildId ?? ''
  const finished = finishedOf(states)
  const inSession = session && isInSession(session, siteOf)
  const pieces = plan ? pieceViews(plan, names).filter(isSeen) : []
  return {
    names, builds, session,
    comers: (session && who?.get(session.id)) ?? [],
    pieces: inSession ? pieces.filter(inSession) : [],
    own: pieces.filter((p) => p.end > at && !p.projected && (p.people.includes(member.id) || p.supervisor === member.id)).slice(0, OWN_SHOWN),
    windows: plan ? windowViews(plan, names, finished).filter((v) => isSeen(v) && v.opens < at + AHEAD && (v.closes === null || v.closes > at) && !v.piece?.projected) : [],
    missed: (plan?.missed ?? []).map((m) => ({ ...m, buildId: buildOf(names.links.get(m.linkId)?.to ?? '') }))
      .filter((m) => isSeen(m) && m.opens !== null && m.opens < at + AHEAD && (m.closes === null || m.closes > at)),
    curing: curingOf(states),
    ready: session ? readyOf(states, inSession ? pieces.filter(inSession) : []) : [],
    launches: launchViews(plan, builds),
    ranges: await rangesOf(db, builds.filter((b) => b.state === 'active').map((b) => b.id)),
    unplanned: (plan?.unplanned ?? []).map((u) => ({ ...u, buildId: washBuild(names, u.taskId) ?? buildOf(u.taskId) })).filter(isSeen),
    suggestions: (plan?.suggestions ?? []).filter((s) => isSeen(s) && s.start >= at),
    notClosed, failure, stores,
    toReview: await toReview(db, member, builds, zone, now),
    planMadeAt: plan?.madeAt ?? null,
    lacks,
  }
}

function washBuild(names: NameBook, taskId: string): string | undefined {
  if (!taskId.startsWith('wash:')) return undefined
  const link = names.links.get(taskId.slice(5))
  return link && names.tasks.get(link.to)?.buildId
}

async function whatLacks(db: Reader) {
  const [members, places, sessions, builds] = await Promise.all([
    db.member.count({ where: { isActive: true } }), db.place.count({ where: { isActive: true } }), db.session.count(), db.build.count(),
  ])
  return { people: members < 2, place: places === 0, sessions: sessions === 0, builds: builds === 0 }
}
