import { intersect, union } from '../../../core/calendar/index.ts'
import { cureTable, gateAt, relativeHumidity, stageTimes, type GateReason, type StageTimes } from '../../../core/cure/index.ts'
import type { Climate, ClimateSteps } from '../../../core/calendar/types.ts'
import type { Place } from '../../../core/schedule/problem.ts'
import { instant, type Instant } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import { loadPlaces, loadPresence } from '../../sessions/public.ts'
import { loadCureProducts, productChoices, type ProductChoice } from '../../stores/public.ts'
import { memberNames } from '../../members/public.ts'
import { DAY, localAt, nowInstant } from '../times.ts'
import { zoneAround } from './sessions.ts'

export type OvernightAsk = { product: string | null; place: string | null; /** local */ date: string | null; time: string | null; minutes: number }
export type Someone = { readonly name: string; readonly start: number; readonly end: number }

export type Overnight = {
  readonly product: string
  readonly place: string
  readonly hazard: string
  readonly start: number
  readonly end: number
  readonly times: StageTimes
  /** Why the coat must not be started in this climate; null: it may. */
  readonly gate: GateReason | null
  readonly limits: { readonly minAir: number | null; readonly maxAir: number | null; readonly maxHumidity: number | null; readonly dewPointMargin: number | null }
  readonly atStart: { readonly air: number; readonly humidity: number }
  /** Coldest air until the next noon, and when. */
  readonly coldest: { readonly at: number; readonly air: number }
  readonly cureFloor: number
  /** Who is there while the window is open. */
  readonly there: readonly Someone[]
  /** Who is there next after it opens (or is sandable), if nobody is in the window. */
  readonly next: Someone | null
}
export type OvernightPage = {
  readonly products: readonly ProductChoice[]
  readonly places: readonly { id: string; name: string }[]
  readonly ask: OvernightAsk
  readonly result: Overnight | null
}

const AHEAD = 21 * DAY

/** What becomes of a coat that is started in a place now, or at a time. */
export async function overnight(db: Reader, ask: OvernightAsk, at: Date): Promise<OvernightPage> {
  const [choices, rows] = await Promise.all([
    productChoices(db), db.place.findMany({ where: { isActive: true }, select: { id: true, name: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] }),
  ])
  const products = choices.filter((p) => p.isActive)
  const product = products.find((p) => p.id === ask.product) ?? null
  const place = rows.find((p) => p.id === ask.place) ?? null
  const result = product && place ? await reckon(db, ask, product, place, nowInstant(at), await startOf(db, ask, at)) : null
  return { products, places: rows, ask, result }
}

async function startOf(db: Reader, ask: OvernightAsk, at: Date): Promise<Instant> {
  const now = nowInstant(at)
  if (ask.date === null || ask.time === null) return now
  return localAt(await zoneAround(db, at), ask.date, ask.time)
}

async function reckon(db: Reader, ask: OvernightAsk, choice: ProductChoice, named: { id: string; name: string }, now: Instant, start: Instant): Promise<Overnight> {
  const end = instant(start + ask.minutes)
  const w = { now, from: instant(Math.min(now, start) - DAY), until: instant(end + AHEAD) }
  const [{ places }, products, presence, names] = [await loadPlaces(db, w), await loadCureProducts(db), await loadPresence(db, w), await memberNames(db)]
  const place = places.find((p) => p.id === named.id)!
  const product = products.find((p) => p.id === choice.id)!
  const times = stageTimes(cureTable(product, place.climate, start, w.until), start, end)
  const first = climateAt(place.climate, start)
  const people = peopleAt(place, presence, names)
  const { opens, closes } = times
  const isWindow = opens !== null && (closes === null || opens < closes)
  const there = isWindow ? inside(people, opens, closes ?? instant(opens + DAY)) : []
  const after = isWindow ? opens : times.sandable
  return {
    product: choice.name, place: named.name, hazard: choice.hazard, start, end, times,
    gate: gateAt(product.gate, first, place.surfaceOffset),
    limits: product.gate,
    atStart: { air: first.air, humidity: relativeHumidity(first.air, first.dewPoint) },
    coldest: coldest(place.climate, start, instant(start + 18 * 60)),
    cureFloor: product.cureFloor,
    there,
    next: there.length > 0 || after === null ? null : (people.filter((p) => p.end > after).sort(soonest)[0] ?? null),
  }
}

function climateAt(climate: ClimateSteps, t: number): Climate {
  let found = climate[0]!
  for (const step of climate) {
    if (step.from > t) break
    found = step
  }
  return found.value
}

function coldest(climate: ClimateSteps, from: number, until: number): { at: number; air: number } {
  let least = { at: from, air: climateAt(climate, from).air as number }
  for (const step of climate) if (step.from > from && step.from < until && step.value.air < least.air) least = { at: step.from, air: step.value.air }
  return least
}

function peopleAt(place: Place, presence: Awaited<ReturnType<typeof loadPresence>>, names: ReadonlyMap<string, string>): (Someone & { start: Instant; end: Instant })[] {
  return [...presence].flatMap(([id, rows]) => rows.filter((r) => r.siteId === place.siteId).map((r) => ({ name: names.get(id) ?? '', start: r.start, end: r.end })))
}

/** The people's stretches cut to the window, each person once a stretch. */
function inside(people: readonly (Someone & { start: Instant; end: Instant })[], opens: Instant, closes: Instant): Someone[] {
  const window = [{ start: opens, end: closes }]
  return people
    .flatMap((p) => intersect(union([p]), window).map((part) => ({ name: p.name, start: part.start, end: part.end })))
    .sort(soonest)
}

const soonest = (a: Someone, b: Someone): number => a.start - b.start || (a.name < b.name ? -1 : a.name > b.name ? 1 : 0)
