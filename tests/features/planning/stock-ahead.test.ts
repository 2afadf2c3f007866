import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { instant } from '../../../src/core/units/index.ts'
import { buyingList, purchase } from '../../../src/features/planning/buying.ts'
import { leftPastDate, lookAhead, type Ahead, type Days, type Question } from '../../../src/features/planning/outlook.ts'
import type { StockItem, StockNeed, StockOrder } from '../../../src/features/planning/stock-model.ts'

const DAY = 1440
/** Day n of June 2026, at an hour; the club's clock is UTC. Today is 1 June, 08:00. */
const june = (day: number, hour = 0) => instant(Date.UTC(2026, 5, day, hour) / 60_000)
const days: Days = {
  now: june(1, 8),
  today: '2026-06-01',
  dateAt: (t) => new Date(t * 60_000).toISOString().slice(0, 10),
  endOf: (date) => instant(Date.parse(`${date}T00:00:00Z`) / 60_000 + DAY),
}

const item = (over: Partial<StockItem> = {}): StockItem => (
  { id: 'resin', name: 'Epoxy resin', unit: 'g', shelf: '', leadDays: 10, safetyMilli: 0, supplier: null, packs: [], ...over }
)
const need = (at: number | null, milli: number, over: Partial<StockNeed> = {}): StockNeed => (
  { taskId: `t${at}`, buildId: 'b', at, milli, structural: true, covered: days.now, short: 0, ...over }
)
const order = (day: number, milli: number): StockOrder => (
  { orderId: `o${day}`, number: day, supplier: null, due: `2026-06-${String(day).padStart(2, '0')}`, at: june(day + 1), milli, isOverdue: false }
)
const ask = (over: Partial<Question> = {}): Question => (
  { item: item(), there: { fresh: 1_000, notStructural: 0, testFirst: 0 }, orders: [], needs: [], draws: null, since: null, ...over }
)

