import { describe, expect, test } from 'vitest'
import { instant } from '../../../src/core/units/index.ts'
import type { NameBook } from '../../../src/features/planning/model.ts'
import { lookAhead, type Days, type Question } from '../../../src/features/planning/outlook.ts'
import type { NeedView } from '../../../src/features/planning/queries/build-stock.ts'
import type { StockItem, StockNeed } from '../../../src/features/planning/stock-model.ts'
import {
  buildCoverSentence, coverWords, dateWords, levelSentence, mixableWords, much, orderWords, outlookSentence, pastDateWords, runOutWords, sheetNeedWords, shortList, systemWords, thereWords, timeWords,
  workName, type StockWords,
} from '../../../views/planning/words.ts'

// Saturday 30 May 2026, 10:00 in Berlin (UTC+2 in summer).
const NOW = new Date('2026-05-30T08:00:00Z')
const at = (local: string) => instant(Date.parse(`${local}:00+02:00`) / 60_000)
const DAY = 1440
const empty = new Map<string, never>()
const names: NameBook = {
  builds: new Map([['b1', 'Skua']]), tasks: new Map(
    [
      ['deck', { name: 'Coat the deck', buildId: 'b1' }], ['foils', { name: 'Coat the foils', buildId: 'b1' }],
      ['rudder', { name: 'Coat the rudder', buildId: 'b1' }],
    ]
  ),
  links: empty, people: empty, places: empty, tools: empty, competences: empty, items: empty,
}
const w: StockWords = {
  names, times: timeWords({ zone: 'Europe/Berlin', locale: 'en-GB' }, NOW), knownUntil: at('2026-07-01T00:00'), today: '2026-05-30',
}
const days: Days = {
  now: at('2026-05-30T10:00'), today: '2026-05-30',
  dateAt: (t) => w.times.localDate(t),
  endOf: (date) => instant(at(`${date}T00:00`) + DAY),
}
const item = (over: Partial<StockItem> = {}): StockItem => (
  { id: 'i', name: 'Epoxy resin', unit: 'g', shelf: '', leadDays: 10, safetyMilli: 0, supplier: null, packs: [], ...over }
)
const need = (local: string | null, milli: number, over: Partial<StockNeed> = {}): StockNeed => (
  { taskId: 'deck', buildId: 'b1', at: local === null ? null : at(local), milli, structural: true, covered: days.now, short: 0, ...over }
)
const look = (over: Partial<Question>) => lookAhead(
  { item: item(), there: { fresh: 1_000_000, notStructural: 0, testFirst: 0 }, orders: [], needs: [], draws: null, since: null, ...over }, days,
)
const order = (due: string, milli: number, isOverdue = false) => (
  { orderId: 'o', number: 12, supplier: null, due, at: isOverdue ? days.now + DAY : days.endOf(due), milli, isOverdue }
)

