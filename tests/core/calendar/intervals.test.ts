import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { intersect, presenceUnderKeyholder, subtract, totalMinutes, union, type Interval } from '../../../src/core/calendar/index.ts'
import { instant } from '../../../src/core/units/index.ts'

const span = (start: number, end: number): Interval => ({ start: instant(start), end: instant(end) })
const spans = (...pairs: [number, number][]) => pairs.map(([a, b]) => span(a, b))

describe('sets of time', () => {
  test('union sorts, merges what overlaps or touches, and drops the empty', () =>
    expect(union(spans([8, 10], [0, 3]), spans([3, 5], [9, 9], [9, 12], [20, 19]))).toEqual(spans([0, 5], [8, 12])))

  test('intersection keeps what is in both', () =>
    expect(intersect(spans([0, 5], [8, 12]), spans([4, 9], [11, 20]))).toEqual(spans([4, 5], [8, 9], [11, 12])))

  test('subtraction cuts holes', () =>
    expect(subtract(spans([0, 10], [20, 30]), spans([2, 4], [9, 22], [30, 40]))).toEqual(spans([0, 2], [4, 9], [22, 30])))

  test('half-open ends that touch have nothing in common', () => expect(intersect(spans([0, 5]), spans([5, 9]))).toEqual([]))

  test('total adds up', () => expect(totalMinutes(spans([0, 5], [8, 12]))).toBe(9))

  // The reference: sets of minutes.
  const pieces = fc.array(fc.tuple(fc.nat(60), fc.nat(12)).map(([a, length]) => span(a, a + length)), { maxLength: 8 })
  const minutesOf = (list: readonly Interval[]) => new Set(list.flatMap((i) => Array.from({ length: i.end - i.start }, (_, k) => i.start + k)))

  test('agree with sets of single minutes', () => {
    fc.assert(fc.property(pieces, pieces, (x, y) => {
      const [a, b] = [union(x), union(y)]
      const [A, B] = [minutesOf(x), minutesOf(y)]
      expect(minutesOf(a)).toEqual(A)
      expect(minutesOf(union(x, y))).toEqual(new Set([...A, ...B]))
      expect(minutesOf(intersect(a, b))).toEqual(new Set([...A].filter((m) => B.has(m))))
      expect(minutesOf(subtract(a, b))).toEqual(new Set([...A].filter((m) => !B.has(m))))
      expect(totalMinutes(a)).toBe(A.size)
      for (const list of [a, union(x, y)]) list.forEach((i, k) => k > 0 && expect(i.start).toBeGreaterThan(list[k - 1]!.end))
    }), { seed: 20260101, numRuns: 1000 })
  })
})

describe('presence under a keyholder', () => {
  test('counts only while the keyholder is there', () =>
    // 9-17 with a keyholder 10-12 and 13-16
    expect(presenceUnderKeyholder(spans([540, 1020]), spans([600, 720], [780, 960]))).toEqual(spans([600, 720], [780, 960])))

  test('goes on unbroken when one keyholder hands over to another', () =>
    expect(presenceUnderKeyholder(spans([540, 1020]), spans([720, 1020], [540, 720]))).toEqual(spans([540, 1020])))

  test('is nothing without a keyholder', () => expect(presenceUnderKeyholder(spans([540, 1020]), [])).toEqual([]))

  test('keeps what a row carries', () =>
    expect(presenceUnderKeyholder([{ ...span(0, 10), siteId: 'shed' }], spans([5, 20]))).toEqual([{ ...span(5, 10), siteId: 'shed' }]))
})
