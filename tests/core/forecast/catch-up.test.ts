/** What would bring a launch forward, where it can be worked out by hand. */
import { describe, expect, test } from 'vitest'
import { catchUp, compileForecast } from '../../../src/core/forecast/index.ts'
import { launchesOf } from '../../../src/core/forecast/simulate.ts'
import type { CatchUp, Uncertainty } from '../../../src/core/forecast/types.ts'
import { plan, type Problem } from '../../../src/core/schedule/index.ts'
import { celsius, minutes } from '../../../src/core/units/index.ts'
import { makeProduct } from '../../support/cure.ts'
import { randomClub } from '../../support/clubs.ts'
import { certain, uncertain } from '../../support/forecast.ts'
import { after, build, hour, person, place, planned, problem, shared, task, unattended } from '../../support/problem.ts'

const WEEKS = 20
/** Each Saturday 9 to 13, from Saturday 0:00. */
const saturdays = (id: string) => person(id, ...Array.from({ length: WEEKS }, (_, w): [number, number] => [168 * w + 9, 168 * w + 13]))
const boat = (over: Partial<Problem> = {}): Problem => problem({
  horizon: hour(168 * WEEKS), people: [saturdays('ann')], builds: [build('boat', { team: ['ann'] })],
  // 40 h: ten Saturdays.
  tasks: [task('a', { work: shared(2400, 1, 2), smallest: minutes(30) })], ...over,
})
const ask = (p: Problem, targetHour: number, u: Uncertainty = certain): CatchUp =>
  catchUp(p, planned(p, 3), 'boat', u, { target: hour(targetHour), share: 0.5, runs: 1, seed: 1 })

describe('nothing uncertain', () => {
  test('a target that is made asks for nothing', () => {
    // The tenth Saturday ends at 9 · 168 + 13 = 1525 h.
    expect(ask(boat(), 1525)).toMatchObject({ extraPerWeek: null, helper: null, warmer: null, binds: null, launches: { now: hour(1525) } })
  })

  test('ten weeks of four hours in five weeks: four hours a week more, or one more helper; warmth doesn\'t', () => {
    // By the end of the fifth week: 5 Saturdays · 4 h + 5 · x h = 40 h, so x = 4. A helper beside Ann makes two of 20 h each: the fifth Saturday, 685 h.
    const c = ask(boat(), 5 * 168)
    expect(c).toMatchObject({ extraPerWeek: 240, helper: true, warmer: 'not by warmth', binds: null, launches: { helper: hour(685) } })
    expect(c.launches.extra!).toBeLessThanOrEqual(hour(5 * 168))
  })

  test('extra hours are found in steps of half an hour', () => {
    // By the end of the eighth week: 8 · 4 h + 8 · x h = 40 h, x = 1.
    expect(ask(boat(), 8 * 168).extraPerWeek).toBe(60)
    // By that of the ninth: 36 h + 9 · x h, x = 0.44: half an hour.
    expect(ask(boat(), 9 * 168).extraPerWeek).toBe(30)
  })

  test('twenty hours a week and not enough: it is hands that bind', () => {
    // By the end of the first week: 4 h + 20 h < 40 h; day and night 40 h are done on Sunday.
    const c = ask(boat({ tasks: [task('a', { work: shared(2400), smallest: minutes(30) })] }), 168)
    expect(c).toMatchObject({ extraPerWeek: 'not by hours', helper: false, warmer: 'not by warmth', binds: { cause: 'people', taskId: null } })
  })

  test('a delivery in six weeks binds, whoever comes', () => {
    const p = boat({ tasks: [task('mast', { work: unattended(6 * 10_080), places: [] }), task('a')], links: [after('mast', 'a')] })
    expect(ask(p, 5 * 168)).toMatchObject({ extraPerWeek: 'not by hours', helper: false, warmer: 'not by warmth', binds: { cause: 'delivery', taskId: 'mast' } })
  })

  const glue = makeProduct({ id: 'glue', dustSensitive: false, filmEnergyLow: 50, filmEnergyHigh: 50, stages: { handleable: minutes(14 * 1440) } })
  const glued = (people = [person('ann', [0, 168 * WEEKS])]): Problem => boat({
    people, places: [place()], products: [glue],
    tasks: [task('glue-up', { productId: 'glue' }), task('a')], links: [{ id: 'cured', kind: 'stage', from: 'glue-up', to: 'a', stage: 'handleable' }],
  })

  test('a cure of two weeks: a warmer shop does it, by the fewest degrees that do', () => {
    // 50 kJ/mol at 20 °C: q degrees more cure exp(50000/8.314 · (1/293.15 - 1/(293.15 + q))) times as fast: 1.74 at 8, 1.86 at 9 °C.
    // 1 h + 336 h / rate + 1 h: 195 h at 8, 183 h at 9 °C.
    expect(ask(glued(), 190)).toMatchObject({ extraPerWeek: 'not by hours', helper: false, warmer: 9, binds: null })
  })

  test('a cure that no warmth makes short enough binds', () => {
    expect(ask(glued(), 24)).toMatchObject({ warmer: 'not by warmth', binds: { cause: 'cure', taskId: 'glue-up', what: 'glue' } })
  })

  test('a gate that the cold keeps shut for weeks opens at once in a shop five degrees warmer', () => {
    const p = boat({
      people: [saturdays('ann')], tasks: [task('a', { gate: { minAir: celsius(25), maxAir: null, maxHumidity: null, dewPointMargin: null } }), task('b')], links: [after('a', 'b')],
      places: [place('shop', { climate: [{ from: hour(-99), value: { air: celsius(20), dewPoint: celsius(0) } }, { from: hour(900), value: { air: celsius(26), dewPoint: celsius(0) } }] })],
    })
    // The gate opens at 900 h, Saturday after that at 1008 h; 5 °C more open it at once.
    expect(ask(p, 200)).toMatchObject({ extraPerWeek: 'not by hours', helper: false, warmer: 5 })
  })
})

test('more hours a week never launch a random club later at the share asked, so that halving finds the least', () => {
  for (let seed = 3; seed <= 5; seed++) {
    const p = randomClub(seed, { builds: [1, 1], tasksPerBuild: [10, 20], people: [3, 5], unplannable: 0, facts: true })
    const found = plan(p, { seed, maxSchedules: 10 })
    if (!found.ok || found.value.builds[0]!.launch === null) throw new Error(`club ${seed}`)
    const at = (steps: number): number => {
      const c = compileForecast(p, found.value, 'b1', uncertain(p), { extraPerWeek: minutes(30 * steps) })
      return launchesOf(c, { runs: 100, seed: 1 }).sort()[79]!
    }
    const launches = Array.from({ length: 11 }, (_, i) => at(4 * i))
    launches.slice(1).forEach((t, i) => expect(t, `club ${seed}, ${2 * i + 2} h`).toBeLessThanOrEqual(launches[i]!))
  }
})
