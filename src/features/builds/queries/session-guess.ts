import type { Reader } from '../../../platform/database.ts'
import { comingSessions } from '../../sessions/public.ts'
import { toInstant } from '../../../platform/times.ts'

/** The session in which a stretch of work most likely lay: the one it overlaps, else none. */
export async function guessSession(db: Reader, start: Date, elapsedMin: number): Promise<string | null> {
  const from = toInstant(start)
  const sessions = await comingSessions(db, start, 4)
  const overlap = (s: { start: number; end: number }) => Math.min(s.end, from + elapsedMin) - Math.max(s.start, from)
  const best = sessions.filter((s) => overlap(s) > 0).sort((a, b) => overlap(b) - overlap(a))[0]
  return best?.id ?? null
}

/** Start of the first session of a local day, or null. */
export async function sessionStart(db: Reader, noon: Date, date: string): Promise<number | null> {
  const sessions = await comingSessions(db, new Date(noon.getTime() - 12 * 3_600_000), 4)
  return sessions.find((s) => s.date === date)?.start ?? null
}
