import { expect, test } from 'vitest'
import type { Plan } from '../../../src/core/schedule/answer.ts'
import { instant } from '../../../src/core/units/index.ts'
import { othersMoved, outcomeOf, resinOf, type Answered } from '../../../src/features/planning/option-sheets/outcome.ts'
import { offsetTable } from '../../../src/platform/zone.ts'

const at = (iso: string) => instant(Date.parse(`${iso}:00Z`) / 60_000)
const NOW = at('2026-05-30T08:00')
const zone = offsetTable('Europe/Berlin', instant(NOW - 1_000_000), instant(NOW + 1_000_000))

type Task = { id: string; buildId: string; needs?: Record<string, number>; minutes?: number; done?: boolean }
type Supply = [at: string, amount: number]

/** What the planner was asked and answered, as far as an option sheet looks at it. */
function answered(over: { tasks: Task[]; supplies?: Record<string, Supply[]>; pieces?: [task: string, start: string, projected?: boolean][]; launches?: Record<string, string | null>; short?: Record<string, number>; missed?: string[] }): Answered {
  const buildOf = new Map(over.tasks.map((t) => [t.id, t.buildId]))
  const problem = {
    zone, now: NOW,
    tasks: over.tasks.map((t) => ({
      id: t.id, buildId: t.buildId, finished: t.done ? {} : null, work: { kind: 'shared', work: t.minutes ?? 60, handsFrom: 1, handsTo: 1 },
      materials: Object.entries(t.needs ?? {}).map(([materialId, amount]) => ({ materialId, amount, structural: true })),
    })),
    links: [{ id: 'window', from: 'a', to: 'b', kind: 'window', wash: null }, { id: 'other', from: 'x', to: 'y', kind: 'window', wash: null }],
    materials: Object.entries(over.supplies ?? {}).map(([id, rows]) => ({ id, leadTime: 0, supplies: rows.map(([when, amount]) => ({ at: at(when), amount, fit: 'structure' })) })),
    builds: [{ id: 'hers' }, { id: 'tern' }],
  }
  const plan = {
    pieces: (over.pieces ?? []).map(([taskId, start, projected = false]) => ({ taskId, buildId: buildOf.get(taskId), start: at(start), end: instant(at(start) + 60), projected })),
    builds: Object.entries(over.launches ?? {}).map(([buildId, launch]) => ({ buildId, launch: launch === null ? null : at(launch) })),
    needs: over.tasks.flatMap((t) => Object.entries(t.needs ?? {}).map(([materialId, amount]) => ({ taskId: t.id, materialId, amount, structural: true, wanted: NOW, covered: NOW, short: over.short?.[t.id] ?? 0, shortArrives: null }))),
    missed: (over.missed ?? []).map((linkId) => ({ linkId })),
  }
  return { loaded: { problem } as unknown as Answered['loaded'], plan: plan as unknown as Plan }
}

const ITEMS = new Map([['resin', { name: 'Resin', unit: 'g' }], ['hardener', { name: 'Hardener', unit: 'g' }], ['cloth', { name: 'Cloth', unit: 'm2' }]])

