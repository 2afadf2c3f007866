import type { Review, Shows } from '../../src/features/reviews/model.ts'
import { PrintSheet, weekWords } from '../shared/index.ts'
import { ReviewSheet } from './_review-sheet.tsx'
import { GuestLayout } from './guest-layout.tsx'
import { linesOf } from './week.tsx'

/** The club's name stands above it. */
const HEAD = 2

export type GuestWeekProps = { review: Review; shows: Shows; at: string; before: string | null; after: string | null }

/** A signed week review as a link shows it: the same sheet, with what is left of it. */
export function GuestWeek({ review, shows, at, before, after }: GuestWeekProps) {
  const { name } = review.facts.build
  return (
    <GuestLayout title={`${name}, ${weekWords(review.isoWeek)}`} above={<p class="crumbs"><a href={at}>All about {name}</a></p>}>
      <PrintSheet lines={linesOf(review) + HEAD}><ReviewSheet review={review} shows={shows} photoAt={(id) => `${at}/photos/${id}/small`} /></PrintSheet>
      {(before !== null || after !== null) && (
        <p class="no-print guest-beside">
          {before !== null && <a href={`${at}/weeks/${before}`}>The review before</a>}
          {after !== null && <a href={`${at}/weeks/${after}`}>The review after</a>}
        </p>
      )}
    </GuestLayout>
  )
}