describe('an item ahead in words', () => {
  test('all covered: what is there, asked for, and left', () => {
    expect(levelSentence(w, look({ needs: [need('2026-06-13T10:00', 700_000)], orders: [order('2026-06-10', 500_000)] })))
      .toBe(
        '1 kg Epoxy resin is there and 500 g is on order. The plan asks for 700 g up to Sat 13 Jun, and all of it is covered; 800 g is left then.'
      )
  })

  test('a run-out names the day, what is missing, the work it stops, and the last day to order', () => {
    const a = look({ needs: [need('2026-06-13T10:00', 1_300_000)] })
    expect(runOutWords(w, a)).toBe('runs out Sat 13 Jun: 300 g is missing for Skua: Coat the deck')
    // Ten days before the end of Friday the 12th, the day before.
    expect(orderWords(w, a)).toBe('order 300 g by Tue')
    expect(dateWords(w, '2026-06-02')).toBe('Tue')
  })

  test('today, too late, and beyond the sessions that are entered', () => {
    expect(orderWords(w, look({ needs: [need('2026-06-10T10:00', 1_300_000)] }))).toBe('order 300 g today')
    expect(orderWords(w, look({ needs: [need('2026-06-04T10:00', 1_300_000)] }))).toBe('order 300 g now; ordered today, it is here Tue 9 Jun')
    expect(runOutWords(w, look({ needs: [need('2026-07-11T10:00', 1_300_000)] }))).toBe(
      'runs out week 28 (from 6 Jul): 300 g is missing for Skua: Coat the deck'
    )
    expect(runOutWords(w, look({ needs: [need('2026-05-30T09:00', 1_300_000)] }))).toBe('is short now: 300 g is missing for Skua: Coat the deck')
  })

  test('what is short only until an order comes says until when, and asks for nothing', () => {
    const a = look({ needs: [need('2026-06-02T10:00', 1_300_000)], orders: [order('2026-06-04', 1_000_000)] })
    expect(runOutWords(w, a)).toBe('runs out Tue: 300 g is missing for Skua: Coat the deck until Thu, when what is on order is here')
    expect(orderWords(w, a)).toBeNull()
  })

  test('what is there by what it is good for, and orders that are late', () => {
    expect(thereWords(w, look({ there: { fresh: 600_000, notStructural: 400_000, testFirst: 2_000_000 } })))
      .toBe('1 kg Epoxy resin is there and 400 g of it not for structure. 2 kg more is past its date and counts once somebody has tested it.')
    expect(thereWords(w, look({ there: { fresh: 0, notStructural: 400_000, testFirst: 0 } }))).toBe(
      '400 g Epoxy resin is there and none of it for structure.'
    )
    expect(thereWords(w, look({ there: { fresh: 0, notStructural: 0, testFirst: 0 }, orders: [order('2026-05-28', 500_000, true)] })))
      .toBe('No Epoxy resin is there and 500 g is on order. Order 12 was expected Thu 28 May and is not here yet: ask the supplier.')
  })

  test('below its safety stock, without a day, and asked for by nobody', () => {
    const low = look({ item: item({ safetyMilli: 400_000 }), needs: [need('2026-06-13T10:00', 700_000), need(null, 2_000_000)] })
    expect(levelSentence(w, low)).toBe(
      '1 kg Epoxy resin is there. The plan asks for 700 g up to Sat 13 Jun, and all of it is covered; 300 g is left then. ' +
      'From Sat 13 Jun on that is less than the safety stock of 400 g. 2 kg more is for work that has no day in the plan yet. Order 100 g by Tue.')
    expect(levelSentence(w, look({}))).toBe('1 kg Epoxy resin is there. No task asks for it.')
    expect(levelSentence(w, look({ needs: [need(null, 2_000_000)] }))).toBe(
      '1 kg Epoxy resin is there. 2 kg is for work that has no day in the plan yet.'
    )
  })

  test('where a build of higher priority is promised what comes later, the work that waits is named as well', () => {
    // 1,000: the foils' 600 come first by date, the deck's 700 by priority; that leaves the foils 300 short.
    const a = look({ needs: [need('2026-06-12T10:00', 600_000, { taskId: 'foils', short: 300_000 }), need('2026-06-26T10:00', 700_000)] })
    expect(levelSentence(w, a)).toBe(
      '1 kg Epoxy resin is there. The plan asks for 1.3 kg up to Fri 26 Jun; the stock runs out Fri 26 Jun: 300 g is missing for Skua: Coat the deck. ' +
      'As stock is promised by the builds’ priority, it is Skua: Coat the foils that waits, wanted Fri 12 Jun. Order 300 g by Mon 15 Jun.')
  })

  test('a lot that passes its date before it is used says how much is left then', () => {
    expect(pastDateWords(w, { item: item() }, { left: 450_000, lastDay: '2026-08-03' })).toBe(
      '450 g would be left of it after its last day, Mon 3 Aug, and must be tested then'
    )
  })

  test('amounts are told to the gram, above a kilogram to ten, and never as nothing', () => {
    expect([279_583, 14_392_831, 1_807_000, 45, 9_480].map((n) => much(w, { unit: 'g' }, n))).toEqual(
      ['280 g', '14.39 kg', '1.81 kg', '0.045 g', '9.5 g']
    )
    expect([much(w, { unit: 'pcs' }, 1_500), much(w, { unit: 'm2' }, 14_184)]).toEqual(['1.5 pcs', '14.18 m²'])
  })

  test('work of a build that is its team’s alone has no name', () => {
    expect(workName(w, { taskId: 'deck', buildId: 'b1' })).toBe('Skua: Coat the deck')
    expect(workName(w, { taskId: 'keel', buildId: 'hidden' })).toBe('work on another build')
  })
})

describe('systems in words', () => {
  const resin = look({ needs: [need('2026-06-27T10:00', 1_300_000)] })
  const hardener = look({ item: item({ id: 'h', name: 'Slow hardener' }), needs: [need('2026-06-13T10:00', 1_100_000)] })
  test('a shortage of one part is a shortage of the system, whichever runs out first', () => {
    expect(systemWords(w, resin, { names: ['Slow epoxy'], other: hardener })).toBe(
      'It is one part of Slow epoxy. The other, Slow hardener, runs out Sat 13 Jun: 100 g is missing for Skua: Coat the deck. Without it there is no Slow epoxy, however much Epoxy resin there is.')
    expect(systemWords(w, hardener, { names: ['Slow epoxy', 'Glue'], other: resin })).toBe(
      'It is one part of Slow epoxy and Glue: when it runs out there is no Slow epoxy or Glue, however much Epoxy resin there is.')
    expect(systemWords(w, look({}), { names: ['Slow epoxy'], other: look({}) })).toBeNull()
  })
  test('what can be mixed, and which part sets the limit', () => {
    expect(mixableWords(w, { mixable: { mg: 1_800_000, by: 'hardener' }, resin, hardener })).toBe('1.8 kg; Slow hardener sets the limit')
    expect(mixableWords(w, { mixable: { mg: 0, by: null }, resin, hardener })).toBe('0 g')
    expect(mixableWords(w, { mixable: null, resin, hardener })).toBe('not known: its ratio is not entered')
  })
})

