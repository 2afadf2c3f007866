import { describe, expect, test } from 'vitest'
import type { Review, ReviewFacts } from '../../../src/features/reviews/model.ts'
import { shownBy } from '../../../src/features/reviews/week/facts/edits.ts'
import { forGuests } from '../../../src/features/reviews/week/for-guests.ts'

const ALL = { money: true, names: true, photos: true, snags: true, log: true }
const NONE = { money: false, names: false, photos: false, snags: false, log: false }
const MEMBERS = ['Ann Okafor', 'Ben van Dijk', 'Robin Wood', 'Zoë Lind']

const photo = (id: string, forGuests: boolean) => ({ id, caption: `Ben at the ${id}`, takenOn: '2026-05-30', width: 8, height: 6, forGuests })
const facts: ReviewFacts = {
  build: { name: 'Ann', design: 'Kestrel' }, asOf: 29_670_000, isOver: true, pause: null, isQuiet: false, hasMeant: true, headline: 'drafted', availableMin: 900,
  meant: [{ key: 't1', name: 'Sand the hull', craft: 'wood', meantMin: 60, workedMin: 30, start: 29_668_000, came: 'part' }],
  done: [{ key: 't2', name: 'Grind out the bubble', craft: 'wood', workedMin: 30, isFinished: true, isCoat: false, ticked: ['Ask Zoë'], wasMeant: false }],
  hours: [], slips: [{ key: 't1', name: 'Sand the hull', cause: 'rework', detail: '30 min went into a fault (no. 3)', leftMin: 30 }], coats: [], used: [],
  money: { week: 12_345, toDate: 98_765, budget: 150_000, earned: 71_717 }, mass: null, earned: null,
  snags: [{ no: 3, what: 'Bubble', whereAt: 'port', bad: 'looks', found: true, mended: false, rework: 'Grind out the bubble' }], snagsOpen: 2, rework: ['Grind out the bubble'],
  forecast: null, next: [{ name: 'Second coat', start: 29_675_000, end: 29_675_060, projected: false, people: ['Ann Okafor', 'Ben van Dijk'], weather: null, stock: [] }],
  photos: [photo('stem', true), photo('mast', false), photo('transom', true)], log: [{ id: 'l1', kind: 'lesson', text: 'Ask Robin Wood first', by: 'Old Name', at: 29_669_000 }], signer: 'Ann Okafor',
}
const edits = {
  headline: 'Ann’s rails are on, thanks to Ben and ZOË: 1,250.50 € of oak, EUR 30 of screws, 12 kg in all', slips: {}, next: 'Ben van Dijk brings the clamps, Old Name the wood; it will take 3 h', lessons: 'Okafor was right', photos: null,
}
const review: Review = { buildId: 'b', no: 5, monday: '2026-05-25', isoWeek: '2026-W22', state: 'signed', facts, edits, shown: shownBy(facts, edits), draftedBy: 'Ben van Dijk', signedBy: 'Ann Okafor', signedAt: 29_670_000, version: 2 }

describe('what a link doesn’t show is not in the data at all', () => {
  test('with everything shown it is the review as it stands, but for photos that are not for guests and notes that were not chosen', () => {
    const shown = forGuests(review, ALL, MEMBERS)
    expect(shown.facts.photos.map((p) => p.id)).toEqual(['stem'])
    expect({ ...shown, facts: { ...shown.facts, photos: facts.photos }, shown: review.shown, edits }).toEqual(review)
  })

  test('names: first, last and full ones, in own words and in what was logged, also of who was renamed since; the boat keeps hers', () => {
    const shown = forGuests(review, { ...ALL, names: false }, MEMBERS)
    // "Ann" is the boat's name as well, so it may stay; nobody can tell that it is a person's.
    expect(shown.shown.headline).toBe('Ann’s rails are on, thanks to somebody and somebody: 1,250.50 € of oak, EUR 30 of screws, 12 kg in all')
    expect(shown.edits.next).toBe('somebody brings the clamps, somebody the wood; it will take 3 h')
    expect([shown.facts.log[0]?.text, shown.facts.log[0]?.by, shown.edits.lessons, shown.facts.done[0]?.ticked]).toEqual(['Ask somebody first', '', 'somebody was right', ['Ask somebody']])
    expect([shown.facts.next[0]?.people, shown.signedBy, shown.draftedBy, shown.facts.signer]).toEqual([[], null, null, null])
    expect([shown.facts.build.name, shown.facts.meant[0]?.craft]).toEqual(['Ann', 'wood'])
    expect(JSON.stringify(shown)).not.toMatch(/Okafor|Ben|Dijk|Robin|Zoë|Old Name/i)
  })

  test('money: figures and sums in own words', () => {
    const shown = forGuests(review, { ...ALL, money: false }, MEMBERS)
    expect(shown.facts.money).toBeNull()
    expect(shown.shown.headline).toBe('Ann’s rails are on, thanks to Ben and ZOË: a sum of oak, a sum of screws, 12 kg in all')
    expect(JSON.stringify(shown)).not.toMatch(/12345|98765|150000|71717|1,250/)
  })

  test('snags: neither they nor the work that mends them', () => {
    const shown = forGuests(review, { ...ALL, snags: false }, MEMBERS)
    expect([shown.facts.snags, shown.facts.snagsOpen, shown.facts.done[0]?.name, shown.shown.slips[0]?.words]).toEqual([[], 0, 'something that is done again', 'something had to be done again'])
    expect(JSON.stringify(shown)).not.toMatch(/bubble|no\. 3/i)
  })

  test('photos and the log; with nothing shown at all what is left is the work', () => {
    expect(forGuests(review, { ...ALL, photos: false }, MEMBERS).shown.photos).toEqual([])
    const log = forGuests(review, { ...ALL, log: false }, MEMBERS)
    expect([log.facts.log, log.edits.lessons]).toEqual([[], ''])
    const least = forGuests(review, NONE, MEMBERS)
    expect(JSON.stringify(least)).not.toMatch(/Okafor|Ben|Dijk|Robin|Zoë|Old Name|12345|98765|1,250|bubble|"l1"|stem|mast|transom/i)
    expect(least.facts.meant[0]).toMatchObject({ name: 'Sand the hull', meantMin: 60, workedMin: 30 })
  })
})
