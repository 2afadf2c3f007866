import type { ClimateSteps } from '../../../core/calendar/types.ts'
import { MINUTES_PER_DAY, instant } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import { toInstant } from '../../../platform/times.ts'
import type { Typed } from '../../../platform/write.ts'
import {
  activePeople, batchLines, loadSystems, mixables, mixAsked, mixedFor, mixHints, mixValues, potNow, stockAsMass, systemLots, TYPED, type Mixable, type StoresSystem,
} from '../../stores/public.ts'
import { buildHead } from './build-page.ts'
import { climates } from './climate.ts'

/** A mixed mass that the task needs, and what of it was mixed. */
export type MixNeed = { productId: string; name: string; materials: string; needMg: number; mixedMg: number; leftMg: number; structural: boolean }

/** The card for a task's coat: its need less what was mixed for it, on the product's terms, in the place where it is done. */
export async function taskMix(db: Reader, buildId: string, taskId: string, query: Typed, now: Date, today: string, structuralTyped: boolean | null) {
  const build = await buildHead(db, buildId)
  const task = found(await db.task.findFirst({
    where: { id: taskId, buildId },
    select: {
      id: true, name: true, caution: true, handsTo: true, productId: true, finishedAt: true,
      places: { select: { place: { select: { id: true, name: true } } }, orderBy: { placeId: 'asc' } },
      materials: { where: { productId: { not: null }, unit: 'g' }, select: { name: true, productId: true, likely: true, structural: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] },
    },
  }))
  const [all, systems] = [await mixables(db), await loadSystems(db)]
  const needs = await needsOf(db, task.id, task.materials, all, systems)
  const asked = String(query['product'] ?? '')
  const productId = asked !== '' ? asked : (needs.find((n) => n.leftMg > 0)?.productId ?? needs[0]?.productId ?? task.productId ?? '')
  const source = all.find((m) => m.productId === productId) ?? null
  const need = needs.find((n) => n.productId === productId) ?? null
  const place = task.places[0]?.place ?? { id: build.placeId, name: build.place }
  const air = airAt(((await climates(db, toInstant(now), instant(toInstant(now) - MINUTES_PER_DAY), instant(toInstant(now) + MINUTES_PER_DAY))).get(place.id)) ?? [], toInstant(now))
  const defaults = { massMg: need && need.leftMg > 0 ? need.leftMg : null, people: Math.max(1, task.handsTo) }
  // Without a mass it is the need itself, where there is one left; a mass that was emptied is asked for.
  const isAsked = 'mass' in query
  const there = air === null ? null : { name: place.name, air }
  const answer = source !== null && (isAsked || defaults.massMg !== null) ? mixAsked(source, query, potNow(source, there), isAsked ? { people: defaults.people } : defaults) : null
  const shown = answer?.ok ? answer.value : null
  const system = source?.productId ? systems.get(source.productId) : undefined
  const first = shown?.card.masses[0]
  const structural = structuralTyped ?? need?.structural ?? true
  const lots = system && first ? await systemLots(db, system, { resinMg: first.a, hardenerMg: first.b }, structural, today) : null
  return {
    build, task: { id: task.id, name: task.name, caution: task.caution, isFinished: task.finishedAt !== null }, needs, need, shown, lots, structural,
    form: {
      products: all.map((m) => ({ id: m.productId ?? '', name: m.name })), values: mixValues(source ?? { ...TYPED, productId }, defaults), hints: mixHints(source ?? TYPED),
    },
    asked: isAsked ? { typed: { ...mixValues(source ?? { ...TYPED, productId }, defaults), ...query }, refusal: answer && !answer.ok ? answer.refusal : undefined } : answer && !answer.ok ? { typed: undefined, refusal: answer.refusal } : undefined,
    minors: build.team.filter((m) => m.isMinor && m.isActive).map((m) => m.name),
    members: await activePeople(db), batches: await batchLines(db, { taskId: task.id }),
  }
}
export type TaskMix = Awaited<ReturnType<typeof taskMix>>

type Material = { name: string; productId: string | null; likely: number; structural: boolean }

async function needsOf(db: Reader, taskId: string, materials: readonly Material[], all: readonly Mixable[], systems: ReadonlyMap<string, StoresSystem>): Promise<MixNeed[]> {
  const mixed = await mixedFor(db, taskId)
  const apart = await db.stockEntry.groupBy({ by: ['itemId'], where: { taskId, batchId: null }, _sum: { qtyMilli: true } })
  const drawn = new Map(apart.map((r) => [r.itemId, 0 - Number(r._sum.qtyMilli ?? 0n)]))
  const products = [...new Set(materials.flatMap((m) => m.productId ?? []))]
  return products.map((productId): MixNeed => {
    const mine = materials.filter((m) => m.productId === productId)
    const needMg = Math.round(mine.reduce((sum, m) => sum + m.likely, 0) * 1000)
    // Resin that was drawn by itself went into the same coat, where the task mixes nothing else.
    const alone = products.length === 1 ? mixedFrom(systems.get(productId), drawn) : 0
    const mixedMg = (mixed.get(productId) ?? 0) + alone
    return {
      productId, name: all.find((m) => m.productId === productId)?.name ?? 'a product that is no longer mixed', materials: [...new Set(mine.map((m) => m.name))].join(', '),
      needMg, mixedMg, leftMg: Math.max(0, needMg - mixedMg), structural: mine.some((m) => m.structural),
    }
  })
}

/** The mixed mass that the resin drawn for a task makes, in mg. */
function mixedFrom(system: StoresSystem | undefined, drawn: ReadonlyMap<string, number>): number {
  if (!system?.massRatio) return 0
  const resin = stockAsMass(system.resin, Math.max(0, drawn.get(system.resin.id) ?? 0)) ?? 0
  return Math.round((resin * (system.massRatio.a + system.massRatio.b)) / system.massRatio.a)
}

function airAt(climate: ClimateSteps, at: number): number | null {
  let air: number | null = null
  for (const step of climate) {
    if (step.from > at && air !== null) break
    air = step.value.air
  }
  return air
}
