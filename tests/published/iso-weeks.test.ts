/**
 * ISO 8601 week dates: weeks start on Monday, week 1 holds the first Thursday (4 January); 71 of 400 years have 53 weeks (read).
 * Dates marked "read" come from public pages and were recomputed; the others are derived.
 */
import { describe, expect, test } from 'vitest'
import { addDays, dateOf, dayOf, isoWeek, isWeek, weekLabel, weekdayOf, weekStart } from '../../src/core/calendar/index.ts'

const written = (date: string) => `${weekLabel(date)}-${isoWeek(date).weekday}`

test.each([
  ['2006-12-31', '2006-W52-7', 'read'],
  ['2019-12-30', '2020-W01-1', 'read'],
  ['2012-12-31', '2013-W01-1', 'read'],
  ['2014-12-29', '2015-W01-1', 'read'],
  ['2027-01-01', '2026-W53-5', 'derived'],
  ['2022-12-31', '2022-W52-6', 'trap: one page prints 2023-W01-6'],
])('%s is %s (%s)', (date, week) => expect(written(date)).toBe(week))

const weeksOf = (year: number) => isoWeek(`${String(year).padStart(4, '0')}-12-28`).week

describe('years of 53 weeks', () => {
  test('between 2015 and 2043 they are 2015, 2020, 2026, 2032, 2037 and 2043 (derived)', () => {
    const years = Array.from({ length: 29 }, (_, i) => 2015 + i)
    expect(years.filter((y) => weeksOf(y) === 53)).toEqual([2015, 2020, 2026, 2032, 2037, 2043])
  })

  test('71 of 400 have them (read)', () =>
    expect(Array.from({ length: 400 }, (_, i) => 1900 + i).filter((y) => weeksOf(y) === 53)).toHaveLength(71))
})

test('4 January is always in week 1', () => {
  for (let year = 1900; year < 2300; year++) expect(isoWeek(`${year}-01-04`)).toMatchObject({ year, week: 1 })
})

test('every day of a century lies in the week that starts on the Monday at or before it', () => {
  for (let day = dayOf('2000-01-01'); day < dayOf('2100-01-01'); day++) {
    const date = dateOf(day)
    const monday = weekStart(weekLabel(date))
    if (addDays(monday, weekdayOf(date) - 1) !== date) expect.fail(`${date} is not in the week of ${monday}`)
  }
})

test('week 53 of a year with 52 is no week', () => {
  expect(isWeek('2025-W53')).toBe(false)
  expect(isWeek('2026-W53')).toBe(true)
  expect(isWeek('2026-W00')).toBe(false)
  expect(() => weekStart('2025-W53')).toThrow(RangeError)
  expect(weekStart('2026-W53')).toBe('2026-12-28')
})