describe('the look ahead at an item', () => {
  test('the last day to order is the one on which an order still arrives before the shortage', () => {
    // 1,000 − 700 − 600: 300 short on 20 June at 10:00. An order comes by the end of its day: by the end of the 19th, ten days after the 9th.
    const a = lookAhead(ask({ needs: [need(june(6, 10), 700), need(june(20, 10), 600)] }), days)
    expect(a.runOut).toMatchObject({ at: june(20, 10), missing: 300, until: null })
    expect([a.buy, a.orderBy, a.isLate, a.arrives]).toEqual([300, '2026-06-09', false, '2026-06-11'])
    expect(days.endOf('2026-06-19')).toBeLessThanOrEqual(june(20, 10))
    expect(days.endOf('2026-06-20')).toBeGreaterThan(june(20, 10))
  })

  test('safety stock is kept: the order-by day is that of the fall below it, the run-out that of the need', () => {
    // 1,000 − 700 = 300 is below 400 from the 14th on (order by the 3rd); 300 − 600 is short on the 20th. To keep 400: 700.
    const a = lookAhead(ask({ item: item({ safetyMilli: 400 }), needs: [need(june(14, 10), 700), need(june(20, 10), 600)] }), days)
    expect(a.runOut).toMatchObject({ at: june(20, 10), missing: 300 })
    expect([a.buy, a.orderBy, a.fallsAt]).toEqual([700, '2026-06-03', june(14, 10)])
  })

  test('what is short only until an order under way comes, and no sooner order could mend, is not ordered again', () => {
    // 1,500 on 5 June with 1,000 there: 500 short until the order of 2,000 is here at the end of the 9th; ordered today it would be the 11th.
    const a = lookAhead(ask({ needs: [need(june(5, 10), 1_500)], orders: [order(9, 2_000)] }), days)
    expect(a.runOut).toMatchObject({ at: june(5, 10), missing: 500, until: june(10) })
    expect([a.buy, a.orderBy]).toEqual([0, null])
  })

  test('what is short until a later order comes is ordered, if an order of today comes sooner', () => {
    // The same order only on the 25th, the need on the 15th: 500 are missing from the 15th to the 25th.
    const a = lookAhead(ask({ needs: [need(june(15, 10), 1_500)], orders: [order(25, 2_000)] }), days)
    expect([a.buy, a.orderBy]).toEqual([500, '2026-06-04'])
  })

  test('an order that can’t be in time any more is late, and still made', () => {
    const a = lookAhead(ask({ needs: [need(june(3, 10), 1_500)] }), days)
    expect([a.buy, a.isLate, a.runOut?.until]).toEqual([500, true, null])
  })

  test('needs that bear no load take what is not for structure first; what must be tested counts for nothing', () => {
    const there = { fresh: 1_000, notStructural: 400, testFirst: 5_000 }
    // 600 without load: 400 + 200; then 900 of the 800 that are left.
    const a = lookAhead(ask({ there, needs: [need(june(5, 10), 600, { structural: false }), need(june(20, 10), 900)] }), days)
    expect(a.runOut).toMatchObject({ at: june(20, 10), missing: 100 })
    expect(a.buy).toBe(100)
  })

  test('only what is needed before the horizon counts; work without a day only if asked for', () => {
    const needs = [need(june(6, 10), 700), need(june(20, 10), 600), need(null, 2_000)]
    expect(lookAhead(ask({ needs }), days, june(19)).buy).toBe(0)
    expect(lookAhead(ask({ needs }), days, june(21)).buy).toBe(300)
    expect(lookAhead(ask({ needs }), days, june(21), true).buy).toBe(2_300)
    expect(lookAhead(ask({ needs }), days).undated).toBe(2_000)
  })

  test('an item that no task asks for is ordered at its reorder point, and not before', () => {
    // Ten days of 10 in the last hundred: mean 1 a day. Squares 10 × 100 − 100 × 1 = 900, / 99 = 9.0909: sd 3.01511.
    // 1 × 10 + 1.644854 × 3.01511 × √10 (3.162278) = 10 + 15.6831 = 25.6831: 26 whole units.
    const today = Date.UTC(2026, 5, 1) / 86_400_000
    const draws = Array.from({ length: 10 }, (_, n) => ({ day: today - 3 - n * 10, qty: 10_000 }))
    const pieces = (fresh: number) => lookAhead(
      ask({ item: item({ unit: 'pcs' }), there: { fresh, notStructural: 0, testFirst: 0 }, draws, since: '2026-02-22' }), days,
    )
    expect(pieces(40_000).reorder).toMatchObject({ point: 26_000, perDay: 1_000, days: 100, position: 40_000 })
    // 40 − 26 = 14 days until it comes down to the point.
    expect([pieces(40_000).buy, pieces(40_000).orderBy]).toEqual([0, '2026-06-15'])
    // At 26: up to the point and 56 days of use, 26 + 56 − 26.
    expect([pieces(26_000).buy, pieces(26_000).orderBy]).toEqual([56_000, '2026-06-01'])
  })

  test('too few draws say nothing, and a task that asks for it makes the past of no account', () => {
    const today = Date.UTC(2026, 5, 1) / 86_400_000
    const draws = [1, 2, 3].map((n) => ({ day: today - n, qty: 300 }))
    expect(lookAhead(ask({ draws, since: '2026-05-20' }), days).reorder).toBeNull()
    expect(lookAhead(ask({ draws: draws.slice(1), since: '2026-01-01' }), days).reorder).toBeNull()
    expect(lookAhead(ask({ draws, since: '2026-01-01' }), days).reorder).not.toBeNull()
    expect(lookAhead(ask({ draws, since: '2026-01-01', needs: [need(june(6), 1)] }), days).reorder).toBeNull()
  })

  test('lots that pass their date before they are used up, drawn first expired first', () => {
    const lot = (number: number, lastDay: string, milli: number) => ({ id: `l${number}`, number, lastDay, milli })
    const needs = [need(june(5, 10), 300), need(june(12, 10), 500), need(june(25, 10), 900)]
    // By the end of the 10th 300 are asked: of lot 2 (400) 100 stay. By the end of the 20th 800: 300 from lot 2, 500 more from lot 1 (600): 100 stay.
    // Lot 3 outlasts the time looked at.
    const lots = [lot(1, '2026-06-20', 600), lot(2, '2026-06-10', 400), lot(3, '2026-12-01', 1_000)]
    expect(leftPastDate(lots, needs, days, june(30)).map((l) => [l.number, l.left])).toEqual([[2, 100], [1, 100]])
    // On its last day a lot is still good.
    expect(leftPastDate([lot(4, '2026-06-05', 300)], needs, days, june(30))).toEqual([])
    expect(leftPastDate([lot(4, '2026-06-04', 300)], needs, days, june(30)).map((l) => l.left)).toEqual([300])
  })

  test('whatever is asked and on order: ordered today as said, nothing is short or below safety stock once it is here, and no less would do', () => {
    const amounts = fc.integer({ min: 1, max: 3_000 })
    const world = fc.record({
      fresh: fc.integer({ min: 0, max: 5_000 }), safety: fc.integer({ min: 0, max: 1_500 }), lead: fc.integer({ min: 0, max: 15 }),
      needs: fc.array(fc.tuple(fc.integer({ min: 1, max: 28 }), amounts), { maxLength: 6 }), orders: fc.array(
        fc.tuple(fc.integer({ min: 1, max: 28 }), amounts), { maxLength: 3 },
      ),
    })
    fc.assert(fc.property(world, ({ fresh, safety, lead, needs, orders }) => {
      const question = ask({
        item: item({ safetyMilli: safety, leadDays: lead }), there: { fresh, notStructural: 0, testFirst: 0 },
        needs: needs.map(([d, n]) => need(june(d, 10), n)).sort((a, b) => a.at! - b.at!), orders: orders.map(([d, n]) => order(d, n)),
      })
      const a = lookAhead(question, days)
      // Said again from nothing but sums: the level at any time is what is there and has come, less what was asked for.
      const arrives = days.endOf(a.arrives)
      const level = (t: number, more: number) =>
        fresh + (t >= arrives ? more : 0) + orders.reduce((sum, [d, n]) => sum + (june(d + 1) <= t ? n : 0), 0) - needs.reduce(
          (sum, [d, n]) => sum + (Math.max(june(d, 10), days.now) <= t ? n : 0), 0,
        )
      const times = [arrives, ...needs.map(([d]) => june(d, 10)), ...orders.map(([d]) => june(d + 1)), june(60)].filter((t) => t >= arrives)
      const lowest = (more: number) => Math.min(...times.map((t) => level(t, more)))
      expect(lowest(a.buy)).toBeGreaterThanOrEqual(safety)
      if (a.buy > 0) expect(lowest(a.buy - 1)).toBeLessThan(safety)
    }), { numRuns: 300 })
  })
})

