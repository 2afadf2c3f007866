import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { learnAttendance } from '../../../src/core/forecast/attendance.ts'
import { noEvidence } from '../../../src/core/forecast/prior.ts'
import { learnRework } from '../../../src/core/forecast/rework.ts'
import { CRAFTS, type AttendanceEvidence, type Craft } from '../../../src/core/forecast/types.ts'
import { normalDice, type NormalDice } from '../../support/normal-dice.ts'

const weeks = (...shares: number[]): AttendanceEvidence[] => shares.map((share) => ({ planned: 600, came: 600 * share }))
const many = (n: number, share: number): AttendanceEvidence[] => weeks(...Array<number>(n).fill(share))
const share = fc.double({ min: 0, max: 1.3, noNaN: true })

describe('attendance', () => {
  test('is exactly the prior where no week is known: 78 of 100 hours, and wide', () => {
    expect(learnAttendance([])).toEqual(noEvidence.attendance)
    expect(noEvidence.attendance).toMatchObject({ mean: 0.78, weeks: 0 })
    // Nine of ten clubs between a good half and all of it.
    expect(noEvidence.attendance.mean - 1.2816 * noEvidence.attendance.sd).toBeGreaterThan(0.6)
  })

  test('of one week is what a calculation by hand gives', () => {
    // weekSd stays the prior's, as one week says nothing of how weeks differ; one of weeks that follow by 0.45 is worth 0.55/1.45 = 0.379310 of a week.
    const prior = noEvidence.attendance
    const of = 0.55 / 1.45 / prior.weekSd ** 2
    const before = 1 / prior.sd ** 2
    const a = learnAttendance(weeks(0.5))
    expect(a.mean).toBeCloseTo((before * 0.78 + of * 0.5) / (before + of), 12)
    expect(a.weekSd).toBeCloseTo(prior.weekSd, 12)
    expect(a.follows).toBeCloseTo(prior.follows, 12)
    expect(a.weeks).toBe(1)
    expect(a.sd).toBeCloseTo(1 / Math.sqrt(before + of), 12)
    expect(a.mean).toBeGreaterThan(0.7)
  })

  test('of many weeks is theirs', () => {
    const d = normalDice(3)
    const a = learnAttendance(weeks(...Array.from({ length: 400 }, () => 0.6 + 0.15 * d.normal())))
    expect(a.mean).toBeCloseTo(0.6, 1)
    expect(a.weekSd).toBeCloseTo(0.15, 1)
    expect(a.follows).toBeLessThan(0.15)
    expect(a.sd).toBeLessThan(0.02)
  })

  test('sees that bad weeks follow bad weeks, and is less sure of the mean then', () => {
    const runs = learnAttendance(weeks(...Array.from({ length: 80 }, (_, i) => (i % 20 < 10 ? 0.9 : 0.4))))
    const turns = learnAttendance(weeks(...Array.from({ length: 80 }, (_, i) => (i % 2 < 1 ? 0.9 : 0.4))))
    expect(runs.follows).toBeGreaterThan(0.6)
    expect(turns.follows).toBe(0)
    expect(runs.sd).toBeGreaterThan(1.5 * turns.sd)
  })

  test('goes up with the hours that came', () => {
    fc.assert(fc.property(fc.array(share, { minLength: 1, maxLength: 30 }), fc.double({ min: 0.01, max: 0.2, noNaN: true }), (list, more) => {
      expect(learnAttendance(weeks(...list.map((s) => s + more))).mean).toBeGreaterThanOrEqual(learnAttendance(weeks(...list)).mean - 1e-12)
    }))
  })

  test('is shrunk by what weeks can say: what is left of the prior falls as 1/n', () => {
    const short = (n: number): number => learnAttendance(many(n, 0.5)).mean - 0.5
    for (const n of [500, 1000]) expect(short(n) / short(2 * n)).toBeCloseTo(2, 1)
    expect(short(1)).toBeGreaterThan(short(2))
  })

  test('does not know weeks in which nothing was planned: a pause is none', () => {
    const [three, paused] = [weeks(0.8, 0.7, 0.9), [...weeks(0.8, 0.7), { planned: 0, came: 0 }, { planned: 0, came: 300 }, ...weeks(0.9)]]
    expect(learnAttendance(paused)).toEqual(learnAttendance(three))
  })

  test('counts weeks to which more came, is never above 1, and is not run wild by one absurd week', () => {
    expect(learnAttendance(weeks(0.7, 1.2)).mean).toBeGreaterThan(learnAttendance(weeks(0.7, 1)).mean)
    expect(learnAttendance(many(200, 1.4)).mean).toBe(1)
    const sane = learnAttendance(many(10, 0.7)).mean
    expect(learnAttendance([...many(10, 0.7), { planned: 1, came: 10_000 }]).mean - sane).toBeLessThan(0.02)
    expect(learnAttendance([...many(10, 0.7), { planned: 600, came: 60_000 }]).mean - sane).toBeLessThan(0.1)
    expect(learnAttendance(many(200, 0)).mean).toBeGreaterThan(0)
  })

  test('of a week with more hours planned counts for more', () => {
    const long = learnAttendance([{ planned: 1200, came: 600 }, { planned: 400, came: 400 }])
    const short = learnAttendance([{ planned: 400, came: 200 }, { planned: 1200, came: 1200 }])
    expect(long.mean).toBeLessThan(short.mean)
  })

  test('in worlds drawn from the model, 80 in 100 intervals hold, within 2', () => {
    const { mean, sd, weekSd, follows } = noEvidence.attendance
    const of = (d: NormalDice, truth: number, count: number): boolean => {
      let off = weekSd * d.normal()
      const a = learnAttendance(Array.from({ length: count }, () => {
        const came = Math.max(0, 600 * (truth + off))
        off = follows * off + Math.sqrt(1 - follows ** 2) * weekSd * d.normal()
        return { planned: 600, came }
      }))
      // A share above 1 is told as 1: so much of it as comes.
      return Math.abs(Math.min(1, truth) - a.mean) <= 1.2815516 * a.sd
    }
    for (const count of [8, 15]) {
      const d = normalDice(count)
      const inside = Array.from({ length: 4000 }, () => of(d, mean + sd * d.normal(), count)).filter(Boolean).length
      expect(inside / 4000).toBeGreaterThan(0.78)
      expect(inside / 4000).toBeLessThan(0.82)
    }
  })
})

