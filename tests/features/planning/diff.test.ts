import { expect, test } from 'vitest'
import { diffPlans, type DiffQuestion } from '../../../src/features/planning/diff.ts'
import type { StoredPiece, StoredPlan } from '../../../src/features/planning/model.ts'
import { suggestionsFrom } from '../../../src/features/planning/suggestions.ts'

const DAY = 1440
// Minutes from Monday 1970-01-05, in UTC, so that weeks begin at multiples of seven days.
const MONDAY = 4 * DAY
const at = (day: number, hour: number) => MONDAY + day * DAY + hour * 60
const localDate = (t: number) => new Date(t * 60_000).toISOString().slice(0, 10)

const piece = (start: number, over: Partial<StoredPiece> = {}): StoredPiece => ({
  pieceId: 't/1', buildId: 'b', taskId: 't', start, end: start + 60, people: ['ann'], supervisor: null, placeId: 'floor', fixed: null, projected: false,
  binding: { kind: 'choice' }, float: 0, freeFloat: 0, ...over,
})
const plan = (pieces: StoredPiece[], over: Partial<StoredPlan> = {}): StoredPlan => ({
  id: 1n, madeAt: at(0, 8), fromAt: at(0, 8), coversRequest: 1n, causes: [], pieces, builds: [], unplanned: [], missed: [], met: [], dropped: [], moves: [], suggestions: [], ...over,
})
const moves = (before: StoredPlan, after: StoredPlan, over: Partial<DiffQuestion> = {}) =>
  diffPlans({ before, after, finished: new Set(), lastWork: new Map(), linkTo: new Map([['l', { to: 't', buildId: 'b' }]]), buildOf: new Map([['t', 'b'], ['u', 'b']]), localDate, ...over })

test('the same plan again moves nothing', () => {
  expect(moves(plan([piece(at(1, 10))]), plan([piece(at(1, 10))]))).toEqual([])
})

test('a piece at another time has moved, with its window and what binds it', () => {
  const [move, ...rest] = moves(plan([piece(at(1, 10))]), plan([piece(at(2, 10))], { met: [{ linkId: 'l', opens: at(2, 3), closes: null }] }))
  expect(rest).toEqual([])
  expect(move).toMatchObject({ kind: 'moved', taskId: 't', from: { start: at(1, 10) }, to: { start: at(2, 10) }, others: 0, window: { opens: at(2, 3), closes: null }, binding: { kind: 'choice' } })
})

test('several pieces of a task that move are one line', () => {
  const before = plan([piece(at(1, 10)), piece(at(2, 10), { pieceId: 't/2' })])
  const after = plan([piece(at(3, 10)), piece(at(4, 10), { pieceId: 't/2' })])
  expect(moves(before, after)).toMatchObject([{ kind: 'moved', from: { start: at(1, 10) }, to: { start: at(3, 10) }, others: 1 }])
})

test('a past piece that was worked on is done, not moved; one that nobody worked on has moved', () => {
  const before = plan([piece(at(0, 6)), piece(at(2, 10), { pieceId: 't/2' })])
  const after = plan([piece(at(2, 10))])
  expect(moves(before, after, { lastWork: new Map([['t', at(0, 7)]]) })).toEqual([])
  expect(moves(plan([piece(at(0, 6))]), plan([piece(at(3, 10))]))).toMatchObject([{ kind: 'moved', from: { start: at(0, 6) }, to: { start: at(3, 10) } }])
})

test('far pieces count when their week changes, not their hour', () => {
  const far = { projected: true }
  expect(moves(plan([piece(at(22, 10), far)]), plan([piece(at(24, 18), far)]))).toEqual([])
  expect(moves(plan([piece(at(22, 10), far)]), plan([piece(at(29, 10), far)]))).toMatchObject([{ kind: 'moved' }])
})

test('beyond the next week an hour more or less on the same day is no news, nor who does it beyond the next two', () => {
  expect(moves(plan([piece(at(2, 10))]), plan([piece(at(2, 11))]))).toMatchObject([{ kind: 'moved' }])
  expect(moves(plan([piece(at(9, 10))]), plan([piece(at(9, 11))]))).toEqual([])
  expect(moves(plan([piece(at(9, 10))]), plan([piece(at(10, 10))]))).toMatchObject([{ kind: 'moved' }])
  expect(moves(plan([piece(at(16, 10))]), plan([piece(at(16, 10), { people: ['ben'] })]))).toEqual([])
})

test('other people, another place, another end at the same time are said each', () => {
  const after = plan([piece(at(1, 10), { people: ['ben'], placeId: 'tent', end: at(1, 12) })])
  expect(moves(plan([piece(at(1, 10))]), after).map((m) => m.kind)).toEqual(['ends', 'place', 'people'])
})

test('a launch that moves within its day is no news, to another day it is; without one it says so', () => {
  const launch = (t: number | null) => [{ buildId: 'b', launch: t, lowerBound: null, late: 0, chain: [] }]
  const from = plan([], { builds: launch(at(20, 10)) })
  expect(moves(from, plan([], { builds: launch(at(20, 15)) }))).toEqual([])
  expect(moves(from, plan([], { builds: launch(at(27, 10)) }))).toMatchObject([{ kind: 'launch', from: { start: at(20, 10) }, to: { start: at(27, 10) } }])
  expect(moves(from, plan([], { builds: launch(null) }))).toMatchObject([{ kind: 'launch', to: null }])
})

test('a task newly unplannable, a window newly let go and a dropped piece are told once', () => {
  const unplanned = [{ taskId: 'u', reason: { kind: 'place' as const } }]
  const missed = [{ linkId: 'l', opens: 1, closes: 2, why: 'chosen' as const }]
  const dropped = [{ taskId: 't', start: at(0, 10), why: 'frozen' as const, fault: { rule: 'link', pieceId: null, text: '' } }]
  expect(moves(plan([]), plan([], { unplanned, missed, dropped })).map((m) => m.kind)).toEqual(['unplanned', 'missed', 'dropped'])
  expect(moves(plan([], { unplanned, missed }), plan([], { unplanned, missed }))).toEqual([])
})

test('a suggestion is a piece of the begun session that a free plan would have otherwise', () => {
  const begun = [{ id: 's', siteId: 'shed', start: at(0, 8), end: at(0, 12) }]
  const site = new Map([['floor', 'shed'], ['barn', 'home']])
  const now = at(0, 9)
  const planned = [piece(at(3, 10))]
  const free = [piece(at(0, 10)), piece(at(0, 10), { pieceId: 'u/1', taskId: 'u', placeId: 'barn' }), piece(at(1, 10), { pieceId: 'v/1', taskId: 'v' })]
  expect(suggestionsFrom(planned, free, begun, now, site)).toEqual([
    { buildId: 'b', taskId: 't', start: at(0, 10), end: at(0, 11), people: ['ann'], supervisor: null, placeId: 'floor', instead: { start: at(3, 10), end: at(3, 11), projected: false } },
  ])
  expect(suggestionsFrom(free, free, begun, now, site)).toEqual([])
})
