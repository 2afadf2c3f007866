import type { Celsius, Instant } from '../units/index.ts'

/** Half-open stretch of time [start, end). */
export interface Interval { readonly start: Instant; readonly end: Instant }

/**
 * UTC offsets of one time zone over a stretch: from `from` on, local = UTC + offset minutes, until the next row.
 * Rows are sorted; the first row also serves everything before it. The service builds it from the platform's zone data,
 * so that core never asks for a zone or a clock.
 */
export type OffsetTable = readonly { readonly from: Instant; readonly offset: number }[]

/** A value that holds from `from` until the next row; sorted, the first row serves everything before it, never empty. */
export type Steps<V> = readonly { readonly from: Instant; readonly value: V }[]

/** Air temperature and dew point of a place, piecewise constant (usually hourly). */
export interface Climate { readonly air: Celsius; readonly dewPoint: Celsius }
export type ClimateSteps = Steps<Climate>
