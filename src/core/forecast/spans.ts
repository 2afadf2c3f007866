/** Stretches of dust or wet film in a place: those that stand, and those of a run. */
import { FOREVER } from '../schedule/profile.ts'
import type { Spans } from './compile.ts'

/** Dust or wet films of this run in one place. */
export class RunSpans {
  size = 0
  last = -FOREVER
  private readonly start: number[] = []
  private readonly end: number[] = []
  private readonly job: number[] = []

  clear(): void {
    this.size = 0
    this.last = -FOREVER
  }

  add(start: number, end: number, job: number): void {
    if (end > this.last) this.last = end
    const i = this.size++
    this.start[i] = start
    this.end[i] = end
    this.job[i] = job
  }

  /** Latest end (+ settle) of those of other tasks that begin before `to` and end after `from`, or -1. */
  latest(job: number, from: number, to: number, settle: number): number {
    let later = -1
    if (this.last <= from) return later
    for (let i = 0; i < this.size; i++) {
      if (this.start[i]! < to && this.end[i]! > from && this.job[i] !== job && this.end[i]! + settle > later) later = this.end[i]! + settle
    }
    return later
  }

  /** The first start, of those of other tasks that end after t, or `to`. */
  first(job: number, t: number, to: number): number {
    let first = to
    if (this.last <= t) return first
    for (let i = 0; i < this.size; i++) if (this.end[i]! > t && this.job[i] !== job && this.start[i]! < first) first = this.start[i]!
    return first
  }
}

function before(rows: Spans, t: number): number {
  let lo = -1
  let hi = rows.start.length - 1
  while (lo < hi) {
    const mid = (lo + hi + 1) >> 1
    if (rows.start[mid]! < t) lo = mid
    else hi = mid - 1
  }
  return lo
}

/** Latest end (+ settle) of those that begin before `to` and end after `from`, or -1. */
export function latestIn(rows: Spans, from: number, to: number, settle: number): number {
  let later = -1
  for (let i = before(rows, to); i >= 0 && rows.ends[i]! > from; i--) if (rows.end[i]! > from && rows.end[i]! + settle > later) later = rows.end[i]! + settle
  return later
}

/** The first start, of those that end after t, or `to`. */
export function firstIn(rows: Spans, t: number, to: number): number {
  let first = to
  for (let i = before(rows, to); i >= 0 && rows.ends[i]! > t; i--) if (rows.end[i]! > t && rows.start[i]! < first) first = rows.start[i]!
  return first
}
