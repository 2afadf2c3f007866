/** Shapes of a build's record. Minutes are those of all hands, money cents, days 'YYYY-MM-DD'. */
import type { Craft } from '../../../core/forecast/types.ts'
import type { LogLine, PhotoLine, SnagLine } from '../../builds/public.ts'
import type { BaselineLine } from '../progress/model.ts'

export type RecordBoat = {
  id: string
  name: string
  design: string
  state: 'active' | 'paused' | 'launched'
  place: string
  grade: 'workboat' | 'good' | 'show'
  list: { name: string; version: number | null } | null
  startedOn: string
  launchedOn: string | null
  inServiceOn: string | null
  maySetInService: boolean
  massTargetG: number | null
  version: number
  team: string[]
  /** Everybody who put hours into her, by name; how many each is nobody's business here. */
  hands: string[]
}

export type RecordMeasure = { key: string; label: string; unit: string; value: number; choice: string | null; isGuess: boolean }

export type RecordHours = {
  totalMin: number
  byPhase: { phase: string; minutes: number; byCraft: Partial<Record<Craft, number>> }[]
  byCraft: Partial<Record<Craft, number>>
  firstOn: string | null
  lastOn: string | null
}
export type Stretch = { at: Date; phase: string; task: string; craft: Craft; elapsedMin: number; hands: number; note: string }

export type RecordCoat = { id: string; task: string; phase: string; product: string; place: string; start: Date; end: Date; note: string }

export type RecordLot = {
  lotId: string
  number: number
  item: string
  unit: string
  code: string
  supplier: string | null
  receivedOn: string
  expiresOn: string | null
  /** Thousandths of the unit, less what came back. */
  milli: number
  /** Set for those who may see money. */
  cents: number | null
  /** The receipt of the whole lot. */
  paid: { milli: number; cents: number } | null
  firstOn: string
  lastOn: string
}

export type RecordBatch = { number: number; at: Date; product: string; massMg: number; ratio: string; task: string | null; lots: string[] }
export type RecordWeighIn = { id: string; day: string; massG: number; what: string; isWhole: boolean; note: string }

export type BuildRecord = {
  boat: RecordBoat
  measures: RecordMeasure[]
  hours: RecordHours
  coats: RecordCoat[]
  lots: RecordLot[]
  /** Of all materials; null: not for this reader. */
  cents: number | null
  batches: RecordBatch[]
  snags: SnagLine[]
  learnt: LogLine[]
  weighIns: RecordWeighIn[]
  baselines: BaselineLine[]
  reviews: { monday: string; no: number; signedAt: number }[]
  photos: PhotoLine[]
}
