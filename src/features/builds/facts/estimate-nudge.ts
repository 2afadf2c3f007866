/** What an estimate would say if one figure were another. Pure. */
import { EPOXY, estimate } from '../../../core/estimate/index.ts'
import type { Boat, EstimateSettings } from '../../../core/estimate/types.ts'
import { boatOf } from '../job-lists/boat.ts'
import type { BoatState } from '../job-lists/geometry.ts'
import type { JobList } from '../job-lists/types.ts'
import { goodsOf, grossOf, type PricedLine, type StoresView } from './estimate-lines.ts'
import { nudged, type MeasuredThing, type Weighed } from './estimate-guesses.ts'
import { centsFor } from './prices.ts'

type Asked = { readonly list: JobList; readonly state: BoatState; readonly boat: Boat; readonly settings: EstimateSettings; readonly figures: readonly { readonly def: { readonly key: string; readonly min: number; readonly max: number }; readonly figure: { readonly value: number } }[] }

/**
 * Likely epoxy and cost with one guess times a factor; null where it can't be reckoned. Sheets count by their share here, not whole ones:
 * a step of a sheet would hide what a figure does, or make too much of it.
 */
export function weighNudged(view: Asked, lines: readonly PricedLine[], stores: StoresView) {
  const known = new Map(lines.map((l) => [l.key, l]))
  return (thing: MeasuredThing | null, factor: number): Weighed | null => {
    const boat = thing === null ? view.boat : nudgedBoat(view, thing, factor)
    if (boat === null) return null
    let [epoxyG, cents] = [0, 0]
    for (const line of estimate(boat, view.settings)) {
      const gross = grossOf(line)
      if (line.material === EPOXY) epoxyG += gross.likely
      const { price = null, tie = null } = known.get(line.key) ?? {}
      if (price !== null) cents += centsFor(gross, line.unit, price, goodsOf(tie, stores))?.likely ?? 0
    }
    return { epoxyG, cents }
  }
}

function nudgedBoat({ list, state, boat, figures }: Asked, thing: MeasuredThing, factor: number): Boat | null {
  if (thing.kind !== 'scalar') return nudged(boat, thing, factor)
  const found = figures.find((f) => f.def.key === thing.key)
  if (found === undefined) return null
  const value = Math.min(found.def.max, Math.max(found.def.min, found.figure.value * factor))
  return boatOf(list, { ...state, measured: { ...state.measured, [thing.key]: value } }).boat
}
