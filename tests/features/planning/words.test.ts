import { describe, expect, test } from 'vitest'
import type { Binding, UnplannedReason } from '../../../src/core/schedule/answer.ts'
import type { ProblemRefusal } from '../../../src/core/schedule/index.ts'
import { instant, minutes } from '../../../src/core/units/index.ts'
import type { Move, NameBook, Reasoned } from '../../../src/features/planning/model.ts'
import { failureWords } from '../../../views/planning/failure.ts'
import {
  amountOf, byNearness, droppedReason, duration, hours, launchDay, list, missedReason, moveSentence, reason, resourceName, sentence, taskName, timeWords,
  unplannedReason, whoDoes, windowTimes, type Words,
} from '../../../views/planning/words.ts'

// Saturday 30 May 2026, 08:00Z = 10:00 in Berlin (UTC+2 in summer).
const NOW = new Date('2026-05-30T08:00:00Z')
const at = (local: string, offset = '+02:00') => instant(Date.parse(`${local}:00${offset}`) / 60_000)

const names: NameBook = {
  builds: new Map([['b1', 'Skua'], ['b2', 'Tern']]),
  tasks: new Map([
    ['fill1', { name: 'First fill coat', buildId: 'b1' }],
    ['fill2', { name: 'Second fill coat', buildId: 'b1' }],
    ['sand', { name: 'Sand the rudder', buildId: 'b1' }],
    ['turn', { name: 'Turn her over', buildId: 'b1' }],
  ]),
  links: new Map([['l1', { from: 'fill1', to: 'fill2', kind: 'window', stage: null }], ['l2', { from: 'fill1', to: 'sand', kind: 'stage', stage: 'sandable' as const }]]),
  people: new Map([['ann', 'Ann'], ['ben', 'Ben'], ['cleo', 'Cleo']]),
  places: new Map([['floor', 'Main floor'], ['tent', 'Paint tent']]),
  tools: new Map([['router', 'Router']]),
  competences: new Map([['saw', 'bandsaw']]),
  items: new Map([['resin', { name: 'Epoxy resin', unit: 'g' }], ['ply', { name: '6 mm ply', unit: 'pcs' }]]),
}
const w: Words = { names, times: timeWords({ zone: 'Europe/Berlin', locale: 'en-GB' }, NOW) }

const piece = (binding: Binding, over: Partial<Reasoned> = {}): Reasoned => ({ taskId: 'fill2', start: at('2026-05-31T10:00'), binding, fixed: null, window: null, ...over })

describe('times are told as people say them', () => {
  test('a weekday alone from yesterday to five days ahead, then with its date, beyond half a year with its year', () => {
    expect(w.times.dayTime(at('2026-05-29T09:05'))).toBe('Fri 09:05')
    expect(w.times.dayTime(at('2026-06-04T14:00'))).toBe('Thu 14:00')
    // 5 June is six days ahead: "Fri" alone could be yesterday.
    expect(w.times.dayTime(at('2026-06-05T14:00'))).toBe('Fri 5 Jun 14:00')
    expect(w.times.dayTime(at('2026-05-28T14:00'))).toBe('Thu 28 May 14:00')
    expect(w.times.day(at('2027-02-06T14:00', '+01:00'))).toBe('Sat 6 Feb 2027')
  })

  test('an instant is told in the club’s zone, across the change of clocks', () => {
    // 25 October 2026 02:30Z is 03:30 in winter time already.
    expect(w.times.time(instant(Date.parse('2026-10-25T02:30:00Z') / 60_000))).toBe('03:30')
    expect(w.times.localDate(instant(Date.parse('2026-05-30T22:30:00Z') / 60_000))).toBe('2026-05-31')
  })

  test('a week is told by its ISO number and its Monday', () => {
    // Thursday 31 December 2026 lies in week 53 (its Monday is 28 December): ISO 8601.
    expect(w.times.week(at('2026-06-17T14:00'))).toBe('week 25 (from 15 Jun)')
    expect(w.times.week(at('2026-12-31T14:00', '+01:00'))).toBe('week 53 (from 28 Dec 2026)')
  })

  test('durations and sums of hours', () => {
    expect([duration(45), duration(120), duration(150)]).toEqual(['45 min', '2 h', '2 h 30 min'])
    expect([hours(0), hours(450), hours(3660)]).toEqual(['0 h', '7.5 h', '61 h'])
    expect(list(['Ann', 'Ben', 'Cleo'])).toBe('Ann, Ben and Cleo')
    expect(sentence('it is cold')).toBe('It is cold.')
  })
})

