import { describe, expect, test } from 'vitest'
import {
  expectedPresence, instantToLocal, presenceOfMembers, projectRhythm, type Answer, type AttendanceQuestion, type Attendee, type Interval,
  type PresenceRow, type SeriesRow, type SessionRow,
} from '../../../src/core/calendar/index.ts'
import { instant } from '../../../src/core/units/index.ts'
import { at, BERLIN, NEW_YORK } from '../../support/zones.ts'

const span = (start: number, end: number): Interval => ({ start: instant(start), end: instant(end) })
const answer = (coming: boolean, from: number | null = null, to: number | null = null): Answer =>
  ({ coming, from: from === null ? null : instant(from), to: to === null ? null : instant(to) })

describe('when a member is expected', () => {
  const session = span(600, 900)
  test.each([
    ['yes: the whole session', answer(true), [span(0, 660)], [session]],
    ['yes, until 12: from its start to then', answer(true, null, 720), null, [span(600, 720)]],
    ['yes, from before it opens: from its start', answer(true, 540, 720), null, [span(600, 720)]],
    ['yes, but only before it opens: not at all', answer(true, 500, 600), null, []],
    ['no: not at all, whatever is usual', answer(false), [session], []],
    ['no answer: usual hours cut to the session', null, [span(500, 700), span(800, 1000)], [span(600, 700), span(800, 900)]],
    ['no answer and nothing usual: not at all', null, null, []],
  ])('%s', (_name, given, usual, expected) => expect(expectedPresence(session, given, usual)).toEqual(expected))
})

const saturday: SeriesRow = {
  id: 'sat', siteId: 'shed', weekday: 6, starts: '10:00', ends: '16:00', everyWeeks: 1, keyholderId: 'kim', goesOn: true,
}
const session = (date: string, more: Partial<SessionRow> = {}): SessionRow => ({
  id: date, siteId: 'shed', seriesId: 'sat', date, starts: '10:00', ends: '16:00', keyholderId: 'kim', cancelled: false, ...more,
})

describe('the rhythm after the last entered session', () => {
  // 17 and 24 October 2026 are Saturdays; Berlin leaves summer time on Sunday the 25th.
  const entered = [session('2026-10-17'), session('2026-10-10')]

  test('keeps its local times over the change of clocks', () => {
    const [first, second] = projectRhythm(BERLIN, [saturday], entered, '2026-10-12', 2)
    expect(first).toEqual({
      id: null, siteId: 'shed', date: '2026-10-24', keyholderId: 'kim', projected: true,
      start: at('2026-10-24T08:00Z'), end: at('2026-10-24T14:00Z'),
    })
    expect(second).toMatchObject({ date: '2026-10-31', start: at('2026-10-31T09:00Z'), end: at('2026-10-31T15:00Z') })
  })

  test('keeps them in New York too, a week later', () => {
    const starts = projectRhythm(NEW_YORK, [saturday], entered, '2026-10-12', 4).map((o) => [o.date, instantToLocal(NEW_YORK, o.start).time])
    expect(starts).toEqual([['2026-10-24', '10:00'], ['2026-10-31', '10:00'], ['2026-11-07', '10:00'], ['2026-11-14', '10:00']])
  })

  test('goes on for at most 104 weeks', () => {
    const assumed = projectRhythm(BERLIN, [saturday], entered, '2026-10-12')
    expect(assumed).toHaveLength(104)
    // 17 October 2026 + 728 days
    expect(assumed.at(-1)!.date).toBe('2028-10-14')
  })

  test('every other week keeps its phase, also when the last entered session is long past', () =>
    // From 17 October every 14 days: 31 October, 14 November (not after the 14th), 28 November
    expect(projectRhythm(BERLIN, [{ ...saturday, everyWeeks: 2 }], entered, '2026-11-14', 3).map((o) => o.date)).toEqual(['2026-11-28']))

  test('goes on only after a cancelled session', () =>
    expect(projectRhythm(BERLIN, [saturday], [...entered, session('2026-10-31', { cancelled: true })], '2026-10-12', 1).map((o) => o.date))
      .toEqual(['2026-11-07']))

  test('returns to its weekday when the last session was moved to a Friday, a Sunday or the Monday after', () => {
    for (const moved of ['2026-10-23', '2026-10-25', '2026-10-26']) {
      const next = projectRhythm(BERLIN, [saturday], [session(moved)], '2026-10-12', 2)[0]!.date
      expect(next).toBe('2026-10-31')
    }
  })

  test('ends with a series that does not go on, and needs an entered session', () => {
    expect(projectRhythm(BERLIN, [{ ...saturday, goesOn: false }], entered, '2026-10-12')).toEqual([])
    expect(projectRhythm(BERLIN, [saturday], [], '2026-10-12')).toEqual([])
  })
})

const member = (id: string, more: Partial<Attendee> = {}): Attendee =>
  ({ id, isKeyholder: false, usual: [], ownHours: [], answers: new Map(), ...more })
const saturdays = (from: string, to: string) => [{ siteId: 'shed', weekday: 6, from, to }]

