/** What an estimate would say if one figure were another. Pure. */
import { EPOXY, estimate } from '../../../core/estimate/index.ts'
import type { Boat, EstimateSettings } from '../../../core/estimate/types.ts'
import { boatOf } from '../job-lists/boat.ts'
import type { BoatState } from '../job-lists/geometry.ts'
import type { JobList, MeasurementDef } from '../job-lists/types.ts'
import { goodsOf, grossOf, type PricedLine, type StoresView } from './estimate-lines.ts'
import { nudged, type MeasuredThing, type Weighed } from './estimate-guesses.ts'
import { centsFor } from './prices.ts'

type Asked = {
  readonly list: JobList
  readonly state: BoatState
  readonly boat: Boat
  readonly settings: EstimateSettings
  readonly figures: readonly { readonly def: Pick<MeasurementDef, 'key' | 'min' | 'max'>; readonly figure: { readonly value: number } }[]
}

const NOTHING: Boat = { panels: [], seams: [], surfaces: [], joints: [], timbers: [], extras: [] }

/** The one panel or seam alone: the rest of the boat takes the same, whatever it is. */
const alone = (boat: Boat, { kind, key }: MeasuredThing): Boat => {
  const it = (one: { readonly key: string }) => one.key === key
  return kind === 'panel' ? { ...NOTHING, panels: boat.panels.filter(it) } : { ...NOTHING, seams: boat.seams.filter(it) }
}

/**
 * Likely epoxy and cost with one guess times a factor. Sheets count by their share here, not whole ones: a step of a sheet would hide what
 * a figure does, or make too much of it.
 */
export function weighNudged({ list, state, boat, settings, figures }: Asked, lines: readonly PricedLine[], stores: StoresView) {
  const known = new Map(lines.map((l) => [l.key, l]))
  const weigh = (one: Boat): Weighed => {
    let [epoxyG, cents] = [0, 0]
    for (const line of estimate(one, settings)) {
      const gross = grossOf(line)
      if (line.material === EPOXY) epoxyG += gross.likely
      const { price = null, tie = null } = known.get(line.key) ?? {}
      if (price !== null) cents += centsFor(gross, line.unit, price, goodsOf(tie, stores))?.likely ?? 0
    }
    return { epoxyG, cents }
  }
  const base = weigh(boat)
  const reckon = (thing: MeasuredThing, factor: number): Weighed | null => {
    if (thing.kind !== 'scalar') {
      const one = alone(boat, thing)
      const [before, after] = [weigh(one), weigh(nudged(one, thing, factor))]
      return { epoxyG: base.epoxyG + after.epoxyG - before.epoxyG, cents: base.cents + after.cents - before.cents }
    }
    const found = figures.find((f) => f.def.key === thing.key)
    if (found === undefined) return null
    const value = Math.min(found.def.max, Math.max(found.def.min, found.figure.value * factor))
    return weigh(boatOf(list, { ...state, measured: { ...state.measured, [thing.key]: value } }).boat)
  }
  return { base, reckon }
}
