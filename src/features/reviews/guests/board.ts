import type { PageClub } from '../../../../views/shared/page-context.ts'
import type { Reader } from '../../../platform/database.ts'
import { isoDate, localDate, toDate } from '../../../platform/times.ts'
import { forecastOf, nextPieces } from '../../planning/public.ts'
import { progressOf } from '../progress/queries.ts'
import { mondayOf } from '../week/facts/weeks.ts'
import { signedReviews } from '../week/queries/review.ts'
import { hiderFor } from './hide.ts'
import type { Hide } from './hide-phrases.ts'
import type { GuestBoard, GuestLog, GuestNext, GuestSnag, OpenLink } from './model.ts'
import { photosFor } from './photos.ts'

/** Of each as many as make a page. */
const PHOTOS = 6
const NEXT = 5
const ENTRIES = 12

/** A build as a link shows it: nothing is asked for that it doesn't show, and own words go through its hider. */
export async function guestBoard(db: Reader, link: OpenLink, now: Date, club: PageClub): Promise<GuestBoard> {
  const { buildId, shows } = link
  const hide = await hiderFor(db, link)
  const [boat, progress, forecast, photos] = [await boatOf(db, buildId), await progressOf(db, buildId, now), await forecastOf(db, buildId, now), await photosFor(db, link, PHOTOS)]
  return {
    boat: { ...boat, design: hide(boat.design) },
    work: progress.totalMin > 0 ? { share: progress.share, shape: progress.shape } : null,
    launch: forecast && { p50: forecast.p50, p80: forecast.p80, targetOn: forecast.targetOn },
    next: await nextOf(db, buildId, now, club.zone, hide),
    weeks: (await signedReviews(db, buildId)).map(({ monday, no }) => ({ monday, no })).reverse(),
    photos: photos.map((p) => ({ ...p, caption: hide(p.caption) })),
    money: shows.money ? { spentCents: progress.spentCents, budgetCents: progress.money?.budget ?? null } : null,
    team: shows.names ? await teamOf(db, buildId) : null,
    snags: shows.snags ? await snagsOf(db, buildId, hide) : null,
    log: shows.log ? await logOf(db, link, club.zone, hide) : null,
  }
}

async function boatOf(db: Reader, buildId: string): Promise<GuestBoard['boat']> {
  const b = await db.build.findUniqueOrThrow({ where: { id: buildId }, select: { name: true, design: true, state: true, startedOn: true, pausedOn: true, inServiceOn: true } })
  return { ...b, startedOn: isoDate(b.startedOn), pausedOn: b.pausedOn && isoDate(b.pausedOn), inServiceOn: b.inServiceOn && isoDate(b.inServiceOn) }
}

/** Those of her team who are of age. */
const teamOf = async (db: Reader, buildId: string): Promise<string[]> =>
  (await db.member.findMany({ where: { isMinor: false, teams: { some: { buildId } } }, select: { name: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] })).map((m) => m.name)

/** By the day, never by whom. */
async function nextOf(db: Reader, buildId: string, now: Date, zone: string, hide: Hide): Promise<GuestNext[]> {
  return (await nextPieces(db, buildId, now, now, NEXT)).map((p) => {
    const day = localDate(zone, toDate(p.start))
    return { name: hide(p.name), day: p.projected ? null : day, monday: mondayOf(day) }
  })
}

async function snagsOf(db: Reader, buildId: string, hide: Hide): Promise<GuestSnag[]> {
  const rows = await db.snag.findMany({ where: { buildId, closedOn: null, withdrawnAt: null }, select: { no: true, what: true, whereAt: true, foundOn: true }, orderBy: { no: 'asc' } })
  return rows.map((s) => ({ no: s.no, what: hide(s.what), whereAt: hide(s.whereAt), since: isoDate(s.foundOn) }))
}

async function logOf(db: Reader, { buildId, shows }: OpenLink, zone: string, hide: Hide): Promise<GuestLog[]> {
  const rows = await db.logEntry.findMany({
    // What is written about a snag is of the snag.
    where: { buildId, withdrawnAt: null, ...(shows.snags ? {} : { snagId: null }) },
    select: { id: true, kind: true, text: true, at: true, by: { select: { name: true, isMinor: true } } }, orderBy: [{ at: 'desc' }, { id: 'asc' }], take: ENTRIES,
  })
  return rows.map((l) => ({ id: l.id, kind: l.kind, text: hide(l.text), on: localDate(zone, l.at), by: shows.names && !l.by.isMinor ? l.by.name : null }))
}
