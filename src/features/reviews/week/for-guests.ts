/** A review as a guest may see it: what a link doesn't show is taken out of the data, so that no view can show it by mistake. Pure. */
import { hideMoney } from '../guests/hide-money.ts'
import { hideDeep, nameHider } from '../guests/hide-names.ts'
import { phraseHider } from '../guests/hide-phrases.ts'
import type { Review, Shows } from '../model.ts'

const AGAIN = 'something that is done again'

/** @param memberNames of everybody in the club, those who left too; names that the review itself holds are added */
export function forGuests(review: Review, shows: Shows, memberNames: readonly string[]): Review {
  const shown = shows.photos ? review.shown.photos.filter((p) => p.forGuests && p.isGone !== true) : []
  const { facts } = review
  const cut: Review = {
    ...review,
    draftedBy: shows.names ? review.draftedBy : null,
    signedBy: shows.names ? review.signedBy : null,
    facts: {
      ...facts,
      photos: shown,
      money: shows.money ? facts.money : null,
      signer: shows.names ? facts.signer : null,
      log: shows.log ? facts.log.map((l) => (shows.names ? l : { ...l, by: '' })) : [],
      next: shows.names ? facts.next : facts.next.map((n) => ({ ...n, people: [] })),
      ...(shows.snags ? {} : { snags: [], snagsOpen: 0, rework: [], slips: facts.slips.map((s) => (s.cause === 'rework' ? { ...s, detail: '' } : s)) }),
    },
    edits: { ...review.edits, lessons: shows.log ? review.edits.lessons : '', photos: shown.map((p) => p.id) },
    shown: {
      ...review.shown, photos: shown,
      slips: review.shown.slips.map((s) => (!shows.snags && s.cause === 'rework' && !(s.key in review.edits.slips) ? { ...s, words: 'something had to be done again' } : s)),
    },
  }
  const hide = [
    ...(shows.names ? [] : [nameHider([...memberNames, ...namesIn(review)], [facts.build.name])]),
    ...(shows.money ? [] : [hideMoney]),
    ...(shows.snags || facts.rework.length === 0 ? [] : [phraseHider(facts.rework, AGAIN)]),
  ]
  return hide.reduce((r, one) => hideDeep(r, one), cut)
}

/** Of people who are called otherwise by now, too. */
function namesIn({ facts, draftedBy, signedBy }: Review): string[] {
  const all = [...facts.next.flatMap((n) => n.people), ...facts.log.map((l) => l.by), facts.signer, draftedBy, signedBy]
  return all.filter((name) => name !== null).filter((name) => name !== '' && name !== 'somebody who left')
}
