import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { learnPace, MOST_RATIO, PACE_PRIOR } from '../../../src/core/forecast/pace.ts'
import { noEvidence } from '../../../src/core/forecast/prior.ts'
import { CRAFTS, type Craft, type Pace, type PaceEvidence } from '../../../src/core/forecast/types.ts'
import { normalDice, type NormalDice } from '../../support/normal-dice.ts'

const done = (ratio: number, over: Partial<PaceEvidence> = {}): PaceEvidence =>
  ({ buildId: 'swift', craft: 'wood', estimated: 120, worked: 120 * ratio, sd: 0, ...over })
const many = (n: number, ratio: number, over: Partial<PaceEvidence> = {}): PaceEvidence[] => Array.from({ length: n }, () => done(ratio, over))
const factor = (pace: Pace, craft: Craft) => pace.factors.find((f) => f.craft === craft)!
const width = (pace: Pace, craft: Craft): number => Math.log(factor(pace, craft).high / factor(pace, craft).low)

const ratio = fc.double({ min: 0.3, max: 3, noNaN: true })
const evidence = fc.record({
  buildId: fc.constantFrom('swift', 'tern', 'gull'), craft: fc.constantFrom(...CRAFTS), estimated: fc.constant(120),
  worked: ratio.map((r) => 120 * r), sd: fc.double({ min: 0, max: 40, noNaN: true }),
})

