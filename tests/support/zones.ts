import type { OffsetTable } from '../../src/core/calendar/types.ts'
import { instant, type Instant } from '../../src/core/units/index.ts'

/** Instant of an ISO text with its offset, '2026-03-29T01:00Z'. */
export const at = (iso: string): Instant => instant(Date.parse(iso) / 60_000)

const row = (iso: string, offset: number) => ({ from: at(iso), offset })

/** Written by hand. EU rule: last Sunday of March and of October, 01:00 UTC. */
export const BERLIN: OffsetTable = [
  row('2025-10-26T01:00Z', 60),
  row('2026-03-29T01:00Z', 120),
  row('2026-10-25T01:00Z', 60),
  row('2027-03-28T01:00Z', 120),
  row('2027-10-31T01:00Z', 60),
]

/** Written by hand. US rule: second Sunday of March 02:00 EST = 07:00 UTC, first Sunday of November 02:00 EDT = 06:00 UTC. */
export const NEW_YORK: OffsetTable = [
  row('2025-11-02T06:00Z', -300),
  row('2026-03-08T07:00Z', -240),
  row('2026-11-01T06:00Z', -300),
  row('2027-03-14T07:00Z', -240),
  row('2027-11-07T06:00Z', -300),
]

export const UTC: OffsetTable = [{ from: instant(0), offset: 0 }]