describe('rework', () => {
  const finished = (craft: Craft, n: number, again: number): { craft: Craft; reworked: boolean }[] => Array.from({ length: n }, (_, i) => ({ craft, reworked: i < again }))

  test('is exactly the prior where nothing is finished', () => {
    expect(learnRework([])).toEqual(noEvidence.rework)
    expect(noEvidence.rework.tasks).toBe(0)
    for (const craft of CRAFTS) expect(noEvidence.rework.chance[craft]).toBeLessThan(0.15)
  })

  test('is what the beta-binomial gives: resin 2 of 20 before, 5 of 10 seen', () => {
    // (2 + 5) / (20 + 10)
    const rework = learnRework(finished('resin', 10, 5))
    expect(rework.chance.resin).toBeCloseTo(7 / 30, 12)
    expect(rework.chance.wood).toBe(noEvidence.rework.chance.wood)
    expect(rework.tasks).toBe(10)
  })

  test('goes up with each task done again, comes to what was seen, hangs on no order and stays a chance', () => {
    fc.assert(fc.property(fc.array(fc.record({ craft: fc.constantFrom(...CRAFTS), reworked: fc.boolean() }), { maxLength: 60 }), fc.constantFrom(...CRAFTS), (list, craft) => {
      const rework = learnRework(list)
      expect(learnRework([...list].reverse())).toEqual(rework)
      expect(learnRework([...list, { craft, reworked: true }]).chance[craft]).toBeGreaterThan(rework.chance[craft])
      expect(learnRework([...list, { craft, reworked: false }]).chance[craft]).toBeLessThan(rework.chance[craft])
      for (const c of CRAFTS) expect(rework.chance[c] > 0 && rework.chance[c] < 1).toBe(true)
    }))
    expect(learnRework(finished('wood', 10_000, 2500)).chance.wood).toBeCloseTo(0.25, 3)
  })
})