describe('the whole list in a sentence', () => {
  test('nothing, one, several', () => {
    const until = at('2026-07-25T00:00')
    const covered = look({ needs: [need('2026-06-13T10:00', 700_000)] })
    const out = look({ needs: [need('2026-06-27T10:00', 1_300_000)] })
    expect(outlookSentence(w, [covered], until)).toBe(
      'All that the plan asks for up to Sat 25 Jul is there or on order, and no item is below its safety stock.'
    )
    expect(outlookSentence(w, [covered, out], until)).toBe(
      'One item runs out up to Sat 25 Jul; it is Epoxy resin, which runs out Sat 27 Jun: 300 g is missing for Skua: Coat the deck. One item is to be ordered: Epoxy resin: order 300 g by Tue 16 Jun.')
    const low = look({ item: item({ name: 'Gloves', unit: 'pcs', safetyMilli: 1_200_000 }) })
    expect(outlookSentence(w, [low], until)).toBe(
      'Nothing that the plan asks for runs out up to Sat 25 Jul. One item is to be ordered: Gloves: order 200 pcs now; ordered today, it is here Tue 9 Jun.'
    )
  })
})

describe('what is left for a build', () => {
  const view = (cover: NeedView['cover'], over: Partial<NeedView> = {}): NeedView => (
    { ...need('2026-06-13T10:00', 800_000), item: item(), cover, ...over }
  )
  const task = (taskId: string, isCovered: boolean) => ({ taskId, phase: '', at: null, isCovered, needs: [] })
  const share = (short: number) => ({ item: item(), needed: 2_000_000, covered: 2_000_000 - short, short, others: 0 })
  const build = { id: 'b1', name: 'Skua', state: 'active' as const }

  test('what is left covers the foils but not the decks', () => {
    expect(
      buildCoverSentence(
        w,
        {
          build, items: [share(800_000)], phases: [{ name: 'Foils', tasks: [task('foils', true)] }, { name: 'Decks', tasks: [task('deck', false)] }],
        },
      )
    )
      .toBe('What is left covers Foils, but not Decks: 800 g Epoxy resin is missing.')
  })

  test('all of it, nothing of it, a phase in part, and what only comes late', () => {
    expect(buildCoverSentence(w, { build, items: [share(0)], phases: [{ name: 'Foils', tasks: [task('foils', true)] }] })).toBe(
      'What is there and on order covers all that Skua still takes.'
    )
    expect(buildCoverSentence(w, { build, items: [share(800_000)], phases: [{ name: 'Decks', tasks: [task('deck', false)] }] })).toBe(
      'What is left does not cover Decks: 800 g Epoxy resin is missing.'
    )
    expect(
      buildCoverSentence(
        w, { build, items: [share(0)], phases: [{ name: 'Coats', tasks: [task('foils', true), task('rudder', true), task('deck', false)] }] },
      )
    )
      .toBe('What is left covers Coat the foils and Coat the rudder, but not Coat the deck: what is on order for it comes after it is wanted.')
  })

  test('where a need stands', () => {
    const later = at('2026-06-12T00:00')
    expect(coverWords(w, [view('there'), view('there', { item: item({ name: 'Slow hardener' }), milli: 350_000 })])).toBe(
      '800 g Epoxy resin and 350 g Slow hardener: there'
    )
    expect(coverWords(w, [view('coming', { covered: later })])).toBe('800 g Epoxy resin: on order, here Thu 11 Jun')
    expect(coverWords(w, [view('late', { covered: later })])).toBe('800 g Epoxy resin: on order, but here only Thu 11 Jun; the work waits for it')
    expect(coverWords(w, [view('short', { covered: later, short: 800_000 })])).toBe('missing: 800 g Epoxy resin; ordered today, here Thu 11 Jun')
    expect(coverWords(w, [view('short', { covered: later, short: 300_000 })])).toBe(
      'missing: 300 g of 800 g Epoxy resin; ordered today, here Thu 11 Jun'
    )
  })

  test('on a session sheet, with the shelf', () => {
    const one = { name: 'Epoxy resin', unit: 'g' as const, shelf: 'B2', milli: 800_000, short: 0, covered: days.now, cover: 'there' as const }
    expect(sheetNeedWords(w, one)).toBe('800 g Epoxy resin (shelf B2)')
    expect(sheetNeedWords(w, { ...one, cover: 'short', short: 300_000 })).toBe('800 g Epoxy resin (shelf B2): 300 g of it is missing')
    expect(sheetNeedWords(w, { ...one, shelf: '', cover: 'late', covered: at('2026-06-12T00:00') })).toBe(
      '800 g Epoxy resin: on order, here Thu 11 Jun'
    )
  })

  test('long lists are cut short, and name each once', () => {
    expect(shortList(['a', 'b', 'b'])).toBe('a and b')
    expect(shortList(['a', 'b', 'c', 'd', 'e'])).toBe('a, b, c, d and e')
    expect(shortList(['a', 'b', 'c', 'd', 'e', 'f'])).toBe('a, b, c, d and 2 more')
  })
})
