import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { mixingCard, parseRatio, type Measure, type MixingCard, type MixingQuestion, type Ratio } from '../../../src/core/stock/index.ts'
import { milligrams } from '../../../src/core/units/index.ts'

const g = (n: number) => milligrams(Math.round(n * 1000))
const byMass = (a: number, b: number): Ratio => ({ by: 'mass', a, b })
const ask = (mass: number, more: Partial<MixingQuestion> = {}): MixingQuestion => (
  { mass: g(mass), ratio: byMass(100, 44), densities: null, by: 'mass', stepMilli: 1000, limit: g(300), people: 1, ...more })
function card(question: MixingQuestion): MixingCard {
  const result = mixingCard(question)
  if (!result.ok) throw new Error(JSON.stringify(result.refusal))
  return result.value
}
const refusal = (question: MixingQuestion) => {
  const result = mixingCard(question)
  return result.ok ? null : result.refusal
}
const lines = ({ lines: all }: MixingCard): number[][] => all.map(({ a, b, total }) => [a / 1000, b / 1000, total / 1000])

describe('a mix ratio', () => {
  test.each<[string, Ratio]>([
    ['100:44 by mass', byMass(100, 44)],
    ['100:44 by weight', byMass(100, 44)],
    ['2 to 1 by weight', byMass(2, 1)],
    ['100 : 44,5 (by mass)', byMass(100, 44.5)],
    ['By mass 100:44', byMass(100, 44)],
    ['100/44 pbw', byMass(100, 44)],
    ['100:44by mass', byMass(100, 44)],
    ['2:1 by volume', { by: 'volume', a: 2, b: 1 }],
    ['2:1, by vol.', { by: 'volume', a: 2, b: 1 }],
    ['  5 TO 1   volume ', { by: 'volume', a: 5, b: 1 }],
  ])('reads %j', (text, ratio) => expect(parseRatio(text)).toEqual({ ok: true, value: ratio }))

  test.each([
    ['', 'empty'], ['   ', 'empty'],
    ['2:1', 'by-what'], ['100 to 44', 'by-what'],
    ['2:1 by mass by volume', 'both'],
    ['0:1 by mass', 'not-above-0'], ['1:0,0 by volume', 'not-above-0'],
    ['5000:1 by mass', 'out-of-range'],
    ['two to one by mass', 'not-a-ratio'], ['2:1:1 by mass', 'not-a-ratio'], ['-2:1 by mass', 'not-a-ratio'], ['2 1 by mass', 'not-a-ratio'],
    ['by mass', 'not-a-ratio'], ['2:1 by length', 'not-a-ratio'], ['44 % by mass', 'not-a-ratio'], ['1e3:1 by mass', 'not-a-ratio'],
  ])('refuses %j as %s', (text, kind) => {
    expect(parseRatio(text)).toMatchObject({ ok: false, refusal: { kind, message: expect.stringMatching(/\.$/) as string } })
  })
})

describe('a mixing card by mass', () => {
  test('of 1250 g at 100:44 with a limit of 300 g adds up to 1250, 868 and 382', () => {
    // 5 batches of 250; A 1250 × 100/144 = 868.06, so 868 in five: 173.6 each; three get 174
    const one = card(ask(1250))
    expect(lines(one)).toEqual([[174, 76, 250], [174, 76, 250], [174, 76, 250], [173, 77, 250], [173, 77, 250]])
    expect(one.sum).toEqual({ a: 868_000, b: 382_000, total: 1_250_000 })
    expect(one).toMatchObject({ binds: 'mass', most: 300_000, measure: 'mass' })
    // 77 for 173 where 76.12 were right
    expect(one.offRatio).toBeCloseTo(77 / 76.12 - 1, 9)
  })

  test('in batches that differ by a step at most', () => {
    // 1000 g in 4 of at most 300 are 250 each; 1001 in 4: 251, 250, 250, 250
    expect(lines(card(ask(1001))).map(([, , total]) => total)).toEqual([251, 250, 250, 250])
  })

  test('in one batch says so', () => expect(card(ask(300))).toMatchObject({ binds: 'one-batch', sum: { total: 300_000 } }))

  test('of a mass between steps mixes the next step up', () => expect(card(ask(299.2)).sum.total).toBe(300_000))

  test('on a finer scale is nearer the ratio', () => {
    // 250 × 100/144 = 173.6111
    expect(lines(card(ask(250, { stepMilli: 100 })))).toEqual([[173.6, 76.4, 250]])
  })

  test('keeps to a limit between steps', () => {
    // In steps of 5 g at most 10 batches of 25 within 29.9
    expect(lines(card(ask(250, { stepMilli: 5000, limit: g(29.9), ratio: byMass(4, 1) })))).toEqual(Array.from({ length: 10 }, () => [20, 5, 25]))
  })

  test('of a ratio by volume needs the densities', () => {
    const byVolume = { ratio: { by: 'volume', a: 2, b: 1 } as const }
    expect(refusal(ask(1000, byVolume))).toEqual({ kind: 'no-density' })
    // 2.34694:1 (derived): 701.2 and 298.8
    expect(card(ask(1000, { ...byVolume, densities: { a: 1.15, b: 0.98 }, limit: g(1000) })).sum).toMatchObject({ a: 701_000, b: 299_000 })
  })

  test('refuses a step that is too coarse for the ratio, and says what could be mixed instead', () => {
    // 12 g: 8.33 and 3.67, so 8 and 4 are 14 % off; 13 g: 9.03 and 3.97, so 9 and 4 are 1 % off
    expect(refusal(ask(12))).toEqual({ kind: 'step-too-coarse', mixInstead: 13_000 })
    expect(refusal(ask(12, { limit: g(12) }))).toMatchObject({ kind: 'step-too-coarse' })
    expect(card(ask(13)).offRatio).toBeLessThan(0.011)
  })

  test.each<[string, Partial<MixingQuestion>, object]>([
    ['no mass', { mass: g(0) }, { kind: 'nothing' }],
    ['no step', { stepMilli: 0 }, { kind: 'bad-step' }],
    ['nobody', { people: 0 }, { kind: 'bad-people' }],
    ['no time', { potLife: { minutes: 0 }, minutesPerBatch: 5 }, { kind: 'bad-time' }],
    ['no limit', { limit: g(0) }, { kind: 'limit-too-small', most: 0, by: 'mass' }],
    ['a limit of a step', { limit: g(1) }, { kind: 'limit-too-small', most: 1000, by: 'mass' }],
    ['thousands of batches', { mass: g(100_000), limit: g(50) }, { kind: 'too-many', batches: 2000 }],
  ])('refuses %s', (_, more, told) => expect(refusal({ ...ask(1250), ...more })).toEqual(told))
})

