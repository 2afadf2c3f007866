import { expect, test } from 'vitest'
import { attendanceEvidence, leftPoints, paceEvidence, shareDone, temperatureSd, type Estimated, type PastWeek } from '../../../src/features/planning/forecast/evidence.ts'

const task = (over: Partial<Estimated> = {}): Estimated => ({
  buildId: 'b', craft: 'wood', kind: 'shared', low: 60, likely: 120, high: 240, hands: 1, isFinished: true, isStated: false, left: 0, steps: { of: 0, ticked: 0 }, ...over,
})
const worked = (personMin: number, elapsedMin = personMin) => ({ personMin, elapsedMin })

test('a finished task is its PERT mean beside all hours of all hands', () => {
  // (60 + 4 x 120 + 240) / 6 = 130; sd (240 - 60) / 6 = 30 (Malcolm, Roseboom, Clark, Fazar 1959, second-hand)
  expect(paceEvidence(task(), worked(150, 75))).toEqual({ buildId: 'b', craft: 'wood', estimated: 130, worked: 150, sd: 30 })
})

test('work done together counts with the hands it takes, so that one more to lift makes nobody slow', () => {
  // 40 min by 5 people where 4 are needed: estimate 130 x 4 = 520, worked 40 x 4 = 160
  expect(paceEvidence(task({ kind: 'together', hands: 4 }), worked(200, 40))).toMatchObject({ estimated: 520, worked: 160, sd: 120 })
})

test('a begun task counts by what its people stated, else by ticked steps, and not when hardly begun', () => {
  // stated: 90 worked, 30 left: 90 / 120 is done, so 0.75 x 130 = 97.5 took 90
  expect(paceEvidence(task({ isFinished: false, isStated: true, left: 30 }), worked(90))).toMatchObject({ estimated: 97.5, worked: 90 })
  // ticked: weights 2 of 4: 0.5 x 130 = 65
  expect(paceEvidence(task({ isFinished: false, left: 30, steps: { of: 4, ticked: 2 } }), worked(90))).toMatchObject({ estimated: 65, worked: 90, sd: 15 })
  expect(paceEvidence(task({ isFinished: false, left: 110, steps: { of: 10, ticked: 2 } }), worked(10))).toBeNull()
  expect(paceEvidence(task({ isFinished: false, left: 30 }), worked(90))).toBeNull()
  // all ticked and not finished: something is left
  expect(shareDone(task({ isFinished: false, left: 12, steps: { of: 3, ticked: 3 } }), worked(90))).toBe(0.9)
})

test('what waits by itself, or was ticked off without hours, says nothing of the pace', () => {
  expect(paceEvidence(task({ kind: 'unattended' }), worked(120))).toBeNull()
  expect(paceEvidence(task(), worked(0))).toBeNull()
})

test('what is left has its low and high in the proportion of the whole', () => {
  // nothing worked: the estimate itself
  expect(leftPoints(task({ isFinished: false, left: 120 }), worked(0))).toEqual({ low: 60, likely: 120, high: 240 })
  // 90 worked, 30 left: low 30 x 60 / 120 = 15, high the larger of 30 x 240 / 120 = 60 and 240 - 90 = 150
  expect(leftPoints(task({ isFinished: false, left: 30 }), worked(90))).toEqual({ low: 15, likely: 30, high: 150 })
  // stated by a person: 60 stands, for they know what the high was about
  expect(leftPoints(task({ isFinished: false, isStated: true, left: 30 }), worked(90))).toEqual({ low: 15, likely: 30, high: 60 })
  // together: elapsed minutes times the hands
  expect(leftPoints(task({ kind: 'together', hands: 2, isFinished: false, left: 120 }), worked(0))).toEqual({ low: 120, likely: 240, high: 480 })
})

const week = (over: Partial<PastWeek> = {}): PastWeek => ({ available: 480, planned: 300, sessions: 2, isTicked: true, came: 400, logged: 250, isBroken: false, ...over })

test('of the hours meant when the week began those ticked are the evidence; a pause is none, and neither is a week with nothing meant', () => {
  expect(attendanceEvidence([week(), week({ isBroken: true }), week({ available: 0 })])).toEqual([{ planned: 480, came: 400 }])
})

test('where nobody is ticked, hours logged beside hours planned on her stand in; where every session was called off, nobody came', () => {
  expect(attendanceEvidence([week({ isTicked: false, came: 0 })])).toEqual([{ planned: 300, came: 250 }])
  expect(attendanceEvidence([week({ isTicked: false, came: 0, planned: 0 })])).toEqual([])
  expect(attendanceEvidence([week({ sessions: 0, isTicked: false, came: 0 })])).toEqual([{ planned: 480, came: 0 }])
})

test('months differ by 2 °C until readings say by how much', () => {
  expect(temperatureSd([])).toBe(2)
  // (4 x 2² + 4² + 4²) / (4 + 2) = 8
  expect(temperatureSd([4, -4])).toBeCloseTo(Math.sqrt(8), 9)
  // (16 + 0) / (4 + 12) = 1
  expect(temperatureSd(Array<number>(12).fill(0))).toBe(1)
})