describe('the pace of a build', () => {
  test('is exactly the prior where nothing was logged: 1, and wide', () => {
    // 0.2² + 0.12² + 0.25² + 0.15² = 0.1394; exp(± 1.28155 · √0.1394) = 0.62 and 1.61
    expect(learnPace([], 'swift')).toEqual(noEvidence.pace)
    expect(noEvidence.pace.taskSd).toBeCloseTo(PACE_PRIOR.task, 12)
    for (const f of noEvidence.pace.factors) {
      expect(f).toMatchObject({ factor: 1, count: 0, spread: 0 })
      expect(f.low).toBeCloseTo(0.62, 2)
      expect(f.high).toBeCloseTo(1.61, 2)
    }
    // What all work shares: 0.2² + 0.25² = 0.1025; what a kind of work has apart: 0.0144 + 0.0225 = 0.0369
    expect(noEvidence.pace.common.sd ** 2).toBeCloseTo(0.1025, 12)
    for (const craft of CRAFTS) expect(noEvidence.pace.crafts[craft].sd ** 2).toBeCloseTo(0.0369, 12)
  })

  test('of one task is what a calculation by hand gives', () => {
    // ln 1.5 = 0.405465. Prior variance 0.1394, of the task 0.3² = 0.09 (one task says nothing of its own spread): 0.1394 / 0.2294 = 0.607672 of it.
    // Other kinds move by what they share with it: 0.1025 / 0.2294 = 0.446818 of it.
    const pace = learnPace([done(1.5)], 'swift')
    expect(Math.log(factor(pace, 'wood').factor)).toBeCloseTo(0.405465 * 0.607672, 5)
    expect(Math.log(factor(pace, 'resin').factor)).toBeCloseTo(0.405465 * 0.446818, 5)
    // 0.1394 · 0.09 / 0.2294
    expect(width(pace, 'wood')).toBeCloseTo(2 * 1.2815516 * Math.sqrt(0.0546905), 5)
    expect(factor(pace, 'wood')).toMatchObject({ count: 1, spread: 0 })
  })

  test('of a new build is that of the club as far as builds are alike, by hand for one task of another build', () => {
    // She shares club 0.04 and kind of work 0.0144 with it: 0.0544 / (0.1394 + 0.09) = 0.237140 of ln 1.5.
    const pace = learnPace([done(1.5, { buildId: 'tern' })], 'swift')
    expect(Math.log(factor(pace, 'wood').factor)).toBeCloseTo(0.405465 * 0.23714, 5)
    // Another kind of work shares the club alone: 0.04 / 0.2294 = 0.174368.
    expect(Math.log(factor(pace, 'finish').factor)).toBeCloseTo(0.405465 * 0.174368, 5)
    expect(factor(pace, 'wood').count).toBe(0)
  })

  test('of two tasks of other builds and one of her own is what the normal equations give', () => {
    // All wood, no spread of their own. Variance of each: 0.2294 (taskSd stays 0.3: no kind of a build has two). Between two builds: 0.0544.
    // Swift's factor shares 0.0544 with tern's and gull's, 0.1394 with her own. x, y of [0.2294 a; 0.0544 b; …] solved by hand:
    // covariance of (own, tern, gull): [[.2294,.0544,.0544],[.0544,.2294,.0544],[.0544,.0544,.2294]]: inverse has 1/0.175 - k on the diagonal, -k off it,
    // k = 0.0544 / (0.175 · (0.175 + 3 · 0.0544)) = 0.919255, 1/0.175 = 5.714286.
    // weight of own: 0.1394 · 4.795031 - 2 · 0.0544 · 0.919255 = 0.568412; of each other: 0.1394 · -0.919255 + 0.0544 · (4.795031 - 0.919255) = 0.082698
    const pace = learnPace([done(2), done(1.2, { buildId: 'tern' }), done(0.9, { buildId: 'gull' })], 'swift')
    expect(Math.log(factor(pace, 'wood').factor)).toBeCloseTo(0.568412 * Math.log(2) + 0.082698 * (Math.log(1.2) + Math.log(0.9)), 4)
  })

  test('follows many tasks of her own', () => {
    const pace = learnPace(many(400, 1.6, { sd: 20 }), 'swift')
    // The spread of the three points lies below the mean: + ln(1 + (20/120)²) / 2 = 0.0137
    expect(Math.log(factor(pace, 'wood').factor)).toBeCloseTo(Math.log(1.6) + 0.0137, 2)
    expect(width(pace, 'wood')).toBeLessThan(0.06)
    // What she is like at other work is still open.
    expect(width(pace, 'finish')).toBeGreaterThan(0.5)
  })

  test('is shrunk by what a single task can say: what is left of the prior falls as 1/n', () => {
    const short = (n: number): number => Math.log(1.5) - Math.log(factor(learnPace(many(n, 1.5), 'swift'), 'wood').factor)
    // Equal ratios make single tasks look alike down to a floor, from which on it is constant.
    for (const n of [500, 1000]) expect(short(n) / short(2 * n)).toBeCloseTo(2, 1)
    expect(short(1)).toBeGreaterThan(short(2))
  })

  test('hangs on no order', () => {
    fc.assert(fc.property(fc.array(evidence, { maxLength: 25 }).chain((list) => fc.tuple(fc.constant(list), fc.shuffledSubarray(list, { minLength: list.length }))), ([list, other]) => {
      expect(learnPace(other, 'swift')).toEqual(learnPace(list, 'swift'))
    }))
  })

  test('goes up with the hours: all of them longer makes every factor larger, one of them longer makes its own smaller by 2 % at most, for it says that tasks differ', () => {
    fc.assert(fc.property(fc.array(evidence, { minLength: 1, maxLength: 25 }), fc.double({ min: 1.05, max: 1.5, noNaN: true }), (list, more) => {
      const [less, longer] = [learnPace(list, 'swift'), learnPace(list.map((e) => ({ ...e, worked: e.worked * more })), 'swift')]
      for (const craft of CRAFTS) expect(factor(longer, craft).factor).toBeGreaterThan(factor(less, craft).factor)
      const only = learnPace([...list, done(1, { craft: 'resin' })], 'swift')
      const alone = learnPace([...list, done(more, { craft: 'resin' })], 'swift')
      expect(factor(alone, 'resin').factor).toBeGreaterThan(factor(only, 'resin').factor - 0.02)
    }))
  })

  test('is not run wild by one absurd ratio', () => {
    const sane = factor(learnPace(many(8, 1.1), 'swift'), 'wood').factor
    for (const wild of [1e-6, 1e6]) {
      const with1 = factor(learnPace([...many(8, 1.1), done(wild)], 'swift'), 'wood').factor
      expect(Math.abs(Math.log(with1 / sane))).toBeLessThan(0.25)
      expect(factor(learnPace([done(wild)], 'swift'), 'wood').factor).toBeLessThan(MOST_RATIO ** 0.65)
    }
  })

  test('leaves out what says nothing: no estimate, no work', () => {
    expect(learnPace([done(0), done(1, { estimated: 0 }), done(1, { worked: Number.NaN })], 'swift')).toEqual(noEvidence.pace)
  })

  test('common and kind of work together have the mean and the deviation that is told', () => {
    fc.assert(fc.property(fc.array(evidence, { maxLength: 25 }), (list) => {
      const pace = learnPace(list, 'swift')
      for (const f of pace.factors) {
        const craft = pace.crafts[f.craft]
        expect(pace.common.mean + craft.mean).toBeCloseTo(Math.log(f.factor), 9)
        expect(1.2815515655 * Math.hypot(pace.common.sd, craft.sd)).toBeCloseTo(Math.log(f.high / f.factor), 6)
      }
    }))
  })

  test('a wider estimate of a task explains more of its deviation', () => {
    const [narrow, wide] = [learnPace([done(1.5, { sd: 5 })], 'swift'), learnPace([done(1.5, { sd: 60 })], 'swift')]
    expect(factor(wide, 'wood').high / factor(wide, 'wood').low).toBeGreaterThan(factor(narrow, 'wood').high / factor(narrow, 'wood').low)
  })
})