describe('pot life', () => {
  const slow = { potLife: { minutes: 20, statedFor: g(100) }, minutesPerBatch: 45 }

  test('limits a batch to what the people use up within it, and says that it binds', () => {
    // One person uses up 300 g in 45 min: 133.3 g in 20 min. 1250 in 10 batches of 125.
    const one = card(ask(1250, slow))
    expect(one).toMatchObject({ binds: 'pot-life', most: 133_333 })
    expect(one.lines.map(({ total }) => total)).toEqual(Array.from({ length: 10 }, () => 125_000))
  })

  test('limits less with more people, until the mass limit binds', () => {
    // Two: 266.7 g, 5 batches of 250. Three: 400 g, so 300 g binds.
    expect(card(ask(1250, { ...slow, people: 2 }))).toMatchObject({ binds: 'pot-life', most: 266_666, lines: { length: 5 } })
    expect(card(ask(1250, { ...slow, people: 3 }))).toMatchObject({ binds: 'mass', most: 300_000 })
  })

  test('is never scaled by mass: a batch above the mass it was stated for is told, the figures are the same', () => {
    const stated = card(ask(1250, slow))
    expect(stated.abovePotLifeMass).toBe(true)
    const heavier = card(ask(1250, { ...slow, potLife: { minutes: 20, statedFor: g(125) } }))
    expect(heavier).toEqual({ ...stated, abovePotLifeMass: false })
    expect(card(ask(1250, { ...slow, potLife: { minutes: 20 } }))).toEqual({ ...stated, abovePotLifeMass: false })
  })

  test('too short for a step is refused', () => {
    expect(refusal(ask(1250, { potLife: { minutes: 1 }, minutesPerBatch: 600 }))).toEqual({ kind: 'limit-too-small', most: 500, by: 'pot-life' })
  })
})

describe('a mixing card by volume', () => {
  test('has its columns in ml alone, gives at least the mass, and keeps the mass limit', () => {
    // 100:44 by mass is 86.957:44.898 by volume; 1250 g: 754.8 and 389.7 ml; in 5 batches of 151 and 78 ml, 250.1 g each
    const one = card(ask(1250, { by: 'volume', densities: { a: 1.15, b: 0.98 } }))
    expect(lines(one)).toEqual(Array.from({ length: 5 }, () => [151, 78, 229]))
    expect(one.masses[0]).toEqual({ a: 173_650, b: 76_440 })
    expect(one.gives.total).toBe(1_250_450)
  })

  test('needs the densities, whatever the ratio is by', () => {
    expect(refusal(ask(1250, { by: 'volume' }))).toEqual({ kind: 'no-density' })
    expect(refusal(ask(1250, { by: 'volume', ratio: { by: 'volume', a: 2, b: 1 } }))).toEqual({ kind: 'no-density' })
  })
})

