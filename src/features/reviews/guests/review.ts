import type { Reader } from '../../../platform/database.ts'
import type { Review } from '../model.ts'
import { forGuests } from '../week/for-guests.ts'
import { reviewOf } from '../week/queries/review.ts'
import { hiderFor } from './hide.ts'
import { hideDeep } from './hide-names.ts'
import type { OpenLink } from './model.ts'
import { shownOf } from './photos.ts'

/** A signed review as a link shows it; null: there is none of that week. */
export async function guestReview(db: Reader, link: OpenLink, monday: string, now: Date): Promise<Review | null> {
  const review = await reviewOf(db, link.buildId, monday, now)
  if (review?.state !== 'signed') return null
  const people = await db.member.findMany({ select: { name: true, isMinor: true } })
  const cut = withPhotos(forGuests(review, link.shows, people.map((p) => p.name)), await shownOf(db, link, review.facts.photos.map((p) => p.id)))
  const told = await toldOf(db, link, cut.facts.log.map((l) => l.id))
  const minors = new Set(people.filter((p) => p.isMinor).map((p) => p.name))
  // Once more over all that is left, as the club stands today: members that came since, snags that were found since, and minors.
  return hideDeep(withoutMinors({ ...cut, facts: { ...cut.facts, log: cut.facts.log.filter((l) => told.has(l.id)) } }, minors), await hiderFor(db, link))
}

/** A photo may have been kept from guests, or been put to a snag, after the signing. */
function withPhotos(review: Review, allowed: ReadonlySet<string>): Review {
  const keep = <P extends { id: string }>(photos: readonly P[]) => photos.filter((p) => allowed.has(p.id))
  return {
    ...review,
    facts: { ...review.facts, photos: keep(review.facts.photos) },
    edits: { ...review.edits, photos: review.edits.photos?.filter((id) => allowed.has(id)) ?? null },
    shown: { ...review.shown, photos: keep(review.shown.photos) },
  }
}

/** Of these entries of the log those that are for guests: not taken back, and of no snag unless snags are shown. */
async function toldOf(db: Reader, { buildId, shows }: OpenLink, ids: readonly string[]): Promise<ReadonlySet<string>> {
  if (ids.length === 0) return new Set()
  const rows = await db.logEntry.findMany({ where: { id: { in: [...ids] }, buildId, withdrawnAt: null, ...(shows.snags ? {} : { snagId: null }) }, select: { id: true } })
  return new Set(rows.map((r) => r.id))
}

const withoutMinors = (review: Review, minors: ReadonlySet<string>): Review => ({
  ...review,
  facts: { ...review.facts, next: review.facts.next.map((n) => ({ ...n, people: n.people.filter((name) => !minors.has(name)) })) },
})
