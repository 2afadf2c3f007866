/** What the club has of some items, lot by lot, as somebody at the shelf needs it. */
import { lastDay, pickLots, stateOn, type LotState } from '../../../core/stock/index.ts'
import { milli } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import { isoDate } from '../../../platform/times.ts'
import { CLUB_HOLDER, lastDayOf } from '../../stores/public.ts'

export type ShelfLot = { id: string; number: number; leftMilli: number; state: LotState; until: string | null; tareMg: number | null }
export type Shelf = {
  itemId: string
  name: string
  unit: string
  kind: string
  shelf: string
  density: number | null
  signalWord: string
  hazards: string[]
  /** First expired first for what bears load, then the others. */
  lots: ShelfLot[]
  /** Usable where load is borne, and usable at all; past its date and not tested is neither. */
  structureMilli: number
  anyMilli: number
  testFirstMilli: number
}

const day = (at: Date | null): string | null => (at === null ? null : isoDate(at))

export async function shelf(db: Reader, today: string, itemIds: readonly string[]): Promise<Map<string, Shelf>> {
  const items = await db.item.findMany({
    where: { id: { in: [...itemIds] } },
    select: {
      id: true, name: true, unit: true, kind: true, shelf: true, density: true, openedLifeDays: true, signalWord: true, hazards: true,
      lots: {
        where: { balances: { some: { holderId: CLUB_HOLDER, qtyMilli: { gt: 0 } } } },
        select: {
          id: true, number: true, state: true, expiresOn: true, openedOn: true, tareMg: true,
          balances: { where: { holderId: CLUB_HOLDER }, select: { qtyMilli: true } },
          tests: { where: { state: 'fresh', expiresOn: { not: null } }, select: { expiresOn: true }, orderBy: [{ expiresOn: 'desc' }, { id: 'asc' }], take: 1 },
        },
        orderBy: { number: 'asc' },
      },
    },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
  return new Map(items.map((i) => {
    const lots = i.lots.map((l) => ({
      id: l.id, number: l.number, left: milli(Number(l.balances[0]?.qtyMilli ?? 0n)), state: l.state, opened: day(l.openedOn),
      expires: lastDayOf(day(l.expiresOn), day(l.openedOn), i.openedLifeDays), testedUntil: day(l.tests[0]?.expiresOn ?? null), tareMg: l.tareMg === null ? null : Number(l.tareMg),
    }))
    const whole = milli(Number.MAX_SAFE_INTEGER)
    const structure = pickLots(lots, whole, { structural: true, today }).picks
    const any = pickLots(lots, whole, { structural: false, today }).picks
    const sum = (parts: readonly { qty: number }[]) => parts.reduce((n, p) => n + p.qty, 0)
    const rank = new Map([...structure, ...any].map((p) => p.lotId).map((id, at) => [id, at] as const).reverse())
    const inOrder = lots.toSorted((a, b) => (rank.get(a.id) ?? Infinity) - (rank.get(b.id) ?? Infinity) || a.number - b.number)
    return [i.id, {
      itemId: i.id, name: i.name, unit: i.unit, kind: i.kind, shelf: i.shelf, density: i.density, signalWord: i.signalWord, hazards: i.hazards,
      lots: inOrder.map((l) => ({ id: l.id, number: l.number, leftMilli: l.left, state: stateOn(l, today), until: lastDay(l), tareMg: l.tareMg })),
      structureMilli: sum(structure), anyMilli: sum(any), testFirstMilli: lots.filter((l) => stateOn(l, today) === 'test_first').reduce((n, l) => n + l.left, 0),
    } satisfies Shelf]
  }))
}
