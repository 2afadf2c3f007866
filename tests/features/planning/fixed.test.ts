import { expect, test } from 'vitest'
import type { FixedPiece, TaskSpec } from '../../../src/core/schedule/problem.ts'
import { instant, minutes } from '../../../src/core/units/index.ts'
import { fixedPieces, type FixedQuestion } from '../../../src/features/planning/fixed.ts'
import type { StoredPiece } from '../../../src/features/planning/model.ts'

// Minutes: the session is [600, 960) at the shed; now is 660, an hour into it.
const NOW = instant(660)
const task = (over: Partial<TaskSpec> = {}): TaskSpec => ({
  id: 't', buildId: 'b', work: { kind: 'shared', work: minutes(240), handsFrom: 1, handsTo: 2 }, smallest: minutes(30), setUp: minutes(10), clearUp: minutes(5), places: ['floor'],
  resources: [], competences: [], gate: null, dusty: false, release: null, productId: null, materials: [], startedAt: null, finished: null, ...over,
})
const piece = (over: Partial<StoredPiece> = {}): StoredPiece => ({
  pieceId: 't/1', buildId: 'b', taskId: 't', start: 600, end: 735, people: ['ann', 'ben'], supervisor: null, placeId: 'floor', fixed: null, projected: false,
  binding: { kind: 'now' }, float: 0, freeFloat: 0, ...over,
})
const ask = (over: Partial<FixedQuestion> = {}): FixedQuestion => ({
  now: NOW, sessions: [{ id: 's', siteId: 'shed', start: 600, end: 960 }], previous: [piece()], tasks: [task()], washWork: new Map(), siteOf: new Map([['floor', 'shed'], ['barn', 'home']]),
  lastWork: new Map(), pins: [], earliest: () => -Infinity, ...over,
})
const spans = (q: FixedQuestion) => fixedPieces(q).fixed.map((p) => [p.start, p.end, p.why])

test('a piece of a session that has begun stays as it was', () => {
  // 2 people x (135 - 10 - 5) minutes = 240 person-minutes: all that is left.
  expect(spans(ask())).toEqual([[600, 735, 'frozen']])
})

test('of a session that has not begun nothing is kept', () => {
  expect(spans(ask({ sessions: [] }))).toEqual([])
})

test('a piece at home is not part of the session at the shed', () => {
  expect(spans(ask({ previous: [piece({ placeId: 'barn' })] }))).toEqual([])
})

test('a task that was started is under way', () => {
  expect(spans(ask({ tasks: [task({ startedAt: instant(600) })] }))).toEqual([[600, 735, 'under-way']])
})

test('what is finished, or gone, needs no piece', () => {
  const finished = { start: instant(600), end: instant(650), coat: null }
  expect(spans(ask({ tasks: [task({ finished })] }))).toEqual([])
  expect(spans(ask({ tasks: [] }))).toEqual([])
})

test('hours logged in the session are taken off: what is left goes on from the end of the log', () => {
  // 60 minutes by two are logged up to 670, so 120 person-minutes are left: 10 + 120 / 2 + 5 = 75 minutes would end at 745, but the piece was agreed to 735.
  const half = task({ work: { kind: 'shared', work: minutes(120), handsFrom: 1, handsTo: 2 } })
  expect(spans(ask({ tasks: [half], lastWork: new Map([['t', 670]]) }))).toEqual([[670, 735, 'under-way']])
  // Logged to the end of the piece: nothing of it is left.
  expect(spans(ask({ tasks: [half], lastWork: new Map([['t', 735]]) }))).toEqual([])
})

test('a piece that facts made too long is just long enough', () => {
  // Somebody states 100 person-minutes: 10 + 100 / 2 + 5 = 65.
  const little = task({ work: { kind: 'shared', work: minutes(100), handsFrom: 1, handsTo: 2 } })
  expect(spans(ask({ tasks: [little] }))).toEqual([[600, 665, 'frozen']])
  // Two pieces share what is left: 100 are used by the first, so nothing is left for the second.
  expect(spans(ask({ tasks: [little], previous: [piece(), piece({ pieceId: 't/2', start: 800, end: 900 })] }))).toEqual([[600, 665, 'frozen']])
})

test('a pin to come wins over what was agreed; a pin whose time has begun is agreed like the rest', () => {
  const pin: FixedPiece = { taskId: 't', start: instant(700), end: instant(835), people: ['ann', 'ben'], supervisor: null, placeId: 'floor', why: 'pinned' }
  expect(spans(ask({ pins: [pin] }))).toEqual([[700, 835, 'pinned']])
  expect(spans(ask({ pins: [{ ...pin, start: instant(640), end: instant(775) }] }))).toEqual([[640, 775, 'frozen']])
})

test('an agreed piece that facts overtook is dropped and said: the coat under it went on later', () => {
  const late = fixedPieces(ask({ earliest: () => 640 }))
  expect(late.fixed).toEqual([])
  expect(late.dropped).toEqual([expect.objectContaining({ taskId: 't', start: 600, why: 'frozen', fault: expect.objectContaining({ rule: 'link' }) })])
  // What is still to come is the planner's to judge.
  expect(fixedPieces(ask({ previous: [piece({ start: 700, end: 835 })], earliest: () => 720 })).dropped).toEqual([])
})

test('who is pinned to something else at that time is free of what was agreed, and it is said', () => {
  const pin: FixedPiece = { taskId: 'u', start: instant(720), end: instant(780), people: ['ben'], supervisor: null, placeId: 'floor', why: 'pinned' }
  const { fixed, dropped } = fixedPieces(ask({ pins: [pin], tasks: [task(), task({ id: 'u' })] }))
  expect(fixed.map((p) => p.taskId)).toEqual(['u'])
  expect(dropped).toMatchObject([{ taskId: 't', why: 'frozen', fault: { rule: 'busy' } }])
  // What is under way isn't taken from people's hands.
  expect(fixedPieces(ask({ pins: [pin], tasks: [task({ startedAt: instant(600) }), task({ id: 'u' })] })).fixed.map((p) => p.taskId)).toEqual(['u', 't'])
})

test('an unattended task that has begun runs on by itself', () => {
  const hire = task({ work: { kind: 'unattended', minutes: minutes(500) }, startedAt: instant(400), smallest: null, setUp: minutes(0), clearUp: minutes(0) })
  expect(spans(ask({ tasks: [hire], previous: [] }))).toEqual([[400, 900, 'under-way']])
})

test('a wash goes on as agreed while its window is missed', () => {
  const washWork = new Map([['wash:l', { work: { kind: 'shared' as const, work: minutes(60), handsFrom: 1, handsTo: 2 }, setUp: 5, clearUp: 10, open: true }]])
  // 5 + 60 / 2 + 10 = 45.
  expect(spans(ask({ previous: [piece({ taskId: 'wash:l', pieceId: 'wash:l/1', start: 600, end: 700 })], washWork }))).toEqual([[600, 645, 'frozen']])
})
