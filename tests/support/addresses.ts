import type { Db } from '../../src/platform/database.ts'
import { digest } from '../../src/platform/sign-in.ts'

type Find = (db: Db, buildId: string) => Promise<(string | null | undefined)[]>

const idsOf = (...rows: ({ id: string | bigint } | null)[]) => rows.map((row) => (row === null ? null : String(row.id)))

const member: Find = async (db) => idsOf(await db.member.findFirst({ where: { competences: { some: {} } }, orderBy: { name: 'asc' } }))

/** The secret of a link that shows all there is; only its digest is in the database, so it is made here. */
const GUESTS = 'q'.repeat(43)
async function guestsOf(db: Db): Promise<string | null> {
  const [build, member] = [await db.build.findFirst({ where: { reviews: { some: { state: 'signed' } } } }) ?? (await db.build.findFirst({ orderBy: { name: 'asc' } })), await db.member.findFirst()]
  if (!build || !member) return null
  const link = { label: 'Tests', money: true, names: true, photos: true, snags: true, log: true, buildId: build.id, createdBy: member.id, createdAt: new Date() }
  await db.guestLink.upsert({ where: { digest: digest(GUESTS) }, create: { ...link, digest: digest(GUESTS) }, update: {} })
  return GUESTS
}

/** What the names in addresses stand for, out of what is in the database; several where pages of one kind differ. */
const FINDERS: Record<string, Find> = {
  'members/:id': member,
  'cure-products/:id': async (db) => idsOf(await db.cureProduct.findFirst({ orderBy: { name: 'asc' } })),
  ':memberId': member,
  ':productId': async (db) => idsOf(await db.cureProduct.findFirst({ orderBy: { name: 'asc' } })),
  ':sessionId': async (db) =>
    idsOf(
      await db.session.findFirst({ where: { state: 'planned', closeOut: null }, orderBy: [{ date: 'asc' }, { starts: 'asc' }] }),
      await db.session.findFirst({ where: { state: 'planned', closeOut: null }, orderBy: [{ date: 'desc' }, { starts: 'asc' }] }),
      await db.session.findFirst({ where: { closeOut: { isNot: null } }, orderBy: { date: 'desc' } }),
    ),
  ':seriesId': async (db) => idsOf(await db.series.findFirst({ orderBy: { name: 'asc' } })),
  ':siteId': async (db) => idsOf(await db.site.findFirst({ orderBy: { name: 'asc' } })),
  ':placeId': async (db) => idsOf(await db.place.findFirst({ orderBy: { name: 'asc' } })),
  ':toolId': async (db) => idsOf(await db.tool.findFirst({ orderBy: { name: 'asc' } })),
  'moved/:id': async (db) => idsOf(await db.plan.findFirst({ orderBy: { id: 'desc' } })),
  ':itemId': async (db) => idsOf(await db.item.findFirst({ where: { planNeeds: { some: {} } }, orderBy: { name: 'asc' } }) ?? (await db.item.findFirst({ orderBy: { name: 'asc' } }))),
  ':lotId': async (db) => idsOf(await db.lot.findFirst({ where: { entries: { some: { buildId: { not: null } } } }, orderBy: { number: 'asc' } }), await db.lot.findFirst({ orderBy: { number: 'desc' } })),
  ':entryId': async (db) =>
    idsOf(
      await db.stockEntry.findFirst({ where: { kind: 'draw', reversedBy: null, returns: { some: {} } }, orderBy: { seq: 'asc' } }),
      await db.stockEntry.findFirst({ where: { reversedBy: { isNot: null } }, orderBy: { seq: 'asc' } }),
    ),
  ':supplierId': async (db) => idsOf(await db.supplier.findFirst({ orderBy: { name: 'asc' } })),
  ':orderId': async (db) =>
    idsOf(await db.stockOrder.findFirst({ where: { state: 'open' }, orderBy: { number: 'asc' } }), await db.stockOrder.findFirst({ where: { state: 'received' }, orderBy: { number: 'asc' } })),
  ':batchId': async (db) => idsOf(await db.batch.findFirst({ where: { build: { visibility: 'club' } }, orderBy: { number: 'asc' } })),
  ':settlementId': async (db) => idsOf(await db.settlement.findFirst({ orderBy: { number: 'desc' } })),
  ':countId': async (db) => idsOf(await db.stockCount.findFirst({ orderBy: { at: 'desc' } })),
  ':figureKey': async () => ['sealFirst', 'glassFraction.some', 'epoxyDensity'],
  ':buildId': async (db) => idsOf(await db.build.findFirst({ where: { state: 'active', tasks: { some: { coat: { isNot: null } } } }, orderBy: { name: 'asc' } })),
  'guests/:token': async (db) => [await guestsOf(db)],
  'weeks/:monday': async (db) => {
    const link = await db.guestLink.findUnique({ where: { digest: digest(GUESTS) } })
    const week = link && (await db.weekReview.findFirst({ where: { buildId: link.buildId, state: 'signed' }, orderBy: { monday: 'desc' } }))
    return [week?.monday.toISOString().slice(0, 10)]
  },
  // Nobody of the example club has asked for reminders: somebody does.
  ':stopKey': async (db) => {
    const { id } = await db.member.findFirstOrThrow({ where: { isActive: true }, orderBy: { name: 'asc' } })
    return [(await db.reminderWish.upsert({ where: { memberId: id }, create: { memberId: id, windows: true, stopKey: 'a-key-that-stops-the-reminders' }, update: {} })).stopKey]
  },
  ':panelKey': async () => ['bottom', 'transom'],
  ':seamKey': async () => ['keel', 'bulkheads'],
  ':monday': async (db, buildId) => {
    const rows = await db.weekReview.findMany({ where: { buildId }, orderBy: { monday: 'desc' }, take: 1 })
    const [week] = await db.buildWeek.findMany({ where: { buildId }, orderBy: { monday: 'desc' }, take: 1 })
    return [...rows, ...(week ? [week] : [])].map((r) => r.monday.toISOString().slice(0, 10))
  },
  ':snagId': async (db, buildId) =>
    idsOf(
      await db.snag.findFirst({ where: { buildId, closedOn: null, withdrawnAt: null }, orderBy: { no: 'asc' } }),
      await db.snag.findFirst({ where: { buildId, closedOn: { not: null }, withdrawnAt: null }, orderBy: { no: 'asc' } }),
    ),
  'log/:entryId': async (db, buildId) => idsOf(await db.logEntry.findFirst({ where: { buildId, withdrawnAt: null }, orderBy: { at: 'desc' } })),
  ':photoId': async (db, buildId) => idsOf(await db.photo.findFirst({ where: { buildId }, orderBy: { takenOn: 'asc' } })),
  ':sheetId': async (db, buildId) => idsOf(await db.optionSheet.findFirst({ where: { buildId }, orderBy: { createdAt: 'asc' } })),
  ':taskId': async (db, buildId) =>
    idsOf(
      await db.task.findFirst({ where: { buildId, coat: { isNot: null } }, orderBy: { position: 'asc' } }),
      await db.task.findFirst({ where: { buildId, productId: { not: null }, finishedAt: null }, orderBy: { position: 'asc' } }),
      await db.task.findFirst({ where: { buildId, finishedAt: null, steps: { some: {} }, productId: null }, orderBy: { position: 'asc' } }),
    ),
}

export type Given = Readonly<Record<string, readonly string[]>>

/** Every address that a route stands for; none where nothing is known to put in for one of its names. */
export async function addressesOf(db: Db, route: string, given: Given = {}): Promise<string[]> {
  const names = route.split('/')
  let found: { parts: string[]; buildId: string }[] = [{ parts: [], buildId: '' }]
  for (const [at, name] of names.entries()) {
    const next: typeof found = []
    for (const { parts, buildId } of found) {
      for (const value of await valuesOf(db, name, names[at - 1] ?? '', buildId, given)) next.push({ parts: [...parts, value], buildId: name === ':buildId' ? value : buildId })
    }
    found = next
  }
  return [...new Set(found.map(({ parts }) => parts.join('/') || '/'))]
}

async function valuesOf(db: Db, name: string, before: string, buildId: string, given: Given): Promise<readonly string[]> {
  if (!name.startsWith(':')) return [name]
  const known = given[`${before}/${name}`] ?? given[name]
  if (known) return known
  const find = FINDERS[`${before}/${name}`] ?? FINDERS[name]
  return ((await find?.(db, buildId)) ?? []).filter((value) => typeof value === 'string')
}