describe('why a piece is not earlier', () => {
  test('a window that opens at night says both facts', () => {
    const window = { opens: at('2026-05-31T02:30'), closes: at('2026-05-31T14:00') }
    expect(reason(w, piece({ kind: 'nobody-here', until: at('2026-05-31T10:00') }, { window }))).toBe('the window opens 02:30 and nobody is here at night')
  })

  test('a window that opens by day says that nobody is here before', () => {
    const window = { opens: at('2026-06-03T13:15'), closes: null }
    const late = piece({ kind: 'nobody-here', until: at('2026-06-06T10:00') }, { window, start: at('2026-06-06T10:00') })
    expect(reason(w, late)).toBe('the window opens Wed 13:15 and nobody is here before')
  })

  test.each<[Binding, string]>([
    [{ kind: 'now' }, 'nothing holds it up'],
    [{ kind: 'release', at: at('2026-06-06T10:00') }, 'it was not to start before Sat 6 Jun 10:00'],
    [{ kind: 'link', linkId: 'l1', taskId: 'fill1', at: at('2026-05-31T10:00') }, 'First fill coat has to be done first (Sun 10:00)'],
    [{ kind: 'cure', linkId: 'l2', taskId: 'fill1', stage: 'sandable', at: at('2026-05-31T09:30') }, 'First fill coat is hard enough to sand from Sun 09:30'],
    [{ kind: 'window', linkId: 'l1', taskId: 'fill1', opens: at('2026-05-30T15:10'), closes: at('2026-05-30T21:00'), heldBack: false }, 'the window on First fill coat opens Sat 15:10, and shuts 21:00'],
    [{ kind: 'window', linkId: 'l1', taskId: 'fill1', opens: at('2026-05-31T10:10'), closes: at('2026-05-31T16:00'), heldBack: true }, 'First fill coat was put later on purpose, so that its window (from Sun 10:10 to 16:00) falls while somebody is here'],
    [{ kind: 'nobody-here', until: at('2026-05-31T10:00') }, 'nobody is here before Sun 10:00'],
    [{ kind: 'hands', need: 4, taskId: null }, 'it takes 4 people and so many are not here sooner'],
    [{ kind: 'hands', need: 2, taskId: 'sand' }, 'its 2 pairs of hands are busy with Sand the rudder until then'],
    [{ kind: 'competence', competenceId: 'saw' }, 'nobody checked for bandsaw is free sooner'],
    [{ kind: 'resource', resourceId: 'router', taskId: null, until: at('2026-06-05T00:00') }, 'Router is not there before Fri 5 Jun 00:00'],
    [{ kind: 'resource', resourceId: 'bay:tent', taskId: 'sand', until: at('2026-05-30T16:00') }, 'a bay in Paint tent is taken by Sand the rudder until Sat 16:00'],
    [{ kind: 'place', placeId: 'tent', until: at('2026-05-31T12:00') }, 'Paint tent is not free before Sun 12:00'],
    [{ kind: 'dust', placeId: 'floor', taskId: 'sand', settling: true }, 'dust from Sand the rudder has to settle in Main floor first'],
    [{ kind: 'dust', placeId: 'floor', taskId: 'fill1', settling: false }, 'it makes dust, and First fill coat in Main floor is still wet'],
    [{ kind: 'gate', placeId: 'floor', limit: 'cold' }, 'before that, it is too cold in Main floor'],
    [{ kind: 'gate', placeId: 'tent', limit: 'dew' }, 'before that, surfaces in Paint tent are too near the dew point and may be damp'],
    [{ kind: 'stretch', minutes: minutes(150) }, 'it takes 2 h 30 min in one go, and no stretch before is long enough'],
    // What is expected on a day is here when the day is over, the first minute of the next.
    [{ kind: 'material', materialId: 'resin', short: 800_000, at: at('2026-06-12T00:00') }, 'it waits for 800 g Epoxy resin; ordered today, here Thu 11 Jun'],
    [{ kind: 'material', materialId: 'ply', short: 2500, at: at('2026-06-12T00:00') }, 'it waits for 2.5 × 6 mm ply; ordered today, here Thu 11 Jun'],
    [{ kind: 'material', materialId: 'resin', short: 0, at: at('2026-06-02T09:00') }, 'it waits for Epoxy resin that is on order, here Tue'],
    [{ kind: 'choice' }, 'other work comes first, so that the boats are launched sooner'],
  ])('%o', (binding, text) => {
    expect(reason(w, piece(binding))).toBe(text)
  })

  test('a projected piece names weeks only, in its reason too', () => {
    const at15 = at('2026-08-15T10:00')
    expect(reason(w, { ...piece({ kind: 'nobody-here', until: at15 }), projected: true })).toBe('nobody is here before week 33 (from 10 Aug)')
    expect(reason(w, { ...piece({ kind: 'resource', resourceId: 'router', taskId: 'sand', until: at15 }), projected: true })).toBe('Router is taken by Sand the rudder until week 33 (from 10 Aug)')
  })

  test('a fixed piece says who fixed it: a person, the session, or the work itself', () => {
    expect(reason(w, piece({ kind: 'fixed' }, { fixed: 'pinned' }))).toBe('somebody pinned it to this time')
    expect(reason(w, piece({ kind: 'fixed' }, { fixed: 'frozen' }))).toBe('the session has begun, and its work stays as it was agreed')
    expect(reason(w, piece({ kind: 'fixed' }, { fixed: 'under-way' }))).toBe('it is under way')
  })
})

