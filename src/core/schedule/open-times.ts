/** Sorted, disjoint, half-open stretches as two rows of numbers. */
export interface OpenTimes { readonly start: Int32Array; readonly end: Int32Array }

export const NO_TIMES: OpenTimes = { start: new Int32Array(0), end: new Int32Array(0) }

/** Joins overlapping and touching stretches. */
export function openTimes(rows: readonly { readonly start: number; readonly end: number }[]): OpenTimes {
  const sorted = [...rows].filter((r) => r.end > r.start).sort((a, b) => a.start - b.start || a.end - b.end)
  const out: { start: number; end: number }[] = []
  for (const r of sorted) {
    const last = out[out.length - 1]
    if (last && r.start <= last.end) last.end = Math.max(last.end, r.end)
    else out.push({ start: r.start, end: r.end })
  }
  return { start: Int32Array.from(out, (r) => r.start), end: Int32Array.from(out, (r) => r.end) }
}

/** Index of the last stretch that starts at or before t, or -1. */
export function lastFrom(start: Int32Array, t: number): number {
  let lo = -1
  let hi = start.length - 1
  while (lo < hi) {
    const mid = (lo + hi + 1) >> 1
    if (start[mid]! <= t) lo = mid
    else hi = mid - 1
  }
  return lo
}

/** First instant from t on that lies inside a stretch, or -1. */
export function nextInside(times: OpenTimes, t: number): number {
  const i = lastFrom(times.start, t)
  if (i >= 0 && t < times.end[i]!) return t
  return i + 1 < times.start.length ? times.start[i + 1]! : -1
}

/** End of the last stretch that overlaps [from, to), or -1. */
export function lastOverlap(times: OpenTimes, from: number, to: number): number {
  const i = lastFrom(times.start, to - 1)
  return i >= 0 && times.end[i]! > from && to > from ? times.end[i]! : -1
}

/** Start of the first stretch that is not over at t (t itself when inside one), or the given end. */
export function nextStart(times: OpenTimes, t: number, end: number): number {
  const i = lastFrom(times.start, t)
  if (i >= 0 && t < times.end[i]!) return t
  return i + 1 < times.start.length ? Math.min(end, times.start[i + 1]!) : end
}
