import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { instantToLocal, localToInstant, offsetAt } from '../../../src/core/calendar/index.ts'
import { instant } from '../../../src/core/units/index.ts'
import { isZone, offsetTable } from '../../../src/platform/zone.ts'
import { at, BERLIN, NEW_YORK, UTC } from '../../support/zones.ts'

const local = (date: string, time: string) => ({ date, time })

describe('the offset in force', () => {
  test('changes at the very minute', () => {
    expect(offsetAt(BERLIN, at('2026-03-29T00:59Z'))).toBe(60)
    expect(offsetAt(BERLIN, at('2026-03-29T01:00Z'))).toBe(120)
    expect(offsetAt(NEW_YORK, at('2026-11-01T05:59Z'))).toBe(-240)
    expect(offsetAt(NEW_YORK, at('2026-11-01T06:00Z'))).toBe(-300)
  })

  test('before the first row is the first row\'s', () => expect(offsetAt(BERLIN, at('2001-01-01T00:00Z'))).toBe(60))
  test('of an empty table is refused', () => expect(() => offsetAt([], instant(0))).toThrow(RangeError))
})

describe('wall clock to instant', () => {
  test.each([
    [BERLIN, '2026-01-10', '14:00', '2026-01-10T13:00Z'],
    [BERLIN, '2026-07-10', '14:00', '2026-07-10T12:00Z'],
    [NEW_YORK, '2026-01-10', '14:00', '2026-01-10T19:00Z'],
    [NEW_YORK, '2026-07-10', '14:00', '2026-07-10T18:00Z'],
    [UTC, '1970-01-01', '00:00', '1970-01-01T00:00Z'],
  ])('reads a plain time', (zone, date, time, utc) => expect(localToInstant(zone, local(date, time))).toBe(at(utc)))

  test('Berlin skips 02:00 to 03:00 on 29 March 2026: 02:30 means 03:30', () => {
    expect(localToInstant(BERLIN, local('2026-03-29', '01:59'))).toBe(at('2026-03-29T00:59Z'))
    expect(localToInstant(BERLIN, local('2026-03-29', '02:00'))).toBe(at('2026-03-29T01:00Z'))
    expect(localToInstant(BERLIN, local('2026-03-29', '02:30'))).toBe(at('2026-03-29T01:30Z'))
    expect(instantToLocal(BERLIN, at('2026-03-29T01:30Z')).time).toBe('03:30')
    expect(localToInstant(BERLIN, local('2026-03-29', '03:00'))).toBe(at('2026-03-29T01:00Z'))
  })

  test('New York skips 02:00 to 03:00 on 8 March 2026: 02:30 means 03:30', () => {
    expect(localToInstant(NEW_YORK, local('2026-03-08', '01:59'))).toBe(at('2026-03-08T06:59Z'))
    expect(localToInstant(NEW_YORK, local('2026-03-08', '02:30'))).toBe(at('2026-03-08T07:30Z'))
    expect(instantToLocal(NEW_YORK, at('2026-03-08T07:30Z')).time).toBe('03:30')
  })

  test('Berlin has 02:00 to 03:00 twice on 25 October 2026: the first counts', () => {
    expect(localToInstant(BERLIN, local('2026-10-25', '02:00'))).toBe(at('2026-10-25T00:00Z'))
    expect(localToInstant(BERLIN, local('2026-10-25', '02:59'))).toBe(at('2026-10-25T00:59Z'))
    expect(localToInstant(BERLIN, local('2026-10-25', '03:00'))).toBe(at('2026-10-25T02:00Z'))
  })

  test('New York has 01:00 to 02:00 twice on 1 November 2026: the first counts', () => {
    expect(localToInstant(NEW_YORK, local('2026-11-01', '01:30'))).toBe(at('2026-11-01T05:30Z'))
    expect(localToInstant(NEW_YORK, local('2026-11-01', '02:00'))).toBe(at('2026-11-01T07:00Z'))
  })

  test('a session over the spring night is an hour shorter, over the autumn night an hour longer', () => {
    const night = (from: string, to: string) => localToInstant(BERLIN, local(to, '06:00')) - localToInstant(BERLIN, local(from, '22:00'))
    expect(night('2026-03-27', '2026-03-28')).toBe(8 * 60)
    expect(night('2026-03-28', '2026-03-29')).toBe(7 * 60)
    expect(night('2026-10-24', '2026-10-25')).toBe(9 * 60)
  })

  test('24:00 is the next midnight', () =>
    expect(localToInstant(BERLIN, local('2026-12-31', '24:00'))).toBe(localToInstant(BERLIN, local('2027-01-01', '00:00'))))

  test('a date that does not exist or a time past 24:00 is refused', () => {
    expect(() => localToInstant(UTC, local('2026-02-29', '10:00'))).toThrow(RangeError)
    expect(() => localToInstant(UTC, local('2026-02-28', '24:01'))).toThrow(RangeError)
  })
})

