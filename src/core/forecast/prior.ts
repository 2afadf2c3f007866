import { learnAttendance } from './attendance.ts'
import { learnPace } from './pace.ts'
import { learnRework } from './rework.ts'
import type { Attendance, Pace, Rework } from './types.ts'

/** What is taken before anything was logged. */
export const noEvidence: { readonly pace: Pace; readonly attendance: Attendance; readonly rework: Rework } = {
  pace: learnPace([], ''), attendance: learnAttendance([]), rework: learnRework([]),
}
