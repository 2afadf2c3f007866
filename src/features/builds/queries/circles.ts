import { circlesOf } from '../../../core/schedule/circles.ts'
import type { Problem } from '../../../core/schedule/problem.ts'
import { instant } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import { linkSpec, taskSpec, type ShapeContext } from '../facts/core-shape.ts'
import { linkRows, taskRows } from './rows.ts'

/** Names of the tasks whose links lead back to themselves, in order; null when there is no circle. */
export async function circleOf(db: Reader, buildId: string): Promise<{ names: string[]; lags: boolean } | null> {
  const rows = await taskRows(db, [buildId])
  const byId = new Map(rows.map((r) => [r.id, r]))
  // Only what follows what matters here: places and times are left out.
  const c: ShapeContext = { zone: [{ from: instant(0), offset: 0 }], placeOf: new Map([[buildId, 'place']]), anywhere: [], logged: new Map(), toolCompetence: new Map(), needs: new Map() }
  const tasks = rows.map((r) => taskSpec({ ...r, releaseOn: null }, c))
  const links = (await linkRows(db, [buildId])).map((l) => linkSpec(l, byId.get(l.fromId)!, byId.get(l.toId)!, c))
  const { refused, impossible } = circlesOf({ tasks, links } as unknown as Problem)
  const circle = refused.flatMap((r) => (r.kind === 'circle' || r.kind === 'lag-circle' ? [{ ids: r.taskIds, lags: r.kind === 'lag-circle' }] : []))[0]
  const found = circle ?? (impossible[0] ? { ids: impossible[0], lags: true } : null)
  return found && { names: found.ids.map((id) => byId.get(id)?.name ?? 'a task'), lags: found.lags }
}