test('resin left at her launch: on hand and on order by then, less what all builds take up to then', () => {
  const a = answered({
    tasks: [{ id: 'a', buildId: 'hers', needs: { resin: 3000 } }, { id: 'b', buildId: 'tern', needs: { resin: 2000 } }, { id: 'c', buildId: 'tern', needs: { resin: 9000 } }],
    pieces: [['a', '2026-06-06T08:00'], ['b', '2026-06-07T08:00'], ['c', '2026-08-01T08:00']],
    supplies: { resin: [['2026-05-30T08:00', 10_000], ['2026-06-05T22:00', 1000], ['2026-09-01T22:00', 50_000]] },
    launches: { hers: '2026-07-01T12:00', tern: '2026-09-01T12:00' },
  })
  // 10 000 there and 1000 in June, less 3000 and 2000; what Tern takes in August and what comes in September is later.
  expect(outcomeOf(a, 'hers', ['resin', 'gone'], ITEMS).resin).toEqual([{ itemId: 'resin', name: 'Resin', unit: 'g', milli: 6000 }])
  // Without a launch date all that is planned counts: 61 000 − 14 000.
  const never: Answered = { ...a, plan: { ...a.plan!, builds: [{ buildId: 'hers', launch: null }] } as unknown as Plan }
  expect(outcomeOf(never, 'hers', ['resin'], ITEMS).resin[0]?.milli).toBe(47_000)
  expect(outcomeOf({ ...a, plan: null }, 'hers', ['resin'], ITEMS)).toMatchObject({ launch: null, resin: [], short: [], missed: 0 })
})

test('what is missing for her is added up by item, and windows are hers alone', () => {
  const a = answered({
    tasks: [{ id: 'a', buildId: 'hers', needs: { cloth: 500 } }, { id: 'b', buildId: 'hers', needs: { cloth: 700 } }, { id: 'x', buildId: 'tern', needs: { cloth: 900 } }, { id: 'y', buildId: 'tern' }],
    short: { a: 200, b: 700, x: 900 }, missed: ['window', 'other'],
  })
  expect(outcomeOf(a, 'hers', [], ITEMS)).toMatchObject({ short: [{ itemId: 'cloth', milli: 900 }], missed: 1 })
  expect(outcomeOf(a, 'tern', [], ITEMS)).toMatchObject({ short: [{ itemId: 'cloth', milli: 900 }], missed: 1 })
})

test('work left is of her tasks that are not finished', () => {
  const a = answered({ tasks: [{ id: 'a', buildId: 'hers', minutes: 90 }, { id: 'b', buildId: 'hers', minutes: 30, done: true }, { id: 'c', buildId: 'tern', minutes: 60 }] })
  expect(outcomeOf(a, 'hers', [], ITEMS).leftMin).toBe(90)
})

test('a system is hers when she takes one part of it', () => {
  const { loaded } = answered({ tasks: [{ id: 'a', buildId: 'hers', needs: { hardener: 10 } }, { id: 'b', buildId: 'tern', needs: { cloth: 10 } }] })
  const systems = [{ resinId: 'resin', hardenerId: 'hardener' }, { resinId: 'other', hardenerId: 'cloth' }]
  expect(resinOf(loaded, 'hers', systems)).toEqual(['resin', 'hardener'])
})

test('other builds’ launches are told when their day moves, and their week where people are only assumed to come', () => {
  const tasks = [{ id: 'a', buildId: 'hers' }, { id: 't', buildId: 'tern' }]
  const with_ = (launch: string | null, projected = false) => answered({ tasks, pieces: launch === null ? [] : [['t', launch, projected]], launches: { hers: null, tern: launch } })
  const own = with_('2026-07-04T10:00')
  expect(othersMoved(own, with_('2026-07-04T15:00'), 'hers')).toEqual([])
  expect(othersMoved(own, with_('2026-07-05T10:00'), 'hers')).toMatchObject([{ buildId: 'tern', from: { start: at('2026-07-04T10:00') }, to: { start: at('2026-07-05T10:00') } }])
  expect(othersMoved(own, with_(null), 'hers')).toMatchObject([{ buildId: 'tern', to: null }])
  // Thursday 6 and Sunday 9 August are of one week, Monday 10 is of the next.
  const far = with_('2026-08-06T10:00', true)
  expect(othersMoved(far, with_('2026-08-09T10:00', true), 'hers')).toEqual([])
  expect(othersMoved(far, with_('2026-08-10T10:00', true), 'hers')).toHaveLength(1)
  expect(othersMoved(own, { ...own, plan: null }, 'hers')).toEqual([])
  expect(othersMoved(own, own, 'hers')).toEqual([])
})
