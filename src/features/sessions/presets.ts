import { instant, MINUTES_PER_DAY } from '../../core/units/index.ts'
import { offsetTable } from '../../platform/zone.ts'

export type ClimatePreset = {
  readonly key: string
  readonly name: string
  readonly about: string
  readonly monthlyAir: readonly number[]
  readonly monthlyDew: readonly number[]
  readonly halfSwing: number
  readonly heatTo: number | null
  readonly heatBeforeMin: number
  readonly settleMin: number
}

// Months of a mild coast of the north, January first, °C: from memory, for a start. Readings and the club's own figures replace them.
const OUTSIDE_DEW = [1, 1, 2, 4, 8, 11, 13, 13, 11, 8, 4, 2]

export const climatePresets: readonly ClimatePreset[] = [
  {
    key: 'workshop', name: 'Workshop heated for sessions', about: 'Brick or timber building, stove or heater on from two hours before a session.',
    monthlyAir: [7, 7, 9, 12, 16, 19, 21, 21, 18, 14, 10, 8], monthlyDew: OUTSIDE_DEW, halfSwing: 2.5, heatTo: 16, heatBeforeMin: 120, settleMin: 120,
  },
  {
    key: 'shed', name: 'Unheated shed or garage', about: 'Follows the weather outside, a little milder.',
    monthlyAir: [5, 5, 7, 10, 14, 17, 19, 19, 16, 12, 8, 6], monthlyDew: OUTSIDE_DEW, halfSwing: 4, heatTo: null, heatBeforeMin: 120, settleMin: 120,
  },
  {
    key: 'tent', name: 'Paint tent in a workshop', about: 'Foil tent with its own heater, warmed up from the evening before; dust needs longer to settle.',
    monthlyAir: [8, 8, 10, 13, 17, 20, 21, 21, 19, 15, 11, 9], monthlyDew: OUTSIDE_DEW, halfSwing: 2, heatTo: 18, heatBeforeMin: 720, settleMin: 240,
  },
  {
    key: 'room', name: 'Room of a house', about: 'Lived in and warm all year.',
    monthlyAir: [18, 18, 18, 19, 20, 21, 22, 22, 20, 19, 18, 18], monthlyDew: [5, 5, 6, 7, 10, 12, 14, 14, 12, 9, 7, 6], halfSwing: 1.5, heatTo: null, heatBeforeMin: 120, settleMin: 60,
  },
]

/** The preset with this key (the first when there is none), its months turned by half a year for a club of the south. */
export function climatePreset(key: string | undefined, south: boolean): ClimatePreset {
  const preset = climatePresets.find((p) => p.key === key) ?? climatePresets[0]!
  const turn = (months: readonly number[]) => [...months.slice(6), ...months.slice(0, 6)]
  return south ? { ...preset, monthlyAir: turn(preset.monthlyAir), monthlyDew: turn(preset.monthlyDew) } : preset
}

/** Zones south of the equator that keep no summer time, by the start of their names; the others show it by their clocks. */
const SOUTH = ['Africa/Johannesburg', 'Africa/Harare', 'Africa/Maputo', 'Africa/Windhoek', 'America/Argentina/', 'America/Sao_Paulo', 'America/Montevideo', 'America/Lima', 'Australia/', 'Indian/Mauritius', 'Indian/Reunion', 'Antarctica/']

/** Whether a zone's summer is around January: its clocks are ahead then. A guess for a first climate that people look at before they keep it. */
export function isSouthern(zone: string, now: Date): boolean {
  if (SOUTH.some((start) => zone.startsWith(start))) return true
  const offset = (month: number) => {
    const at = instant(Math.floor(Date.UTC(now.getUTCFullYear(), month, 15) / 60_000))
    return offsetTable(zone, at, instant(at + MINUTES_PER_DAY))[0]!.offset
  }
  return offset(0) > offset(6)
}
