/** All builds' week on one page. Instants epoch minutes, days 'YYYY-MM-DD' local, minutes those of all hands. */

export type NextWork = { taskId: string; name: string; isWash: boolean; start: number; projected: boolean }

/** As simulated last before the week's end; null: never. Null instants: later than can be foreseen. `movedMin`: against the week before. */
export type LaunchBrief = { p50: number | null; p80: number | null; targetOn: string | null; targetChance: number | null; movedMin: number | null }

export type ClubLine = {
  buildId: string
  name: string
  state: 'active' | 'paused' | 'launched'
  /** By the plan that the week began with; null: there was none. */
  meantMin: number | null
  doneMin: number
  launch: LaunchBrief | null
  /** As the work plan has it (of a past week: as it was projected when the week began), where nothing was simulated. */
  plannedLaunch: number | null
  next: NextWork[]
  /** What the signed review of this week says first. */
  headline: string | null
  review: 'signed' | 'draft' | 'none'
}

/** Work that takes many at once. `start` null: it can't be planned, for never more than `most` come; else so many said by now that they come. */
export type HandsLine = { buildId: string; build: string; taskId: string; task: string; need: number; start: number | null; said: number; most: number | null }
/** Work that nobody who comes may do. */
export type SkillLine = { buildId: string; build: string; taskId: string; task: string; competence: string }

/** One build's work waits for what another has. `other` null: a build that the reader may not see. */
export type ClashLine = {
  buildId: string; build: string; task: string; start: number; other: string | null; otherTask: string | null
  what: 'tool' | 'bay' | 'place' | 'people' | 'dust'; name: string | null; until: number | null
}

export type StoreLine = {
  itemId: string; name: string; unit: string; buyMilli: number; orderBy: string | null; isLate: boolean
  /** `task` null: of a build that the reader may not see. */
  runOut: { at: number; missingMilli: number; task: string | null } | null
}

/**
 * A recoat window between sessions, with the coat that is to go on: it opens while the shed is shut and the plan meets it (`start`), or it is
 * let go: nobody is there while it is open, it would shut before it opens, or the plan has better use for that time.
 */
export type WindowLine = { buildId: string; build: string; task: string; taskId: string; opens: number; closes: number | null; start: number | null; why: 'met' | 'nobody' | 'none' | 'let-go' }

export type SnagStop = { buildId: string; build: string; snagId: string; no: number; what: string; whereAt: string; bad: 'stop' | 'before_next' }

export type Unsigned = { buildId: string; build: string; monday: string; isDraft: boolean }
export type OpenDoor = { id: string; start: number; end: number; title: string }

export type ClubSheet = {
  monday: string
  /** '2026-W24' */
  isoWeek: string
  kind: 'past' | 'now' | 'ahead'
  /** ISO weeks beside it; null: nothing to see there. */
  before: string | null
  after: string | null
  lines: ClubLine[]
  hands: HandsLine[]
  skills: SkillLine[]
  clashes: ClashLine[]
  stores: StoreLine[]
  windows: WindowLine[]
  snags: SnagStop[]
  unsigned: Unsigned[]
  /** Sessions of the coming two weeks that nobody has said to open. */
  unopened: OpenDoor[]
  hasPlan: boolean
}
