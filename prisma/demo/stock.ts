/** What the example club has in its stores: bought, used by the told past's tasks, and booked by the ledger's own commands as it happened. */
import type { FastifyBaseLogger } from 'fastify'
import { addDays } from '../../src/core/calendar/index.ts'
import type { RuleKey, Skill } from '../../src/core/estimate/types.ts'
import type { Result } from '../../src/core/result.ts'
import { CLUB_HOLDER, drawStock, holderOf, itemNeeds, loadSystems, logBatch, placeOrder, receiveStock, returnStock, reverseEntry, takeStock } from '../../src/features/stores/public.ts'
import { settleOpen } from '../../src/features/builds/public.ts'
import type { Tx } from '../../src/platform/database.ts'
import type { Ctx, Refusal } from '../../src/platform/write.ts'
import { must } from './must.ts'
import { CLUB } from './scenario.ts'
import { CLOTH, FAST, ITEMS, RESIN, SLOW, SUPPLIERS, type DemoItem } from './stores.ts'

const date = (iso: string): Date => new Date(`${iso}T00:00:00Z`)
const iso = (at: Date): string => at.toISOString().slice(0, 10)
const DAY_MS = 86_400_000

/** Items, packs, suppliers, systems, and what the job list's names mean: before a build is started, so that its tasks find their items. */
export async function loadItems(tx: Tx): Promise<void> {
  const suppliers: string[] = []
  for (const s of SUPPLIERS) suppliers.push((await tx.supplier.create({ data: s })).id)
  const ids = new Map<string, string>()
  for (const { name, kind, unit, supplier, packs, over = {}, means = [] } of ITEMS) {
    const supplierId = suppliers[supplier] ?? null
    const { safetyMilli = 0, ...rest } = over
    const item = await tx.item.create({
      data: {
        name, kind, unit, supplierId, safetyMilli, ...rest,
        packs: { create: packs.map(([pack, qtyMilli, priceCents]) => ({ name: pack, qtyMilli, priceCents, supplierId })) },
      },
    })
    ids.set(name, item.id)
    for (const word of [name, ...means]) await tx.materialName.create({ data: { name: word, itemId: item.id } })
  }
  await tx.materialName.create({ data: { name: 'Mixed epoxy', mixed: true } })
  const product = async (part: string) => (await tx.cureProduct.findFirstOrThrow({ where: { name: { startsWith: part } }, select: { id: true } })).id
  const id = (name: string) => ids.get(name) ?? ''
  for (const [name, hardener] of [['Epoxy, fast', FAST], ['Epoxy, slow', SLOW], ['Wood-epoxy glue', FAST]] as const) {
    await tx.system.create({ data: { productId: await product(name), resinItemId: id(RESIN), hardenerItemId: id(hardener), strokeResinMg: 16_000, strokeHardenerMg: 7_000 } })
  }
}

type Used = { at: Date; by: string; buildId: string; taskId: string; productId: string | null; massMg: number; itemId: string | null; milli: number; structural: boolean }