describe('what moved', () => {
  const sat = { start: at('2026-05-30T14:00'), end: at('2026-05-30T16:00'), projected: false }
  const sun = { start: at('2026-05-31T10:00'), end: at('2026-05-31T12:00'), projected: false }
  const later = { start: at('2026-07-15T10:00'), end: at('2026-07-15T12:00'), projected: true }

  test('the coat that a night pushes back is told with its window', () => {
    const window = { opens: at('2026-05-31T02:30'), closes: null }
    const move: Move = { kind: 'moved', buildId: 'b1', from: sat, to: sun, others: 0, ...piece({ kind: 'nobody-here', until: sun.start as never }, { window }) }
    expect(moveSentence(w, move, false)).toBe('Second fill coat moves from Sat 14:00 to Sun 10:00: the window opens 02:30 and nobody is here at night.')
    expect(moveSentence(w, move)).toBe('Skua: Second fill coat moves from Sat 14:00 to Sun 10:00: the window opens 02:30 and nobody is here at night.')
  })

  test('far pieces are told by their week only, and what comes forward needs no excuse', () => {
    const move: Move = { kind: 'moved', buildId: 'b1', from: sun, to: later, others: 2, ...piece({ kind: 'choice' }) }
    expect(moveSentence(w, move, false)).toBe('Second fill coat (and 2 later pieces of it) moves from Sun 10:00 to week 29 (from 13 Jul): other work comes first, so that the boats are launched sooner.')
    expect(moveSentence(w, { ...move, from: later, to: sat, others: 0 }, false)).toBe('Second fill coat comes forward from week 29 (from 13 Jul) to Sat 14:00.')
  })

  test('people, places, ends, launches', () => {
    expect(moveSentence(w, { kind: 'people', buildId: 'b1', taskId: 'sand', start: sat.start, come: ['cleo'], go: ['ann', 'ben'] }, false)).toBe('Sand the rudder, Sat 14:00: Cleo instead of Ann and Ben.')
    expect(moveSentence(w, { kind: 'people', buildId: 'b1', taskId: 'sand', start: sat.start, come: ['cleo'], go: [] }, false)).toBe('Sand the rudder, Sat 14:00: Cleo is on it too.')
    expect(moveSentence(w, { kind: 'people', buildId: 'b1', taskId: 'sand', start: sat.start, come: [], go: ['ann', 'ben'] }, false)).toBe('Sand the rudder, Sat 14:00: Ann and Ben are not needed for it now.')
    expect(moveSentence(w, { kind: 'place', buildId: 'b1', taskId: 'sand', start: sat.start, from: 'tent', to: 'floor' }, false)).toBe('Sand the rudder, Sat 14:00, is done in Main floor and not in Paint tent.')
    expect(moveSentence(w, { kind: 'ends', buildId: 'b1', taskId: 'sand', start: sat.start, from: sat.end, to: sat.end + 30, projected: false }, false)).toBe('Sand the rudder, Sat 14:00, goes on until 16:30 and not 16:00.')
    expect(moveSentence(w, { kind: 'planned', buildId: 'b1', to: sun, others: 0, more: false, ...piece({ kind: 'now' }) }, false)).toBe('Second fill coat is now planned for Sun 10:00.')
    expect(moveSentence(w, { kind: 'launch', buildId: 'b1', from: sun, to: later })).toBe('Skua’s launch moves from Sun to week 29 (from 13 Jul).')
    expect(moveSentence(w, { kind: 'launch', buildId: 'b1', from: later, to: sun })).toBe('Skua is launched sooner: Sun and not week 29 (from 13 Jul).')
    expect(moveSentence(w, { kind: 'launch', buildId: 'b1', from: later, to: null })).toBe('Skua has no launch date for now: something before the launch can’t be planned.')
    expect(moveSentence(w, { kind: 'launch', buildId: 'b1', from: null, to: later })).toBe('Skua has a launch date: week 29 (from 13 Jul).')
  })

  test('what can’t be planned comes before what moves, and near before far', () => {
    const moved: Move = { kind: 'moved', buildId: 'b1', from: sun, to: later, others: 0, ...piece({ kind: 'choice' }) }
    const nearer: Move = { ...moved, from: sat, to: later, taskId: 'sand' }
    const launch: Move = { kind: 'launch', buildId: 'b1', from: sun, to: later }
    const dropped: Move = { kind: 'dropped', buildId: 'b1', taskId: 'turn', start: sat.start, why: 'frozen', fault: { rule: 'window', pieceId: null, text: '' } }
    expect([launch, moved, nearer, dropped].sort(byNearness)).toEqual([dropped, nearer, moved, launch])
  })
})

