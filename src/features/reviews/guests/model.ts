import type { Shows } from '../model.ts'
import type { Progress } from '../progress/model.ts'

export type LinkLine = {
  id: string
  label: string
  shows: Shows
  untilOn: string | null
  state: 'open' | 'over' | 'withdrawn'
  madeAt: Date
  madeBy: string
  withdrawnAt: Date | null
  withdrawnBy: string | null
  lastSeenAt: Date | null
  version: number
}

/** A link that opens something now. */
export type OpenLink = { id: string; buildId: string; shows: Shows }

export type AskedLink = { is: 'open'; link: OpenLink } | { is: 'unknown' } | { is: 'withdrawn'; on: Date } | { is: 'over'; on: string }

export type GuestPhoto = { id: string; caption: string; takenOn: string; width: number; height: number }
/** `day` null: only the week is foreseen. */
export type GuestNext = { name: string; day: string | null; monday: string }
export type GuestSnag = { no: number; what: string; whereAt: string; since: string }
export type GuestLog = { id: string; kind: 'note' | 'lesson' | 'decision'; text: string; on: string; by: string | null }

/** All that a guest's page may draw from: what a link doesn't show is not in it. */
export type GuestBoard = {
  boat: { name: string; design: string; state: 'active' | 'paused' | 'launched'; startedOn: string; pausedOn: string | null; inServiceOn: string | null }
  /** Work done by the agreed plan (or, where none is agreed, by her tasks); null: nothing to measure against. */
  work: Pick<Progress, 'share' | 'shape'> | null
  launch: { p50: number | null; p80: number | null; targetOn: string | null } | null
  next: GuestNext[]
  weeks: { monday: string; no: number }[]
  photos: GuestPhoto[]
  money: { spentCents: number; budgetCents: number | null } | null
  team: string[] | null
  snags: GuestSnag[] | null
  log: GuestLog[] | null
}
