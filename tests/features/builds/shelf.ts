/** A club with a build, its builder, a storekeeper, and tasks that ask for things of the stores. Each test file opens one of its own: files of a worker share their modules, so a module that held a club would hand a closed one to the next file. */
import { instant } from '../../../src/core/units/index.ts'
import { loadBuildsForPlanning } from '../../../src/features/builds/public.ts'
import { toInstant } from '../../../src/platform/times.ts'
import { testClub } from '../../support/app.ts'

const NOW = '2026-06-06T09:00:00Z'
export type Fields = Record<string, string | string[]>
type Material = { itemId?: string; productId?: string; unit?: string; likely: number; structural?: boolean; name?: string }

/** What the amount of an item of the stores is asked by. */
export const amount = (itemId: string, use: 's' | 'a' = 's') => `amount.${use}.${itemId}`
/** What stands in a field of a page; null: no such field. */
export const shown = (html: string, name: string): string | null => {
  const tag = [...html.matchAll(/<input[^>]*>/g)].map((m) => m[0]).find((t) => t.includes(`name="${name}"`))
  return tag === undefined ? null : (/ value="([^"]*)"/.exec(tag)?.[1] ?? '')
}

export async function openShelf() {
  const club = await testClub({ now: NOW })
  const builder = await club.signedIn(['builder'], { name: 'Ann Tern' })
  const keeper = await club.signedIn(['storekeeper'], { name: 'Kit Knot' })
  const buildId = (await club.make.build({ name: 'Sanderling' }, [builder.memberId])).id
  const phaseId = (await club.make.phase(buildId)).id
  let count = 0

  /** A task that asks for these. */
  async function task(materials: Material[], over: { name?: string; productId?: string; buildId?: string; phaseId?: string } = {}): Promise<string> {
    count++
    const rows = materials.map(({ likely, ...m }, i) => ({ name: `Material ${i}`, unit: 'g', low: likely, likely, high: likely, ...m }))
    const data = { name: `Task ${count}`, position: count, kind: 'shared' as const, workLowMin: 60, workLikelyMin: 60, workHighMin: 60, handsFrom: 1, handsTo: 1, buildId, phaseId, ...over }
    return (await club.db.task.create({ data: { ...data, materials: { create: rows } } })).id
  }
  const url = (taskId: string, path = '/draw') => `/builds/${buildId}/tasks/${taskId}${path}`
  const draw = (taskId: string, fields: Fields, as = builder) => as.post(url(taskId), fields)
  const left = async (lotId: string) => Number((await club.db.lotBalance.findFirst({ where: { lotId } }))?.qtyMilli ?? 0)
  const entries = (taskId: string) => club.db.stockEntry.findMany({ where: { taskId }, orderBy: { seq: 'asc' } })
  const needsOf = async (taskId: string) => {
    const now = toInstant(new Date(NOW))
    return (await loadBuildsForPlanning(club.db, { now, from: instant(now - 1440), until: instant(now + 14_400) })).tasks.find((t) => t.id === taskId)!.materials
  }
  return { club, builder, keeper, buildId, phaseId, task, url, draw, left, entries, needsOf }
}
