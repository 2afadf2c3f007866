import { arrheniusRate } from '../../../core/cure/index.ts'
import { lastDay, pickLots, stateOn } from '../../../core/stock/index.ts'
import { milli } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import { isoDate } from '../../../platform/times.ts'
import type { PartLots, PotNow, SystemLots } from '../../../../views/shared/mixing-types.ts'
import { lastDayOf } from '../facts/held.ts'
import { USUAL, type Mixable } from '../facts/mix.ts'
import { loadSystems, ratioOf, stockAsMass, type StoresSystem } from './systems.ts'

const CLUB = { memberId: null } as const

/** Everything with two parts: systems of the stores, and cure products whose data sheet gives a ratio. */
export async function mixables(db: Reader): Promise<Mixable[]> {
  const systems = await loadSystems(db)
  const rows = await db.cureProduct.findMany({
    where: { OR: [{ isActive: true, ratioA: { not: null } }, { system: { isNot: null } }] },
    orderBy: [{ isActive: 'desc' }, { name: 'asc' }, { id: 'asc' }],
  })
  return rows.map((p): Mixable => {
    const system = systems.get(p.id)
    return {
      productId: p.id, name: p.name, hazard: p.hazard,
      resin: system?.resin.name ?? 'Resin', hardener: system?.hardener.name ?? 'Hardener',
      potLife: p.potLifeMin === null ? null : { minutes: p.potLifeMin, massG: p.potMassG, temp: p.potTemp },
      ratio: system?.ratio ?? ratioOf(p),
      densityA: system?.densities?.a ?? p.densityA, densityB: system?.densities?.b ?? p.densityB,
      limitMg: system?.batchLimitMg ?? USUAL.limitMg, stepMg: system?.scaleStepMg ?? USUAL.stepMg, strokes: system?.strokes ?? null,
      potEnergy: p.potEnergy, hasSystem: system !== undefined,
    }
  })
}

/** How a pot's time in a place compares with its data sheet's; null where the sheet gives no temperature. */
export function potNow(source: Mixable, place: { name: string; air: number } | null): PotNow | null {
  const temp = source.potLife?.temp ?? null
  return place === null || temp === null ? null : { place: place.name, air: place.air, rate: arrheniusRate(place.air, temp, source.potEnergy) }
}

/** Where the club's resin and hardener for a batch would come from. */
export async function systemLots(db: Reader, system: StoresSystem, need: { resinMg: number; hardenerMg: number }, structural: boolean, today: string): Promise<SystemLots> {
  const one = async (part: StoresSystem['resin'], mg: number): Promise<PartLots> => {
    const rows = await db.lot.findMany({
      where: { itemId: part.id, balances: { some: { qtyMilli: { gt: 0 }, holder: CLUB } } },
      select: {
        id: true, number: true, state: true, expiresOn: true, openedOn: true, balances: { where: { holder: CLUB }, select: { qtyMilli: true } },
        item: { select: { openedLifeDays: true } },
        tests: { where: { state: 'fresh', expiresOn: { not: null } }, select: { expiresOn: true }, orderBy: [{ expiresOn: 'desc' }, { id: 'asc' }], take: 1 },
      },
      orderBy: { number: 'asc' },
    })
    const mass = (qty: number) => stockAsMass(part, qty) ?? 0
    const lots = rows.map((r) => ({
      id: r.id, number: r.number, left: milli(Number(r.balances[0]?.qtyMilli ?? 0n)), state: r.state,
      expires: lastDayOf(r.expiresOn && isoDate(r.expiresOn), r.openedOn && isoDate(r.openedOn), r.item.openedLifeDays),
      testedUntil: r.tests[0]?.expiresOn ? isoDate(r.tests[0].expiresOn) : null, opened: r.openedOn && isoDate(r.openedOn),
    }))
    const need = milli(part.unit === 'g' ? mg : Math.round(mg / (part.density ?? 1)))
    const all = pickLots(lots, milli(Number.MAX_SAFE_INTEGER), { structural, today }).picks.map((p) => p.lotId)
    const picked = pickLots(lots, need, { structural, today })
    const line = (lot: (typeof lots)[number], mayServe: boolean) => ({
      id: lot.id, number: lot.number, leftMg: mass(lot.left), state: stateOn(lot, today), until: lastDay(lot), isOpen: lot.opened !== null, mayServe,
    })
    const byId = new Map(lots.map((l) => [l.id, l]))
    return {
      itemId: part.id, name: part.name,
      lots: [...all.map((id) => line(byId.get(id)!, true)), ...lots.filter((l) => !all.includes(l.id)).map((l) => line(l, false))],
      picks: picked.picks.map((p) => ({ number: byId.get(p.lotId)!.number, mg: mass(p.qty) })),
      shortMg: mass(picked.short),
    }
  }
  return { resin: await one(system.resin, need.resinMg), hardener: await one(system.hardener, need.hardenerMg) }
}

/** Who may have mixed. */
export const activePeople = (db: Reader) => db.member.findMany({ where: { isActive: true }, select: { id: true, name: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] })