describe('in worlds drawn from the model', () => {
  const trial = (d: NormalDice, others: number, tasks: number): { inside: number; of: number; bias: number } => {
    const sum = { inside: 0, of: 0, bias: 0 }
    for (let world = 0; world < 1000; world++) {
      const club = PACE_PRIOR.club * d.normal()
      const kinds = CRAFTS.map(() => PACE_PRIOR.craft * d.normal())
      const builds = ['swift', ...Array.from({ length: others }, (_, i) => `other ${i}`)].map((id) => {
        const build = PACE_PRIOR.build * d.normal()
        return { id, logs: kinds.map((kind) => club + kind + build + PACE_PRIOR.buildCraft * d.normal()) }
      })
      const list = builds.flatMap(({ id, logs }) => Array.from({ length: id === 'swift' ? tasks : 8 }, (_, i) => {
        const [craft, sd] = [i % CRAFTS.length, 10 + 20 * d.roll()]
        const own = Math.log1p((sd / 120) ** 2)
        return done(Math.exp(logs[craft]! + PACE_PRIOR.task * d.normal() + Math.sqrt(own) * d.normal() - own / 2), { buildId: id, craft: CRAFTS[craft]!, sd })
      }))
      const pace = learnPace(list, 'swift')
      CRAFTS.forEach((craft, i) => {
        const [f, truth] = [factor(pace, craft), Math.exp(builds[0]!.logs[i]!)]
        sum.inside += Number(f.low <= truth && truth <= f.high)
        sum.bias += Math.log(f.factor / truth)
        sum.of++
      })
    }
    return sum
  }

  // 1,000 worlds of five kinds each: a standard error of 0.6 % if kinds of a world were independent, of 1.3 % if they were one.
  test.each([[0, 15], [3, 5]])('with %d other builds and %d tasks of her own, 80 in 100 intervals hold, within 2', (others, tasks) => {
    const { inside, of, bias } = trial(normalDice(7 + others + tasks), others, tasks)
    expect(inside / of).toBeGreaterThan(0.78)
    expect(inside / of).toBeLessThan(0.82)
    expect(Math.abs(bias / of)).toBeLessThan(0.03)
  })
})
