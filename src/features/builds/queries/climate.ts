import type { ClimateSteps } from '../../../core/calendar/types.ts'
import type { Instant } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import { loadPlaces } from '../../sessions/public.ts'

/** Climate of every place over a stretch, heated for its sessions: the same as the planner goes by, or a film would have two clocks. */
export async function climates(db: Reader, now: Instant, from: Instant, until: Instant): Promise<Map<string, ClimateSteps>> {
  const { places } = await loadPlaces(db, { now, from, until })
  return new Map(places.map((p) => [p.id, p.climate]))
}
