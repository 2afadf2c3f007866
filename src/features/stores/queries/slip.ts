import type { Reader } from '../../../platform/database.ts'
import { CLUB_HOLDER } from '../facts/held.ts'
import { seenBuilds, type Looker } from '../facts/seen.ts'

/** What a slip's rows can name: items and lots that are there, open tasks of the builds that one may see, members. */
export async function slipPage(db: Reader, looker: Looker, today: string) {
  const items = await db.item.findMany({ where: { isActive: true }, select: { id: true, name: true, unit: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] })
  const lots = await db.lotBalance.findMany({
    where: { holderId: CLUB_HOLDER, qtyMilli: { gt: 0 }, lot: { state: { not: 'discard' } } },
    select: { lot: { select: { number: true, item: { select: { name: true } } } } }, orderBy: { lot: { number: 'asc' } },
  })
  const builds = await db.build.findMany({
    where: { AND: [seenBuilds(looker), { state: { not: 'launched' } }] },
    select: { id: true, name: true, tasks: { where: { finishedAt: null, materials: { some: {} } }, select: { id: true, name: true }, orderBy: { position: 'asc' } } },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
  const members = await db.member.findMany({ where: { isActive: true }, select: { id: true, name: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] })
  return { today, items, lots: lots.map(({ lot }) => ({ number: lot.number, name: lot.item.name })), builds, members }
}
export type SlipModel = Awaited<ReturnType<typeof slipPage>>
