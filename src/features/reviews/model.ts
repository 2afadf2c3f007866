/** Shapes of the week review and of what guests may see. Times are epoch minutes, days 'YYYY-MM-DD' local, minutes those of all hands. */
import type { Craft } from '../../core/forecast/types.ts'
import type { SlipCause } from '../../../views/shared/slip-words.ts'

/** What a reader sees of a build: the club everything, a guest what the link says. */
export type Shows = { money: boolean; names: boolean; photos: boolean; snags: boolean; log: boolean }

/** What was meant of one task (or of the wash before it) when the week began, and what came of it. */
export type MeantLine = {
  /** The task's id, or `wash:<linkId>`. */
  key: string
  name: string
  craft: Craft
  meantMin: number
  workedMin: number
  /** First stretch that it was meant for. */
  start: number
  /** finished · worked: at least as long as meant and goes on · part · none */
  came: 'finished' | 'worked' | 'part' | 'none'
}

/** What was really done of a task in the week. */
export type DoneLine = {
  key: string
  name: string
  craft: Craft
  workedMin: number
  isFinished: boolean
  isCoat: boolean
  ticked: string[]
  wasMeant: boolean
}

/** A meant piece that did not come off. `cause` null: nothing in the books says why. */
export type Slip = { key: string; name: string; cause: SlipCause | null; detail: string; leftMin: number | null }

export type CraftHours = { craft: Craft; meantMin: number; workedMin: number }

/** A coat that went on; `closes`: of the window it met, null where it met none. */
export type CoatLine = { taskId: string; name: string; product: string; place: string; start: number; end: number; window: 'met' | 'missed' | null }

/**
 * What was drawn of an item in the week; thousandths of its unit. `soFar` and the estimate are those of the tasks that it was drawn
 * for, up to the week's end; `is` says how they compare: `going` while one of the tasks is not finished and less was drawn.
 */
export type UseLine = {
  itemId: string
  item: string
  unit: string
  milli: number
  lots: number[]
  tasks: string[]
  soFar: number
  estimate: { low: number; likely: number; high: number } | null
  is: 'as' | 'over' | 'under' | 'going' | 'no-estimate'
}

/** Cents. */
export type MoneyLine = { week: number; toDate: number; budget: number | null; earned: number | null }
/** Grams. `likelyG`: by the estimate when the plan was agreed. */
export type MassLine = { weighedG: number | null; weighedOn: string | null; inWeek: boolean; likelyG: number | null; targetG: number | null }

export type SnagBrief = { no: number; what: string; whereAt: string; bad: string; found: boolean; mended: boolean; rework: string | null }

/** When she may be launched as seen at the week's end, in words that stay; null instants: later than can be foreseen. */
export type ForecastBrief = {
  p50: number | null
  p80: number | null
  targetOn: string | null
  targetChance: number | null
  /** How the 50 % launch moved against the week before, later is positive; null: nothing to compare with. */
  movedMin: number | null
  words: string
  why: string[]
  makeUp: string[]
}

export type NextPiece = {
  name: string
  start: number
  end: number
  /** Only the week is told: the sessions then are assumed. */
  projected: boolean
  people: string[]
  weather: { minAir: number | null; maxAir: number | null; maxHumidity: number | null; dewPointMargin: number | null } | null
  stock: { item: string; unit: string; milli: number; cover: 'there' | 'coming' | 'late' | 'short' }[]
}

/** `isGone`: taken out since the review was signed. */
export type PhotoBrief = { id: string; caption: string; takenOn: string; width: number; height: number; forGuests: boolean; isGone?: boolean }
export type LogBrief = { id: string; kind: 'note' | 'lesson' | 'decision'; text: string; by: string; at: number }

export type ReviewFacts = {
  build: { name: string; design: string }
  /** Up to when things were counted. */
  asOf: number
  isOver: boolean
  /** Set where she was paused in the week, or in part of it. */
  pause: { from: string; note: string } | null
  /** Nothing was logged, drawn, coated, found or written in the week. */
  isQuiet: boolean
  /** The plan said nothing of this week, as it was not kept then. */
  hasMeant: boolean
  headline: string
  meant: MeantLine[]
  done: DoneLine[]
  hours: CraftHours[]
  availableMin: number | null
  slips: Slip[]
  coats: CoatLine[]
  used: UseLine[]
  money: MoneyLine | null
  mass: MassLine | null
  /** Work done by the agreed plan, 0 to 1; null: none is agreed. */
  earned: { share: number; earnedMin: number; totalMin: number; weeksBehind: number | null } | null
  snags: SnagBrief[]
  snagsOpen: number
  /** Names of the tasks that mend snags: who may not see snags is not told them either. */
  rework: string[]
  forecast: ForecastBrief | null
  next: NextPiece[]
  photos: PhotoBrief[]
  log: LogBrief[]
  /** Who signed, by the name of that day. */
  signer: string | null
}

/** What people chose and wrote. */
export type ReviewEdits = {
  /** Own words in place of the drafted sentence; empty: the drafted one. */
  headline: string
  /** By the key of the slip. */
  slips: Record<string, { cause: SlipCause; words: string }>
  /** About next week. */
  next: string
  lessons: string
  /** Photos to show, at most four; null: the newest two. */
  photos: string[] | null
}
export const NO_EDITS: ReviewEdits = { headline: '', slips: {}, next: '', lessons: '', photos: null }

/** What stands on the page: drafted, or as people put it. */
export type Shown = {
  headline: string
  slips: { key: string; name: string; cause: SlipCause | null; words: string; leftMin: number | null }[]
  photos: PhotoBrief[]
}

export type ReviewStateWord = 'none' | 'draft' | 'signed'

export type Review = {
  buildId: string
  /** Week of the build, from 1. */
  no: number
  monday: string
  /** '2026-W23' */
  isoWeek: string
  state: ReviewStateWord
  facts: ReviewFacts
  edits: ReviewEdits
  shown: Shown
  /** Who drafted it last; null: nobody has. */
  draftedBy: string | null
  signedBy: string | null
  signedAt: number | null
  /** 0: there is no row yet. */
  version: number
}
