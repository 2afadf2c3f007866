import { daysBetween } from '../../src/core/calendar/index.ts'
import type { SnagLine } from '../../src/features/builds/snags/queries/snags.ts'
import type { SwatchState } from '../shared/index.ts'

export const BAD_WORDS: Readonly<Record<SnagLine['bad'], string>> = {
  looks: 'it only shows',
  before_next: 'mend before what comes over it',
  before_launch: 'mend before the launch',
  stop: 'stop: nothing goes on until it is mended',
}
export const BAD_OPTIONS = (['looks', 'before_next', 'before_launch', 'stop'] as const).map((value) => ({ value, label: BAD_WORDS[value].charAt(0).toUpperCase() + BAD_WORDS[value].slice(1) }))

export type SnagState = 'open' | 'planned' | 'mended' | 'closed'
export const stateOf = (s: Pick<SnagLine, 'closedOn' | 'closedNote' | 'rework'>): SnagState =>
  s.closedOn !== null ? (s.closedNote === '' ? 'mended' : 'closed') : s.rework !== null && s.rework.finishedAt === null ? 'planned' : 'open'
export const STATE_WORDS: Readonly<Record<SnagState, string>> = { open: 'open', planned: 'rework planned', mended: 'mended', closed: 'closed' }
export const STATE_SWATCH: Readonly<Record<SnagState, SwatchState>> = { open: 'waiting', planned: 'ready', mended: 'done', closed: 'done' }

/** "12 days", of a closed one how long it took; "today" of one that was found today. */
export function sinceWords(s: Pick<SnagLine, 'foundOn' | 'closedOn'>, today: string): string {
  const days = Math.max(0, daysBetween(s.foundOn, s.closedOn ?? today))
  if (days === 0) return s.closedOn === null ? 'today' : 'the same day'
  return days === 1 ? '1 day' : `${days} days`
}
