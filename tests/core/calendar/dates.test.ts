import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  addDays, dateOf, dayOf, daysBetween, formatHm, isDate, parseHm, weekdayOf, weekLabel, weekStart,
} from '../../../src/core/calendar/index.ts'

describe('dates', () => {
  test('day 0 is Thursday 1 January 1970', () => {
    expect(dayOf('1970-01-01')).toBe(0)
    expect(weekdayOf('1970-01-01')).toBe(4)
    expect(dateOf(-1)).toBe('1969-12-31')
  })

  test.each([['2000-02-29', true], ['1900-02-29', false], ['2024-02-29', true], ['2026-02-29', false], ['2026-13-01', false],
    ['2026-04-31', false], ['2026-00-10', false], ['0000-01-01', false], ['2026-1-1', false], ['26-01-01', false], ['2026-01-01 ', false],
  ])('%s is a date: %s', (text, is) => expect(isDate(text)).toBe(is))

  test('days are counted over leap days and year ends', () => {
    expect(addDays('2024-02-28', 2)).toBe('2024-03-01')
    expect(addDays('2026-01-01', -1)).toBe('2025-12-31')
    expect(daysBetween('2026-01-01', '2027-01-01')).toBe(365)
    expect(daysBetween('2024-03-01', '2024-01-01')).toBe(-60)
  })

  test('agree with the platform\'s own calendar from the year 1 to 9999', () => {
    const first = dayOf('0001-01-01')
    const last = dayOf('9999-12-31')
    fc.assert(fc.property(fc.integer({ min: first, max: last }), (day) => {
      const date = new Date(day * 86_400_000)
      expect(dateOf(day)).toBe(date.toISOString().slice(0, 10))
      expect(dayOf(dateOf(day))).toBe(day)
      expect(weekdayOf(dateOf(day)) % 7).toBe(date.getUTCDay())
    }), { seed: 20260101, numRuns: 3000 })
  })

  test('past the year 9999 there are none', () => {
    expect(() => addDays('9999-12-31', 1)).toThrow(RangeError)
    expect(() => dayOf('yesterday')).toThrow(RangeError)
  })
})

describe('times of day', () => {
  test('are read and written as HH:MM', () => {
    expect(parseHm('00:00')).toBe(0)
    expect(parseHm('23:59')).toBe(1439)
    expect(formatHm(845)).toBe('14:05')
    expect(['24:00', '9:00', '12:60', '12:5', 'noon', ''].map(parseHm)).toEqual([null, null, null, null, null, null])
    expect(() => formatHm(1440)).toThrow(RangeError)
  })

  test('come back for every minute of a day', () => {
    for (let m = 0; m < 1440; m++) expect(parseHm(formatHm(m))).toBe(m)
  })
})

test('a week label and its Monday belong together', () => {
  expect(weekLabel('2026-06-06')).toBe('2026-W23')
  expect(weekStart('2026-W23')).toBe('2026-06-01')
  expect(() => weekStart('2026-23')).toThrow(RangeError)
})
