import type { Reader } from '../../../platform/database.ts'
import type { Actor } from '../../../platform/write.ts'
import { taskStates } from '../../builds/public.ts'
import type { NameBook, StoredMissed, Window } from '../model.ts'
import { toInstant } from '../times.ts'
import { nameBook } from './names.ts'
import { currentPlan } from './plans.ts'
import { comers, isInSession, sessionsAhead, siteOfPlaces, zoneAround, type SessionCard } from './sessions.ts'
import { pieceViews, windowViews, type PieceView, type WindowView } from './shown.ts'
import { finishedOf } from './states.ts'
import { visibleBuilds, type BuildCard } from './visible.ts'

/** One build's row: pieces by session, windows that open before each session (and after the one before). */
export type ChartRow = {
  readonly build: BuildCard
  readonly cells: readonly (readonly PieceView[])[]
  /** windows[i]: opening after session i - 1 began and before session i begins; the last: after the last began. */
  readonly windows: readonly (readonly WindowView[])[]
  /** The same for windows that are let go. */
  readonly missed: readonly (readonly (StoredMissed & Window)[])[]
}

export type WeekChart = {
  readonly names: NameBook
  readonly sessions: readonly (SessionCard & { readonly comers: readonly string[] })[]
  readonly rows: readonly ChartRow[]
  /** Pieces at home, outside the club's sessions. */
  readonly elsewhere: readonly PieceView[]
  readonly hasPlan: boolean
}

export const SESSIONS_SHOWN = 6

export async function weekChart(db: Reader, member: Actor, now: Date, count = SESSIONS_SHOWN): Promise<WeekChart> {
  const zone = await zoneAround(db, now)
  const [builds, sessions, siteOf] = await Promise.all([visibleBuilds(db, member), sessionsAhead(db, zone, now, count), siteOfPlaces(db)])
  const ids = builds.map((b) => b.id)
  const until = sessions.at(-1)?.end
  const [names, plan, who, states] = await Promise.all([
    nameBook(db, ids),
    currentPlan(db, { from: now }),
    comers(db, now, sessions),
    taskStates(db, ids, now),
  ])
  const pieces = plan ? pieceViews(plan, names) : []
  const finished = finishedOf(states)
  const windows = plan ? windowViews(plan, names, finished) : []
  const missed = (plan?.missed ?? []).flatMap((m) => (m.opens === null || (m.closes !== null && m.closes <= toInstant(now)) ? [] : [{ ...m, opens: m.opens }]))
  const taken = new Set<string>()
  const rows = builds.map((build) => {
    const own = pieces.filter((p) => p.buildId === build.id)
    const cells = sessions.map((s) => own.filter(isInSession(s, siteOf)))
    for (const p of cells.flat()) taken.add(p.pieceId)
    return { build, cells, windows: between(sessions, windows.filter((w) => w.buildId === build.id)), missed: between(sessions, missed.filter((m) => buildOfLink(names, m.linkId) === build.id)) }
  })
  return {
    names, rows, hasPlan: plan !== null,
    sessions: sessions.map((s) => ({ ...s, comers: [...new Set((who.get(s.id) ?? []).map((c) => c.memberId))] })),
    elsewhere: pieces.filter((p) => ids.includes(p.buildId) && !taken.has(p.pieceId) && until !== undefined && p.start < until),
  }
}

const buildOfLink = (names: NameBook, linkId: string) => names.tasks.get(names.links.get(linkId)?.to ?? '')?.buildId

function between<W extends Window>(sessions: readonly SessionCard[], windows: readonly W[]): W[][] {
  const slots: W[][] = Array.from({ length: sessions.length + 1 }, () => [])
  const last = sessions.at(-1)
  for (const w of windows) {
    // A window that opens while a session is on stands after it.
    let at = sessions.findIndex((s) => w.opens < s.start)
    if (at < 0) at = sessions.length
    if (last && w.opens > last.end + 2 * 1440) continue
    slots[at]?.push(w)
  }
  return slots
}