function ask(members: Attendee[], more: Partial<AttendanceQuestion> = {}): Record<string, PresenceRow[]> {
  return Object.fromEntries(presenceOfMembers({
    zone: BERLIN, from: at('2026-06-01T00:00Z'), until: at('2026-06-30T00:00Z'), sessions: [session('2026-06-06')], series: [],
    members, countUsual: true, weeks: 104, ...more,
  }))
}
/** 'Sat 6 June 10:00-16:00' as '06-06 10:00-16:00'. */
const told = (rows: readonly PresenceRow[]) => rows.map((r) => {
  const from = instantToLocal(BERLIN, r.start)
  return `${from.date.slice(5)} ${from.time}-${instantToLocal(BERLIN, r.end).time}${r.projected ? ' projected' : ''}`
})

describe('who is where', () => {
  test('a builder who comes 9 to 15 is present while the keyholder is: 11 to 15', () => {
    const kim = member('kim', { answers: new Map([['2026-06-06', answer(true, at('2026-06-06T09:00Z'), null)]]) })
    const bo = member('bo', { answers: new Map([['2026-06-06', answer(true, null, at('2026-06-06T13:00Z'))]]) })
    const presence = ask([kim, bo])
    expect(told(presence['kim']!)).toEqual(['06-06 11:00-16:00'])
    expect(told(presence['bo']!)).toEqual(['06-06 11:00-15:00'])
    expect(presence['bo']![0]).toMatchObject({ siteId: 'shed', sessionId: '2026-06-06', projected: false })
  })

  test('a named keyholder who has not answered is expected for the whole session', () =>
    expect(told(ask([member('kim', { usual: saturdays('14:00', '15:00') })])['kim']!)).toEqual(['06-06 10:00-16:00']))

  test('nobody is there when the keyholder says no and no other may open up', () => {
    const kim = member('kim', { answers: new Map([['2026-06-06', answer(false)]]) })
    expect(ask([kim, member('bo', { usual: saturdays('10:00', '16:00') })])['bo']).toEqual([])
  })

  test('another who may open up stands in for the hours they come', () => {
    const kim = member('kim', { answers: new Map([['2026-06-06', answer(false)]]) })
    const lee = member('lee', { isKeyholder: true, usual: saturdays('12:00', '14:00') })
    const presence = ask([kim, lee, member('bo', { usual: saturdays('10:00', '16:00') })])
    expect(told(presence['bo']!)).toEqual(['06-06 12:00-14:00'])
  })

  test('with the setting off an unanswered session counts for nobody, an assumed one still does', () => {
    const bo = member('bo', { usual: saturdays('10:00', '13:00') })
    const presence = ask([member('kim'), bo], { countUsual: false, series: [saturday], until: at('2026-06-14T00:00Z') })
    expect(told(presence['bo']!)).toEqual(['06-13 10:00-13:00 projected'])
  })

  test('a cancelled session has nobody', () =>
    expect(ask([member('kim')], { sessions: [session('2026-06-06', { cancelled: true })] })['kim']).toEqual([]))

  test('usual hours of another site or weekday do not count', () => {
    const bo = member('bo', { usual: [{ ...saturdays('10:00', '16:00')[0]!, siteId: 'barn' }, { ...saturdays('10:00', '16:00')[0]!, weekday: 7 }] })
    expect(ask([member('kim'), bo])['bo']).toEqual([])
  })

  test('own hours at home need no keyholder, give way to a session, and are projected beyond the last entered one', () => {
    // Saturdays 14 to 20 at home from the 6th to the 13th: until 16 on the 6th at the session.
    const home = { siteId: 'home', weekday: 6, from: '14:00', to: '20:00', fromOn: '2026-06-01', untilOn: '2026-06-13' }
    const bo = member('bo', { ownHours: [home], answers: new Map([['2026-06-06', answer(true)]]) })
    const rows = ask([member('kim'), bo])['bo']!
    expect(told(rows)).toEqual(['06-06 10:00-16:00', '06-06 16:00-20:00', '06-13 14:00-20:00 projected'])
    expect(rows[1]).toMatchObject({ siteId: 'home', sessionId: null })
  })

  test('own hours that overlap count once, in whatever order they are given', () => {
    const hours = (siteId: string, from: string, to: string) => ({ siteId, weekday: 1, from, to, fromOn: '2026-06-01', untilOn: '2026-06-07' })
    const [one, two] = [hours('attic', '18:00', '20:00'), hours('home', '19:00', '21:00')]
    const rows = ask([member('bo', { ownHours: [two, one] })])['bo']!
    expect(told(rows)).toEqual(['06-01 18:00-20:00', '06-01 20:00-21:00'])
    expect(rows).toEqual(ask([member('bo', { ownHours: [one, two] })])['bo'])
  })

  test('a session under way still counts, one that is over does not', () => {
    expect(told(ask([member('kim')], { from: at('2026-06-06T13:59Z') })['kim']!)).toEqual(['06-06 10:00-16:00'])
    expect(ask([member('kim')], { from: at('2026-06-06T14:00Z') })['kim']).toEqual([])
  })
})