/** Deliveries and draws of the past, in the order in which they happened. */
export async function loadStock(tx: Tx, today: string, members: ReadonlyMap<string, string>, log: FastifyBaseLogger): Promise<void> {
  const names = new Map((await tx.member.findMany({ select: { id: true, name: true } })).map((m) => [m.id, m.name]))
  const as = (memberId: string, now: Date): Ctx => ({ now, member: { id: memberId, name: names.get(memberId) ?? '', roles: ['storekeeper'] }, clubZone: CLUB.zone, log, may: () => true })
  const keeper = members.get('priya') ?? ''
  const items = new Map((await tx.item.findMany({ select: { id: true, name: true } })).map((i) => [i.name, i.id]))
  const byId = new Map(ITEMS.map((i) => [items.get(i.name) ?? '', i]))
  const has = new Map<string, number>()
  let deliveries = 0
  const deliver = async (itemId: string, item: DemoItem, day: string, packs: number) => {
    const pack = item.packs.at(-1)
    if (!pack) return
    const [, qty, price] = pack
    // Prices creep up a little with every delivery, so that the costing rule shows.
    const valueCents = Math.round(price * packs * (1 + (deliveries % 7) / 50))
    deliveries++
    booked(await receiveStock(tx, as(keeper, new Date(date(day).getTime() + DAY_MS / 2)), {
      itemId, qtyMilli: qty * packs, valueCents, receivedOn: day, code: `R${(deliveries * 7919) % 100_000}`, supplierId: null,
      ...(item.over?.shelfLifeDays ? { expiresOn: addDays(day, item.over.shelfLifeDays) } : {}),
    }))
    has.set(itemId, (has.get(itemId) ?? 0) + qty * packs)
  }

  const used = await usedByThePast(tx, keeper)
  const first = used[0] ? iso(used[0].at) : today
  for (const [itemId, item] of byId) if (item.begins > 0) await deliver(itemId, item, addDays(first, -6), item.begins)
  const systems = await loadSystems(tx)
  const quarterDay = new Date(date(addDays(today, -34)).getTime() + DAY_MS * 0.8)
  let isSettled = false
  for (const u of used) {
    if (!isSettled && u.at > quarterDay) {
      isSettled = true
      booked(await drawStock(tx, as(keeper, quarterDay), { itemId: items.get('Nitrile gloves') ?? '', qtyMilli: 18_000, structural: false, why: 'Sessions of spring' }))
      booked(await settleOpen(tx, as(keeper, quarterDay), 'Spring'))
    }
    const needs = itemNeeds([{ itemId: u.itemId, productId: u.productId, unit: 'g', likely: (u.productId === null ? u.milli : u.massMg) / 1000, structural: u.structural }], systems)
    for (const n of needs) {
      const item = byId.get(n.itemId)
      if (item && (has.get(n.itemId) ?? 0) < n.milli) await deliver(n.itemId, item, addDays(iso(u.at), -2), Math.max(1, Math.ceil(n.milli / (item.packs.at(-1)?.[1] ?? 1))))
      has.set(n.itemId, (has.get(n.itemId) ?? 0) - n.milli)
    }
    const ctx = as(u.by, u.at)
    if (u.productId !== null) booked(await logBatch(tx, ctx, { productId: u.productId, massMg: u.massMg, buildId: u.buildId, taskId: u.taskId }))
    else if (u.itemId !== null) booked(await drawStock(tx, ctx, { itemId: u.itemId, qtyMilli: u.milli, structural: u.structural, buildId: u.buildId, taskId: u.taskId, onDate: iso(u.at) }))
  }
  // Enough for some weeks: what runs out then can still be ordered in time.
  for (const name of [RESIN, FAST]) {
    const [id, item] = [items.get(name) ?? '', ITEMS.find((i) => i.name === name)]
    if (item) await deliver(id, item, addDays(today, -9), 1)
  }
  // Hanne keeps slow hardener of her own for the warm months.
  const hanne = members.get('hanne') ?? ''
  booked(await receiveStock(tx, as(hanne, new Date(date(addDays(today, -40)).getTime() + DAY_MS / 2)), {
    itemId: items.get(SLOW) ?? '', qtyMilli: 440_000, valueCents: 1450, receivedOn: addDays(today, -40), code: 'H2207', holderId: await holderOf(tx, hanne),
  }))
  await everydayThings(tx, { today, items, members, as, keeper })
}

/**
 * What finished tasks took against what was estimated, as weighing shows: this club fillets with a generous hand, wets out wetter the less practised
 * it is, and coats about as thick as the rule says. Each weighing differs a little.
 */
const TOOK: Partial<Record<RuleKey, Readonly<Record<Skill, number>>>> = {
  fillet: { first: 1.36, some: 1.32, practised: 1.28 },
  'wet-out': { first: 1.12, some: 1.08, practised: 1 },
  'tape-resin': { first: 1.12, some: 1.08, practised: 1 },
  'seal-first': { first: 1.06, some: 1.02, practised: 0.98 },
  'seal-next': { first: 1.05, some: 1, practised: 0.97 },
  'fill-coat': { first: 1.06, some: 1.02, practised: 0.98 },
  'glue-line': { first: 1.15, some: 1.1, practised: 1.05 },
}
const share = (rule: string | null, skill: Skill, seed: string): number => (TOOK[rule as RuleKey]?.[skill] ?? 1) * (0.955 + (hash(seed) % 10) / 100)

/** All of one thing that a finished task took at once. */
async function usedByThePast(tx: Tx, keeper: string): Promise<Used[]> {
  const rows = await tx.taskMaterial.findMany({
    where: { task: { finishedAt: { not: null } } },
    select: { itemId: true, productId: true, unit: true, likely: true, structural: true, ruleKey: true, line: true, task: { select: { id: true, buildId: true, finishedAt: true, finishedBy: true, listKey: true, build: { select: { name: true, skill: true } } } } },
    orderBy: [{ taskId: 'asc' }, { line: 'asc' }],
  })
  const used = new Map<string, Used>()
  for (const { task, itemId, productId, unit, likely, structural, ruleKey, line } of rows) {
    if (!task.finishedAt || (itemId === null && productId === null) || likely === 0) continue
    const amount = likely * share(ruleKey, task.build.skill, `${task.build.name} ${task.listKey} ${line}`)
    const key = `${task.id} ${itemId ?? productId}`
    const before = used.get(key)?.milli ?? 0
    // Pieces are taken whole; what is weighed, to the gram; what is cut, to the centimetre.
    const milli = before + (unit === 'pcs' ? Math.ceil(amount) * 1000 : unit === 'm' || unit === 'm2' ? Math.round(amount * 100) * 10 : Math.max(1, Math.round(amount)) * 1000)
    used.set(key, { at: task.finishedAt, by: task.finishedBy ?? keeper, buildId: task.buildId, taskId: task.id, productId, massMg: milli, itemId, milli, structural })
  }
  return [...used.values()].sort((a, b) => a.at.getTime() - b.at.getTime() || (a.taskId < b.taskId ? -1 : 1))
}