describe('instant to wall clock', () => {
  test('gives date, time and ISO weekday', () => {
    expect(instantToLocal(BERLIN, at('2026-06-06T12:05Z'))).toEqual({ date: '2026-06-06', time: '14:05', weekday: 6, minuteOfDay: 845 })
    expect(instantToLocal(NEW_YORK, at('2026-06-07T03:00Z'))).toMatchObject({ date: '2026-06-06', time: '23:00', weekday: 6 })
  })

  test.each([['Berlin', BERLIN], ['New York', NEW_YORK]] as const)('and back again in %s, save in the repeated hour', (_name, zone) => {
    fc.assert(fc.property(fc.integer({ min: at('2025-12-01T00:00Z'), max: at('2027-12-01T00:00Z') }), (t) => {
      const back = localToInstant(zone, instantToLocal(zone, instant(t)))
      const repeated = zone.some((r, i) => i > 0 && r.offset < zone[i - 1]!.offset && t >= r.from && t < r.from + 60)
      expect(back).toBe(repeated ? t - 60 : t)
    }), { seed: 20260101, numRuns: 2000 })
  })
})

describe('tables from the platform\'s zone data', () => {
  const years = [at('2026-01-01T00:00Z'), at('2028-01-01T00:00Z')] as const

  test.each([['Europe/Berlin', BERLIN], ['America/New_York', NEW_YORK]] as const)('%s has the changes written by hand', (zone, table) => {
    expect(offsetTable(zone, ...years).slice(1)).toEqual(table.slice(1))
    expect(offsetTable(zone, ...years)[0]).toEqual({ from: years[0], offset: table[0]!.offset })
  })

  test('half-hour and quarter-hour offsets, a half-hour change, and a zone that never changes', () => {
    expect(offsetTable('Asia/Kathmandu', ...years)).toEqual([{ from: years[0], offset: 345 }])
    expect(offsetTable('Etc/UTC', ...years)).toEqual([{ from: years[0], offset: 0 }])
    // Lord Howe Island: UTC+11 in summer, +10:30 in winter, from the first Sunday of April (5 April 2026) 02:00 = 15:00 UTC the day before.
    expect(offsetTable('Australia/Lord_Howe', ...years).slice(0, 2)).toEqual([
      { from: years[0], offset: 660 }, { from: at('2026-04-04T15:00Z'), offset: 630 },
    ])
  })

  test('agree with the platform at random minutes', () => {
    const zones = ['Europe/Berlin', 'America/New_York', 'Australia/Lord_Howe', 'Africa/Casablanca', 'America/St_Johns', 'Pacific/Auckland']
    const tables = new Map(zones.map((z) => [z, offsetTable(z, ...years)]))
    fc.assert(fc.property(fc.constantFrom(...zones), fc.integer({ min: years[0], max: years[1] }), (zone, t) => {
      const shown = new Intl.DateTimeFormat('sv-SE', { timeZone: zone, dateStyle: 'short', timeStyle: 'short' }).format(t * 60_000)
      const { date, time } = instantToLocal(tables.get(zone)!, instant(t))
      expect(`${date} ${time}`).toBe(shown)
    }), { seed: 20260101, numRuns: 1000 })
  })

  test('a zone is known by its name only', () => {
    expect(['Europe/Berlin', 'UTC', 'America/New_York'].map(isZone)).toEqual([true, true, true])
    expect(['Europe/Nowhere', '', '+02:00', 'Berlin time'].map(isZone)).toEqual([false, false, false, false])
  })
})