describe('a mixing card by pump strokes', () => {
  const strokes = (aMg: number, bMg: number, mass = 1250, more: Partial<MixingQuestion> = {}) =>
    ask(mass, { by: 'strokes', stroke: { aMg: g(aMg), bMg: g(bMg) }, ...more })

  test('with pumps that hold the ratio is stroke for stroke: the fewest not below the need', () => {
    // 20.5 + 9 = 29.5 g a set; 1250 / 29.5 = 42.4, so 43 sets; 10 sets fit 300 g, so 5 batches of 9, 9, 9, 8, 8
    const one = card(strokes(20.5, 9))
    expect(one.lines.map(({ a, b }) => [a, b])).toEqual([[9, 9], [9, 9], [9, 9], [8, 8], [8, 8]])
    expect(one.gives).toEqual({ a: 881_500, b: 387_000, total: 1_268_500 })
    expect(one).toMatchObject({ measure: 'strokes', binds: 'mass', sum: { a: 43, b: 43, total: 86 } })
    expect(one.masses[0]).toEqual({ a: 184_500, b: 81_000 })
  })

  test('with equal pumps finds the whole strokes that keep the ratio', () => {
    // Two of 20.5 and one of 18: 41 to 18 is 100:43.9
    expect(card(strokes(20.5, 18)).lines.map(({ a, b }) => [a, b])).toEqual([[10, 5], [10, 5], [8, 4], [8, 4], [8, 4]])
  })

  test('refuses pumps that no few strokes bring to the ratio', () => {
    // 5:2 by equal pumps is 5 and 2 strokes, 70 g; 300 g are 5 such sets, 4 of them fit a batch: 3 and 2
    expect(card(strokes(10, 10, 300, { ratio: byMass(5, 2) })).lines.map(({ a, b }) => [a, b])).toEqual([[15, 6], [10, 4]])
    // 100:3 would be 33 strokes to 1
    expect(refusal(strokes(10, 10, 300, { ratio: byMass(100, 3) }))).toMatchObject({ kind: 'pump-off-ratio' })
  })

  test('needs to know what a stroke gives, and a limit that a set of strokes keeps', () => {
    expect(refusal(ask(1250, { by: 'strokes' }))).toEqual({ kind: 'no-stroke' })
    expect(refusal(strokes(0, 9))).toEqual({ kind: 'no-stroke' })
    expect(refusal(strokes(20.5, 0))).toEqual({ kind: 'no-stroke' })
    expect(refusal(strokes(20.5, 9, 1250, { limit: g(29) }))).toEqual({ kind: 'limit-too-small', most: 29_000, by: 'mass' })
  })
})

test('any card adds up in all columns and lines, is of whole steps, within its limit, and as even and few as can be', () => {
  let cards = 0
  fc.assert(fc.property(
    fc.integer({ min: 1, max: 5_000_000 }), fc.integer({ min: 20, max: 100 }), fc.constantFrom<Measure>('mass', 'volume', 'strokes'),
    fc.constantFrom(100, 500, 1000, 5000), fc.integer({ min: 20_000, max: 600_000 }), fc.integer({ min: 1, max: 4 }), fc.boolean(),
    (mass, b, by, step, limit, people, isTimed) => {
      const result = mixingCard({
        mass: milligrams(mass), ratio: byMass(100, b), densities: { a: 1.15, b: 0.98 }, by, stepMilli: step, limit: milligrams(limit), people,
        stroke: { aMg: g(20), bMg: g(b / 5) }, ...(isTimed ? { potLife: { minutes: 15 }, minutesPerBatch: 25 } : {}),
      })
      if (!result.ok) {
        expect(['step-too-coarse', 'limit-too-small', 'too-many']).toContain(result.refusal.kind)
        return
      }
      cards += 1
      const { lines: all, sum, masses, gives, most, offRatio } = result.value
      const unit = by === 'strokes' ? 1 : step
      for (const key of ['a', 'b', 'total'] as const) expect(all.reduce((total, line) => total + line[key], 0)).toBe(sum[key])
      all.forEach(({ a, b: ofB, total }, i) => {
        expect(a + ofB).toBe(total)
        expect([a % unit, ofB % unit]).toEqual([0, 0])
        expect(Math.min(a, ofB)).toBeGreaterThan(0)
        expect(masses[i]!.a + masses[i]!.b).toBeLessThanOrEqual(most)
      })
      const totals = all.map(({ total }) => total)
      expect(Math.max(...totals) - Math.min(...totals)).toBeLessThanOrEqual(by === 'strokes' ? 2 : unit)
      expect(gives.total).toBeGreaterThanOrEqual(mass)
      expect(offRatio).toBeLessThanOrEqual(0.05)
      expect(most).toBeLessThanOrEqual(limit)
      // Never so many that one fewer would do.
      if (by === 'mass' && all.length > 1) expect(Math.ceil(sum.total / step / (all.length - 1)) * step).toBeGreaterThan(most)
    }), { numRuns: 1000, seed: 21 })
  expect(cards).toBeGreaterThan(500)
})
