import { minutes, type Instant, type Minutes } from '../units/index.ts'
import type { Interval } from './types.ts'

/** Sorted, disjoint, not touching, none empty: the form in which the other functions take and give sets of time. */
export function union(...lists: readonly (readonly Interval[])[]): Interval[] {
  const all = lists.flat().filter((i) => i.start < i.end).sort((a, b) => a.start - b.start || a.end - b.end)
  const merged: { start: Instant; end: Instant }[] = []
  for (const { start, end } of all) {
    const last = merged.at(-1)
    if (last !== undefined && start <= last.end) last.end = end > last.end ? end : last.end
    else merged.push({ start, end })
  }
  return merged
}

/** Time that is in both. Each list sorted and disjoint (as `union` gives it); touching intervals stay apart. */
export function intersect(a: readonly Interval[], b: readonly Interval[]): Interval[] {
  const common: Interval[] = []
  let i = 0
  let j = 0
  while (i < a.length && j < b.length) {
    const one = a[i]!
    const other = b[j]!
    const start = one.start > other.start ? one.start : other.start
    const end = one.end < other.end ? one.end : other.end
    if (start < end) common.push({ start, end })
    if (one.end < other.end) i++
    else j++
  }
  return common
}

/** Time that is in a and not in b. Each list sorted and disjoint (as `union` gives it). */
export function subtract(a: readonly Interval[], b: readonly Interval[]): Interval[] {
  const left: Interval[] = []
  let j = 0
  for (const { start, end } of a) {
    while (j < b.length && b[j]!.end <= start) j++
    let from = start
    for (let k = j; k < b.length && b[k]!.start < end; k++) {
      if (b[k]!.start > from) left.push({ start: from, end: b[k]!.start })
      if (b[k]!.end > from) from = b[k]!.end
    }
    if (from < end) left.push({ start: from, end })
  }
  return left
}

/** Minutes covered; the list is disjoint. */
export const totalMinutes = (list: readonly Interval[]): Minutes =>
  minutes(list.reduce((sum, { start, end }) => sum + Math.max(0, end - start), 0))

/**
 * Presence counts only while a keyholder is there: each row cut to the keyholders' hours, which may hand over to each other.
 * What else a row carries (site, session) is kept with every part of it. Neither list need be sorted.
 */
export function presenceUnderKeyholder<P extends Interval>(presence: readonly P[], keyholder: readonly Interval[]): P[] {
  const open = union(keyholder)
  return presence
    .flatMap((row) => intersect([row], open).map((part) => ({ ...row, start: part.start, end: part.end })))
    .sort((a, b) => a.start - b.start || a.end - b.end)
}
