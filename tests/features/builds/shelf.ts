/** A club with a build, its builder, a storekeeper, and tasks that ask for things of the stores; each test file has its own. */
import { beforeAll } from 'vitest'
import { instant } from '../../../src/core/units/index.ts'
import { loadBuildsForPlanning } from '../../../src/features/builds/public.ts'
import { toInstant } from '../../../src/platform/times.ts'
import { testClub, type Person } from '../../support/app.ts'

export const NOW = '2026-06-06T09:00:00Z'
export const club = await testClub({ now: NOW })
export type Fields = Record<string, string | string[]>
export let builder: Person & { memberId: string }
export let keeper: Person & { memberId: string }
export let buildId: string
export let phaseId: string

beforeAll(async () => {
  builder = await club.signedIn(['builder'], { name: 'Ann Tern' })
  keeper = await club.signedIn(['storekeeper'], { name: 'Kit Knot' })
  buildId = (await club.make.build({ name: 'Sanderling' }, [builder.memberId])).id
  phaseId = (await club.make.phase(buildId)).id
})

type Material = { itemId?: string; productId?: string; unit?: string; likely: number; structural?: boolean; name?: string }
let count = 0
/** A task that asks for these. */
export async function task(materials: Material[], over: { name?: string; productId?: string; buildId?: string; phaseId?: string } = {}): Promise<string> {
  count++
  const rows = materials.map(({ likely, ...m }, i) => ({ name: `Material ${i}`, unit: 'g', low: likely, likely, high: likely, ...m }))
  const data = { name: `Task ${count}`, position: count, kind: 'shared' as const, workLowMin: 60, workLikelyMin: 60, workHighMin: 60, handsFrom: 1, handsTo: 1, buildId, phaseId, ...over }
  return (await club.db.task.create({ data: { ...data, materials: { create: rows } } })).id
}
export const url = (taskId: string, path = '/draw') => `/builds/${buildId}/tasks/${taskId}${path}`
export const draw = (taskId: string, fields: Fields, as = builder) => as.post(url(taskId), fields)
export const amount = (itemId: string, use: 's' | 'a' = 's') => `amount.${use}.${itemId}`
/** What stands in a field of a page; null: no such field. */
export const shown = (html: string, name: string): string | null => {
  const tag = [...html.matchAll(/<input[^>]*>/g)].map((m) => m[0]).find((t) => t.includes(`name="${name}"`))
  return tag === undefined ? null : (/ value="([^"]*)"/.exec(tag)?.[1] ?? '')
}
export const left = async (lotId: string) => Number((await club.db.lotBalance.findFirst({ where: { lotId } }))?.qtyMilli ?? 0)
export const entries = (taskId: string) => club.db.stockEntry.findMany({ where: { taskId }, orderBy: { seq: 'asc' } })
export const needsOf = async (taskId: string) => {
  const now = toInstant(new Date(NOW))
  return (await loadBuildsForPlanning(club.db, { now, from: instant(now - 1440), until: instant(now + 14_400) })).tasks.find((t) => t.id === taskId)!.materials
}