describe('the buying list', () => {
  const shop = { id: 's1', name: 'Harbour Supplies' }
  const mill = { id: 's2', name: 'Inland Mill' }
  const pack = (id: string, milli: number, priceCents: number, supplier: typeof shop | null = null) => (
    { id, name: id, milli, priceCents, orderCode: '', supplier }
  )
  const ahead = (over: Partial<StockItem>, milli: number): Ahead => lookAhead(
    ask({ item: item(over), there: { fresh: 0, notStructural: 0, testFirst: 0 }, needs: [need(june(20, 10), milli)] }), days,
  )

  test('the cheapest packs of one supplier, never short and less than one pack over', () => {
    // 2,300 from 1,000 at 24.00 and 2,500 at 50.00: one of 2,500 is cheaper than three of 1,000.
    const packs = [pack('can', 1_000, 2_400), pack('drum', 2_500, 5_000)]
    expect(purchase(item({ supplier: shop, packs }), 2_300)).toMatchObject(
      { supplier: shop, packs: [{ count: 1, pack: { id: 'drum' } }], milli: 2_500, over: 200, costCents: 5_000 }
    )
    // Another supplier has the can for 15.00: three of them at 45.00.
    expect(purchase(item({ supplier: shop, packs: [...packs, pack('cheap', 1_000, 1_500, mill)] }), 2_300)).toMatchObject(
      { supplier: mill, packs: [{ count: 3 }], costCents: 4_500 }
    )
    // At the same cost the usual supplier's.
    expect(purchase(item({ supplier: shop, packs: [pack('a', 1_000, 900, mill), pack('b', 1_000, 900)] }), 1).supplier).toBe(shop)
  })

  test('a pack without a price is not taken for free while others have one; with none at all the cost is not known', () => {
    const priced = purchase(item({ supplier: shop, packs: [pack('can', 1_000, 2_400), pack('unknown', 5_000, 0)] }), 2_300)
    expect([priced.packs.map((p) => p.pack.id), priced.costCents, priced.isPriced]).toEqual([['can'], 7_200, true])
    expect(purchase(item({ packs: [pack('unknown', 5_000, 0)] }), 2_300)).toMatchObject({ milli: 5_000, isPriced: false })
    expect(purchase(item(), 2_300)).toMatchObject({ packs: [], isPriced: false })
  })

  test('it is in order of supplier, its sums add up, and what is covered is not on it', () => {
    const groups = buyingList([
      ahead({ id: 'a', name: 'Ply', supplier: mill, packs: [pack('sheet', 1_000, 6_000)] }, 1_500),
      ahead({ id: 'b', name: 'Resin', supplier: shop, packs: [pack('can', 1_000, 2_400)] }, 2_300),
      ahead({ id: 'c', name: 'Hardener', supplier: shop, packs: [pack('bottle', 500, 1_600)], leadDays: 12 }, 800),
      ahead({ id: 'd', name: 'Timber' }, 800),
      lookAhead(ask({ item: item({ id: 'e', name: 'Wood flour' }), needs: [need(june(20), 900)] }), days),
    ])
    // Of one supplier the hardener first: it takes two days longer, so must be ordered two days sooner. 3 × 24 + 2 × 16 = 104; 2 × 60 = 120.
    expect(groups.map((g) => [g.supplier?.name ?? null, g.lines.map((l) => l.ahead.item.name), g.costCents])).toEqual([
      ['Harbour Supplies', ['Hardener', 'Resin'], 10_400], ['Inland Mill', ['Ply'], 12_000], [null, ['Timber'], 0],
    ])
  })
})
