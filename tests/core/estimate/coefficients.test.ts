import { describe, expect, test } from 'vitest'
import { coefficientAbout, coefficientAt, defaultCoefficients, ruleAbout, withOverrides } from '../../../src/core/estimate/index.ts'

/** Paths of all figures that there are. */
const BY_SKILL = ['glassFraction', 'epoxyWaste']
const bySkill = (key: string): string[] => ['first', 'some', 'practised'].map((skill) => `${key}.${skill}`)
const paths = Object.keys(defaultCoefficients).flatMap((key) => (BY_SKILL.includes(key) ? bySkill(key) : [key]))

describe('the figures of the rules', () => {
  test('each is explained, and nothing is explained that there is not',
    () => expect([...coefficientAbout.keys()].sort()).toEqual([...paths].sort()))

  test.each(paths)('%s lies within what may be set, with its ends rising', (path) => {
    const { min, max, label, source } = coefficientAbout.get(path)!
    const { low, likely, high } = coefficientAt(defaultCoefficients, path)!
    expect(low).toBeGreaterThanOrEqual(min)
    expect(likely).toBeGreaterThanOrEqual(low)
    expect(high).toBeGreaterThanOrEqual(likely)
    expect(high).toBeLessThanOrEqual(max)
    expect(label).not.toBe('')
    expect(source).toMatch(/read|memory|second-hand/)
  })

  test('every rule that a figure names is a rule', () => {
    for (const { rules } of coefficientAbout.values()) for (const rule of rules) expect(ruleAbout).toHaveProperty([rule])
  })

  // Read: beginner 33 % glass, skilled 50 %.
  test('the glass fractions of all skills lie between 0.33 and 0.50 and rise with practice', () => {
    const { first, some, practised } = defaultCoefficients.glassFraction
    expect([first.low, practised.high]).toEqual([0.33, 0.5])
    expect(first.likely).toBeLessThan(some.likely)
    expect(some.likely).toBeLessThan(practised.likely)
  })

  // Wood-epoxy boat handbook, ch. 7 (read): 7.1, 8.2 and 2.7 m²/kg.
  test.each([
    ['sealFirst', 7.1, 140], ['sealNext', 8.2, 122], ['fillCoat', 8.2, 122], ['glueLine', 2.7, 370],
  ] as const)('%s is %d m²/kg, %d g/m²', (key, m2PerKg, grams) => {
    expect(defaultCoefficients[key].likely).toBe(grams)
    expect(Math.abs(1000 / m2PerKg - grams)).toBeLessThan(1)
  })
})

describe('a club’s own figures', () => {
  test('take the place of the usual ones, and only theirs', () => {
    const own = withOverrides(defaultCoefficients, [
      { key: 'sealFirst', low: 90, likely: 120, high: 180 },
      { key: 'glassFraction.some', low: 0.4, likely: 0.45, high: 0.52 },
      { key: 'epoxyDensity', low: 1.1, likely: 1.107, high: 1.2 },
    ])
    expect(own.sealFirst).toEqual({ low: 90, likely: 120, high: 180 })
    expect(own.glassFraction).toEqual({ ...defaultCoefficients.glassFraction, some: { low: 0.4, likely: 0.45, high: 0.52 } })
    expect(own.epoxyDensity).toBe(1.107)
    const set = { sealFirst: null, glassFraction: null, epoxyDensity: null }
    expect({ ...own, ...set }).toEqual({ ...defaultCoefficients, ...set })
    expect(defaultCoefficients.glassFraction.some.likely).toBe(0.43)
  })

  test('a key that is no figure any more is left out', () => {
    const none = [{ key: 'toString', low: 1, likely: 1, high: 1 }, { key: 'glassFraction', low: 0.4, likely: 0.4, high: 0.4 }]
    expect(withOverrides(defaultCoefficients, none)).toEqual(defaultCoefficients)
    expect(coefficientAt(defaultCoefficients, 'glassFraction')).toBeNull()
  })

  test.each([
    ['glassFraction.some', 0.4, 0.5, 1], ['glassFraction.first', 0, 0.4, 0.5], ['sealFirst', 200, 140, 100], ['fillCoat', -1, 100, 150],
    ['epoxyDensity', 1150, 1150, 1150], ['discs', NaN, 1, 2],
  ] as const)('%s of %d, %d, %d is refused', (key, low, likely, high) => {
    expect(() => withOverrides(defaultCoefficients, [{ key, low, likely, high }])).toThrow(RangeError)
  })
})
