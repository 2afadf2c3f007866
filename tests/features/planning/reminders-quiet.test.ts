import fc from 'fast-check'
import { expect, test } from 'vitest'
import { instant } from '../../../src/core/units/index.ts'
import { afterQuiet, isQuiet } from '../../../src/features/planning/reminders/quiet.ts'
import { offsetTable } from '../../../src/platform/zone.ts'

const MS = 60_000
const at = (iso: string) => instant(Date.parse(iso) / MS)
const zoneOn = (name: string, t: number) => offsetTable(name, instant(t - 1440), instant(t + 5 * 1440))
const after = (zone: string, from: string, quiet: [string, string]) => {
  const t = at(from)
  return new Date(afterQuiet(zoneOn(zone, t), t, { from: quiet[0], to: quiet[1] }) * MS).toISOString().slice(0, 16)
}

test('what falls in the evening or the night waits for the morning, over midnight too', () => {
  // Berlin in June is UTC+2: 21:30 is 19:30Z, 07:30 is 05:30Z.
  expect(after('Europe/Berlin', '2026-06-06T19:29Z', ['21:30', '07:30'])).toBe('2026-06-06T19:29')
  expect(after('Europe/Berlin', '2026-06-06T19:30Z', ['21:30', '07:30'])).toBe('2026-06-07T05:30')
  expect(after('Europe/Berlin', '2026-06-07T01:21Z', ['21:30', '07:30'])).toBe('2026-06-07T05:30')
  expect(after('Europe/Berlin', '2026-06-07T05:30Z', ['21:30', '07:30'])).toBe('2026-06-07T05:30')
})

test('hours within a day are quiet too, and the same time twice is none at all', () => {
  expect(after('Europe/Berlin', '2026-06-06T10:30Z', ['12:00', '14:00'])).toBe('2026-06-06T12:00')
  expect(after('Europe/Berlin', '2026-06-06T22:30Z', ['00:00', '06:00'])).toBe('2026-06-07T04:00')
  expect(after('Europe/Berlin', '2026-06-06T10:30Z', ['07:00', '07:00'])).toBe('2026-06-06T10:30')
})

test('the night of the spring change is an hour shorter, that of the autumn change an hour longer', () => {
  // EU: clocks go from 02:00 to 03:00 on 29 March 2026, and from 03:00 to 02:00 on 25 October 2026, both at 01:00Z.
  expect(after('Europe/Berlin', '2026-03-28T21:00Z', ['21:30', '07:30'])).toBe('2026-03-29T05:30')
  expect(after('Europe/Berlin', '2026-10-24T20:00Z', ['21:30', '07:30'])).toBe('2026-10-25T06:30')
  // An end that is skipped: from 03:00 on, which follows 02:00, it is over.
  expect(after('Europe/Berlin', '2026-03-29T00:30Z', ['22:00', '02:30'])).toBe('2026-03-29T01:00')
  // An end that comes twice: quiet until the first 02:30, and between the second 02:00 and the second 02:30 once more.
  expect(after('Europe/Berlin', '2026-10-25T00:10Z', ['22:00', '02:30'])).toBe('2026-10-25T00:30')
  expect(after('Europe/Berlin', '2026-10-25T01:10Z', ['22:00', '02:30'])).toBe('2026-10-25T01:30')
})

/** By the clock on the wall as the platform's own formatter shows it, minute by minute. */
const wall = new Map<string, Intl.DateTimeFormat>()
function isQuietByClock(zone: string, t: number, from: string, to: string): boolean {
  const format = wall.get(zone) ?? new Intl.DateTimeFormat('en-GB', { timeZone: zone, hour: '2-digit', minute: '2-digit', hourCycle: 'h23' })
  wall.set(zone, format)
  const time = format.format(t * MS)
  return from <= to ? time >= from && time < to : time >= from || time < to
}

// Half an hour (Lord Howe), changes at midnight (Santiago, Beirut), the other half of the globe, an odd offset.
const ZONES = ['Europe/Berlin', 'America/New_York', 'Australia/Lord_Howe', 'America/Santiago', 'Asia/Beirut', 'Asia/Kathmandu', 'Pacific/Auckland', 'UTC']
const time = fc.integer({ min: 0, max: 1439 }).map((m) => `${String(Math.floor(m / 60)).padStart(2, '0')}:${String(m % 60).padStart(2, '0')}`)
// Two years of starts; half of them within two days of a change of clocks in Europe or America.
const changes = ['2025-03-09', '2025-03-30', '2025-10-26', '2025-11-02', '2026-03-29', '2026-10-25', '2026-04-05', '2026-09-06'].map((d) => Date.parse(`${d}T00:00Z`) / MS)
const start = fc.oneof(
  fc.integer({ min: Date.parse('2025-01-01') / MS, max: Date.parse('2027-01-01') / MS }),
  fc.tuple(fc.constantFrom(...changes), fc.integer({ min: -2880, max: 2880 })).map(([day, by]) => day + by),
)

test('whatever the zone and the hours, it is the first minute that the clock on the wall calls not quiet', () => {
  fc.assert(
    fc.property(fc.constantFrom(...ZONES), start, time, time, (zone, t, from, to) => {
      const table = zoneOn(zone, t)
      const found = afterQuiet(table, instant(t), { from, to })
      expect(isQuiet(table, instant(t), { from, to })).toBe(isQuietByClock(zone, t, from, to))
      let first = t
      while (isQuietByClock(zone, first, from, to)) first++
      expect(found).toBe(first)
    }),
    { numRuns: 120, seed: 5 },
  )
})
