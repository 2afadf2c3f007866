import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { largestRemainder } from '../../../src/core/stock/index.ts'

describe('shares by largest remainder', () => {
  test('go to the largest remainders', () => {
    // 100 by 1:1:1 is 33.33 each; 10 by 6:3:2 is 5.45, 2.73, 1.82: 5, 2, 1 and one each to .82 and .73
    expect(largestRemainder(100, [1, 1, 1])).toEqual([34, 33, 33])
    expect(largestRemainder(10, [6, 3, 2])).toEqual([5, 3, 2])
  })

  test('of a negative total are those of its amount', () => expect(largestRemainder(-10, [6, 3, 2])).toEqual([-5, -3, -2]))

  test('by weights that are all 0 are equal', () => expect(largestRemainder(5, [0, 0])).toEqual([3, 2]))

  test('of weight 0 are 0 where others have some', () => expect(largestRemainder(5, [0, 7, 0])).toEqual([0, 5, 0]))

  test('of nothing need nobody, of something do', () => {
    expect(largestRemainder(0, [])).toEqual([])
    expect(() => largestRemainder(1, [])).toThrow(RangeError)
  })

  test('of broken or negative weights are a fault', () => {
    expect(() => largestRemainder(1, [0.5])).toThrow(RangeError)
    expect(() => largestRemainder(1, [2, -1])).toThrow(RangeError)
    expect(() => largestRemainder(1.5, [2])).toThrow(RangeError)
  })

  test('add up, and none is off its quota by 1 or more', () => {
    const weights = fc.array(fc.oneof(fc.nat(5), fc.integer({ min: 0, max: 1e15 })), { minLength: 1, maxLength: 12 })
    fc.assert(fc.property(fc.integer({ min: -1e12, max: 1e12 }), weights, (total, by) => {
      const shares = largestRemainder(total, by)
      expect(shares.reduce((sum, share) => sum + share, 0)).toBe(total)
      const all = by.reduce((sum, w) => sum + BigInt(w), 0n)
      if (all === 0n) return
      by.forEach((w, i) => {
        // |share × all - total × w| < all
        const off = BigInt(shares[i]!) * all - BigInt(total) * BigInt(w)
        expect((off < 0n ? -off : off) < all).toBe(true)
      })
    }), { seed: 3 })
  })
})