type Around = { today: string; items: ReadonlyMap<string, string>; members: ReadonlyMap<string, string>; as(memberId: string, now: Date): Ctx; keeper: string }

/** A mistake made good, a return, gloves for everybody, a can that held less than the book said, resin of a member's own. */
async function everydayThings(tx: Tx, { today, items, members, as, keeper }: Around): Promise<void> {
  const on = (daysAgo: number, hour = 13) => new Date(date(addDays(today, -daysAgo)).getTime() + hour * 3_600_000)
  const id = (name: string) => items.get(name) ?? ''
  const oona = members.get('oona') ?? ''
  const dunlin = await tx.build.findFirstOrThrow({ where: { name: 'Dunlin' }, select: { id: true } })

  for (const [daysAgo, name, pieces] of [[33, 'Nitrile gloves', 24], [19, 'Nitrile gloves', 30], [12, 'Foam rollers 100 mm', 6], [5, 'Nitrile gloves', 26], [5, 'Foam rollers 100 mm', 4]] as const) {
    booked(await drawStock(tx, as(keeper, on(daysAgo)), { itemId: id(name), qtyMilli: pieces * 1000, structural: false, why: 'Session' }))
  }
  const cloth = booked(await drawStock(tx, as(oona, on(11)), { itemId: id(CLOTH), qtyMilli: 1500, structural: true, buildId: dunlin.id, why: 'Patch for the forefoot' }))
  if (cloth.entryIds[0]) booked(await returnStock(tx, as(oona, on(11, 15)), { entryId: cloth.entryIds[0], qtyMilli: 600, why: 'Offcut back on the roll' }))
  const wrong = booked(await drawStock(tx, as(oona, on(4)), { itemId: id('Wood flour'), qtyMilli: 200_000, structural: false, buildId: dunlin.id }))
  if (wrong.entryIds[0]) booked(await reverseEntry(tx, as(oona, on(4, 14)), { entryId: wrong.entryIds[0], why: 'Meant 20 g' }))
  booked(await drawStock(tx, as(oona, on(4, 14)), { itemId: id('Wood flour'), qtyMilli: 20_000, structural: false, buildId: dunlin.id }))

  // Gloves are on their way: an order that no build waits for.
  const gloves = await tx.itemPack.findFirst({ where: { itemId: id('Nitrile gloves') }, orderBy: { qtyMilli: 'asc' } })
  if (gloves) {
    await placeOrder(tx, as(keeper, on(3)), {
      supplierId: gloves.supplierId, orderedOn: addDays(today, -3), expectedOn: addDays(today, 6), note: 'With the next delivery',
      lines: [{ itemId: gloves.itemId, packId: gloves.id, packs: 2, qtyMilli: 2 * Number(gloves.qtyMilli), priceCents: 2 * gloves.priceCents }],
    })
  }

  // The monthly count of a shelf: one can was right, the other short by what stuck to cups and sticks.
  const counted = await tx.lotBalance.findMany({
    where: { holderId: CLUB_HOLDER, qtyMilli: { gt: 100_000 }, lot: { itemId: { in: [id(RESIN), id(FAST)] }, state: 'fresh' } },
    select: { qtyMilli: true, lot: { select: { number: true } } }, orderBy: { lot: { number: 'asc' } }, take: 2,
  })
  booked(await takeStock(tx, as(keeper, on(2)), {
    note: 'Resin rack, monthly',
    rows: counted.map(({ qtyMilli, lot }, at) => ({
      number: lot.number, book: Number(qtyMilli), counted: String((Number(qtyMilli) - (at === 0 ? 0 : 18_000)) / 1000), why: at === 0 ? '' : 'Left in cups and on sticks',
    })),
  }))

  // The silica tub held less than the book says: whoever took the last spoon weighed it.
  const silica = await tx.lotBalance.findFirstOrThrow({ where: { holderId: CLUB_HOLDER, qtyMilli: { gt: 0 }, lot: { itemId: id('Fumed silica') } }, select: { lotId: true, qtyMilli: true } })
  booked(await drawStock(tx, as(oona, on(3)), {
    itemId: id('Fumed silica'), lotId: silica.lotId, qtyMilli: 60_000, structural: false, buildId: dunlin.id, weighed: { lotId: silica.lotId, leftMilli: Math.round(Number(silica.qtyMilli) * 0.8) },
  }))
}

const booked = <T>(result: Result<T, Refusal>): T => must(result, 'what its stores booked')

/** The same every time. */
function hash(text: string): number {
  let h = 7
  for (let i = 0; i < text.length; i++) h = (h * 31 + text.charCodeAt(i)) % 1_000_003
  return h
}