describe('what can’t be planned says the way out', () => {
  test.each<[UnplannedReason, string]>([
    [{ kind: 'no-stretch', need: minutes(300), longest: minutes(240) }, 'it takes 5 h in one go and the longest stretch is 4 h. Split the task, or plan a longer session'],
    [{ kind: 'hands', need: 6, most: 4 }, 'it takes 6 people at once and at most 4 come. Ask helpers to one session, or put fewer hands on it'],
    [{ kind: 'hands', need: 2, most: 1 }, 'it takes 2 people at once and at most 1 comes. Ask helpers to one session, or put fewer hands on it'],
    [{ kind: 'competence', competenceId: 'saw' }, 'nobody who comes is checked for bandsaw. Have somebody checked, or ask one who is'],
    [{ kind: 'resource', resourceId: 'router', need: 2, most: 1 }, 'it takes 2 × Router and there is 1. Get more, or change what the task needs'],
    [{ kind: 'before', taskId: 'turn' }, 'it comes after Turn her over, which can’t be planned either'],
    [{ kind: 'material', materialId: 'resin', at: at('2028-06-10T09:00') }, 'it waits for Epoxy resin, which would not be here before Sat 10 Jun 2028. Get it sooner, or free what other boats have been promised'],
    [{ kind: 'circle', taskIds: ['fill1', 'fill2'] }, 'its links lead round in a circle (First fill coat and Second fill coat). Take one of these links away'],
    [{ kind: 'stage', linkId: 'l2', stage: 'sandable' }, 'First fill coat never gets hard enough to sand. Look at the figures of its product, or warm the place'],
    [{ kind: 'window', linkId: 'l1' }, 'it has to follow First fill coat within its window, and nobody can. Allow a wash and sand on that link, or plan a session in the window'],
    [{ kind: 'held', resourceId: 'bay:floor', holdId: 'h' }, 'a bay in Main floor is held for other work all the time. Free it, or get another'],
  ])('%o', (why, text) => {
    expect(unplannedReason(w, why)).toBe(text)
  })

  test('every kind of reason has words', () => {
    const rest: UnplannedReason[] = [
      ...(['cold', 'hot', 'humid', 'dew'] as const).map((limit) => ({ kind: 'gate' as const, limit })),
      { kind: 'place' }, { kind: 'lag', linkId: 'l1' }, { kind: 'horizon' }, { kind: 'demand-exceeds-capacity', resourceId: 'router' },
    ]
    for (const why of rest) expect(unplannedReason(w, why)).toMatch(/^[a-z].{20,}[^.]$/)
  })
})

