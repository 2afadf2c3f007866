/**
 * Do the dates hold? 2,000 made-up builds, seeds 1 to 2000, one forecast each at a third of the work, their truth by other laws than the model's: lognormal
 * work, a hidden pace shared by all of it, attendance that follows itself. A forecast is calibrated when its shares come true (A. P. Dawid, "The
 * Well-Calibrated Bayesian", JASA 77 (1982) 605; from memory).
 */
import { describe, expect, test } from 'vitest'
import { held, isCalibrated, outcomes } from '../bench/forecast/calibration.ts'

describe('one forecast each of 2,000 made-up builds', () => {
  test('50 % dates hold in 50 ± 4 % of them, 80 % dates in 80 ± 3 %', () => {
    const rows = outcomes(1, 2000)
    expect(isCalibrated(rows), JSON.stringify(held(rows))).toBe(true)
    // And they say something: 10 to 90 % is narrower than what a club that knows nothing would say, nought to twice the time that was left.
    expect(rows.reduce((sum, r) => sum + r.width, 0) / rows.reduce((sum, r) => sum + r.half, 0)).toBeLessThan(1)
  })
})
