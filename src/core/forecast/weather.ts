/**
 * Cures and gates when a month is colder or warmer than the climate model: tables for a few levels, made when first asked for.
 * A coat cures all the way at the level of the four weeks it went on in: cures last days, a level weeks.
 */
import { cureTable, gateAt, stageTime, type ConditionGate, type CureStage, type CureTable } from '../cure/index.ts'
import type { ClimateSteps } from '../calendar/types.ts'
import type { Model } from '../schedule/model.ts'
import { NO_TIMES, nextInside, openTimes, type OpenTimes } from '../schedule/open-times.ts'
import { FOREVER } from '../schedule/profile.ts'
import { celsius, type Instant } from '../units/index.ts'

/** Means of the five fifths of a standard normal distribution, stretched so that their deviation is 1. */
export const LEVELS: readonly number[] = [-1.4782, -0.5617, 0, 0.5617, 1.4782]
/** Level of a draw u: which fifth. */
export const levelOf = (u: number): number => Math.min(4, Math.floor(u * 5))
/** Four weeks have one level. */
export const BLOCK = 28 * 1440

export class Weather {
  private readonly model: Model
  private readonly first: number
  private readonly climates = new Map<string, ClimateSteps>()
  private readonly tables = new Map<string, CureTable>()
  private readonly gates = new Map<string, OpenTimes>()

  constructor(model: Model) {
    this.model = model
    const { tasks, fixed } = model.problem
    this.first = Math.min(0, ...tasks.flatMap((k) => (k.finished?.coat ? [k.finished.coat.start as number] : [])), ...fixed.map((f) => f.start as number))
  }

  /** A colder month has drier air too: the dew point goes with the air. Heating leaves the dew point where it is. */
  private climate(place: number, off: number, heated: number): ClimateSteps {
    const rows = this.model.problem.places[place]!.climate
    if (off === 0 && heated === 0) return rows
    const key = `${place}/${off}/${heated}`
    let found = this.climates.get(key)
    if (!found) {
      found = rows.map(({ from, value }) => ({ from, value: { air: celsius(value.air + off + heated), dewPoint: celsius(value.dewPoint + off) } }))
      this.climates.set(key, found)
    }
    return found
  }

  table(product: number, place: number, off: number, heated: number): CureTable {
    const key = `${product}/${place}/${off + heated}`
    let found = this.tables.get(key)
    if (!found) {
      const { products, horizon } = this.model.problem
      found = cureTable(products[product]!, this.climate(place, off, heated), this.first as Instant, horizon)
      this.tables.set(key, found)
    }
    return found
  }

  /** When all the gates are open; null: there is none. */
  gate(place: number, gates: readonly ConditionGate[], off: number, heated: number): OpenTimes | null {
    const real = gates.filter((g) => g.minAir !== null || g.maxAir !== null || g.maxHumidity !== null || g.dewPointMargin !== null)
    if (real.length === 0) return null
    const key = `${place} ${off} ${heated} ${real.map((g) => [g.minAir, g.maxAir, g.maxHumidity, g.dewPointMargin].join()).join(' ')}`
    let found = this.gates.get(key)
    if (!found) {
      const { horizon } = this.model
      const climate = this.climate(place, off, heated)
      const { surfaceOffset } = this.model.problem.places[place]!
      const rows: { start: number; end: number }[] = []
      climate.forEach((step, i) => {
        const start = i === 0 ? this.first - 1_000_000 : (step.from as number)
        const end = climate[i + 1] ? (climate[i + 1]!.from as number) : horizon + 1_000_000
        if (end > this.first && start <= horizon && real.every((g) => gateAt(g, step.value, surfaceOffset) === null)) rows.push({ start, end })
      })
      found = rows.length === 0 ? NO_TIMES : openTimes(rows)
      this.gates.set(key, found)
    }
    return found
  }
}

/** Instant of a stage of a coat put on over [start, end), or FOREVER: never within the horizon. */
export function reached(table: CureTable, stage: CureStage, start: number, end: number, horizon: number): number {
  const t = stageTime(table, stage, start as Instant, end as Instant)
  return t === null || t > horizon ? FOREVER : t
}

/** First instant from t on at which the gate of the level in force then is open, or FOREVER. */
export function nextOpen(gates: readonly OpenTimes[], levels: Uint8Array, t: number, horizon: number): number {
  let at = t
  while (at <= horizon) {
    const block = Math.max(0, Math.floor(at / BLOCK))
    const open = nextInside(gates[levels[Math.min(block, levels.length - 1)]!]!, at)
    const next = (block + 1) * BLOCK
    if (open >= 0 && (open < next || gates.length === 1)) return open
    if (gates.length === 1) return FOREVER
    at = next
  }
  return FOREVER
}