describe('windows', () => {
  const missed = { linkId: 'l1', opens: at('2026-05-31T02:30'), closes: at('2026-05-31T06:00') }
  test('one left on purpose says that it is on purpose, one without opening why, one that has shut the fact', () => {
    expect(missedReason(w, { ...missed, why: 'chosen' })).toBe('the window on First fill coat (opens Sun 02:30, shuts 06:00) is let go on purpose: waiting for one that suits would launch her later, so it is washed and sanded before Second fill coat')
    expect(missedReason(w, { ...missed, opens: at('2026-05-31T07:00'), why: 'no-window' })).toBe('in this temperature there is no window on First fill coat: it would open Sun 07:00 but shut 06:00, so it is washed and sanded before Second fill coat')
    expect(missedReason(w, { ...missed, why: 'fact' })).toBe('the window on First fill coat has shut (Sun 06:00), so it is washed and sanded before Second fill coat')
    expect(windowTimes(w, { opens: at('2026-05-30T15:10'), closes: null })).toBe('opens Sat 15:10, stays open')
  })
})

describe('names', () => {
  test('a wash is named by the coat it is for, a bay by its place, a thing that is gone says so', () => {
    expect(taskName(w, 'wash:l1')).toBe('the wash and sand before Second fill coat')
    expect(taskName(w, 'nowhere')).toBe('other work')
    expect(resourceName(w, 'bay:floor')).toBe('a bay in Main floor')
    expect(whoDoes(w, ['ben', 'ann'], 'cleo')).toBe('Ann and Ben; Cleo supervises')
    expect(launchDay(w, { start: at('2026-06-20T12:00'), projected: false })).toBe('Sat 20 Jun')
  })

  test('what stops the whole plan names the material that can be put right', () => {
    const words = (refusal: ProblemRefusal) => failureWords(w, { kind: 'refused', refusals: [refusal] })
    const stands = 'The plan before stands.'
    expect(words({ kind: 'duplicate-supply', materialId: 'resin', at: at('2026-06-02T09:00'), fit: 'structure' }))
      .toBe(`The plan could not be worked out anew: two deliveries of Epoxy resin are down for the same time (Tue 09:00); make them one. ${stands}`)
    expect(words({ kind: 'bad-number', owner: 'ply', field: 'leadTime', value: -1 }))
      .toBe(`The plan could not be worked out anew: a figure of 6 mm ply can’t be right; look at its stock, its orders and its lead time. ${stands}`)
    expect(words({ kind: 'bad-number', owner: 'fill1', field: 'work', value: -1 })).toContain('look at what was changed last')
  })

  test('amounts are told in the club’s units, and material that is gone says so', () => {
    expect(amountOf(w, 'resin', 1_250_000)).toBe('1.25 kg Epoxy resin')
    // 1 lb = 453.59237 g (1959): 1,250 g are 44.09 oz, 2 lb 12 oz.
    const club = { name: 'Club', zone: 'Europe/Berlin', units: 'imperial' as const, currency: 'USD', locale: 'en-US' }
    expect(amountOf({ ...w, club }, 'resin', 1_250_000)).toBe('2 lb 12 oz Epoxy resin')
    expect(amountOf(w, 'nothing', 1000)).toBe('material that is gone from the stores')
  })

  test('a fixed piece that facts made impossible says what is in its way', () => {
    const dropped = { taskId: 'fill2', start: at('2026-05-30T14:00'), why: 'frozen' as const, fault: { rule: 'link' } }
    expect(droppedReason(w, dropped)).toBe('Second fill coat was agreed for Sat 14:00, but that can’t be done any more: what comes before it can’t be ready by then')
  })

  test('no sentence blames anybody', () => {
    const texts = [unplannedReason(w, { kind: 'hands', need: 3, most: 1 }), reason(w, piece({ kind: 'hands', need: 3, taskId: null })), missedReason(w, { ...missed(), why: 'fact' })]
    for (const text of texts) expect(text).not.toMatch(/\b(late|fault|fail|blame|behind|should have|overdue)\b/i)
  })
  const missed = () => ({ linkId: 'l1', opens: at('2026-05-31T02:30'), closes: at('2026-05-31T06:00') })
})
