/** What the example club wrote down of its last weeks: the log with its pictures, a late order, what was closed, and the reviews of eight weeks, signed. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import sharp from 'sharp'
import { addDays } from '../../src/core/calendar/index.ts'
import { addLogEntry, closeSnag, storePhoto } from '../../src/features/builds/public.ts'
import { placeOrder, receiveStock } from '../../src/features/stores/public.ts'
import { NO_EDITS, saveDraft, signReview, type ReviewEdits } from '../../src/features/reviews/public.ts'
import type { Tx } from '../../src/platform/database.ts'
import { ROOT } from '../../src/platform/paths.ts'
import { localMoment } from '../../src/platform/times.ts'
import type { Ctx } from '../../src/platform/write.ts'
import { must } from './must.ts'
import { CLUB } from './scenario.ts'
import { LATE_ORDER, LOG, REVIEWS, SNAGS, type BuildName, type Moment, type Picture } from './story.ts'

type As = (key: string, at: Date) => Ctx
type Told = { readonly tx: Tx; readonly as: As; dayOf(week: number, weekday: number): string; at(moment: Moment): Date }

/** The pictures are drawings; what is stored is made of them as of any photo. */
export async function drawPictures(): Promise<ReadonlyMap<Picture, Buffer>> {
  const all = [...new Set([...LOG, ...SNAGS].flatMap(({ picture }) => (picture ? [picture] : [])))]
  return new Map(await Promise.all(all.map(async (name): Promise<[Picture, Buffer]> => [name, await sharp(readFileSync(join(ROOT, `prisma/demo/pictures/${name}.svg`))).jpeg({ quality: 82 }).toBuffer()])))
}

export async function loadStory(tx: Tx, as: As, monday: string, pictures: ReadonlyMap<Picture, Buffer>): Promise<void> {
  const dayOf = (week: number, weekday: number) => addDays(monday, 7 * week + weekday - 1)
  const told: Told = { tx, as, dayOf, at: ([week, weekday, time]) => localMoment(CLUB.zone, dayOf(week, weekday), time) }
  const builds = new Map((await tx.build.findMany({ select: { id: true, name: true } })).map((b) => [b.name, b.id]))
  const idOf = (name: BuildName) => builds.get(name) ?? ''
  await lateOrder(told)
  for (const entry of LOG) {
    const [buildId, at] = [idOf(entry.build), told.at(entry.at)]
    const ctx = as(entry.by, at)
    const task = entry.task ? await tx.task.findFirstOrThrow({ where: { buildId, listKey: entry.task }, select: { id: true } }) : null
    const { entryId: logEntryId } = must(await addLogEntry(tx, ctx, { buildId, kind: entry.kind, text: entry.text, at, taskId: task?.id ?? null, snagId: null }), entry.text)
    const bytes = entry.picture && pictures.get(entry.picture)
    if (bytes) must(await storePhoto(tx, ctx, { buildId, bytes, caption: entry.caption ?? '', takenOn: dayOf(entry.at[0], entry.at[1]), forGuests: true, logEntryId }), entry.text)
  }
  const numbers = new Map<BuildName, number>()
  for (const snag of SNAGS) {
    const no = (numbers.get(snag.build) ?? 0) + 1
    numbers.set(snag.build, no)
    const buildId = idOf(snag.build)
    const row = await tx.snag.findUniqueOrThrow({ where: { buildId_no: { buildId, no } }, select: { id: true, closedOn: true, reworkTask: { select: { finishedAt: true, finishedBy: true } } } })
    const bytes = snag.picture && pictures.get(snag.picture)
    if (bytes) must(await storePhoto(tx, as(snag.by, told.at(snag.at)), { buildId, bytes, caption: snag.what, takenOn: dayOf(snag.at[0], snag.at[1]), forGuests: false, snagId: row.id }), snag.what)
    const mended = row.reworkTask?.finishedAt
    if (mended && row.closedOn === null) must(await closeSnag(tx, as(snag.by, mended), { buildId, snagId: row.id, note: 'Mended, and dry when water was poured in again.' }), snag.what)
    if (snag.leftAsItIs) must(await closeSnag(tx, as(snag.by, told.at(snag.leftAsItIs.at)), { buildId, snagId: row.id, note: snag.leftAsItIs.note }), snag.what)
  }
}

async function lateOrder({ tx, as, dayOf, at }: Told): Promise<void> {
  const { item: name, packs, ordered, expected, came, note } = LATE_ORDER
  const item = await tx.item.findFirstOrThrow({ where: { name }, select: { id: true, supplierId: true, packs: { orderBy: { qtyMilli: 'asc' }, take: 1 } } })
  const [pack] = item.packs
  if (!pack) throw new Error(`demo: ${name} has no pack`)
  const line = { itemId: item.id, packId: pack.id, packs, qtyMilli: packs * Number(pack.qtyMilli), priceCents: packs * pack.priceCents }
  const { orderId } = await placeOrder(tx, as('priya', at([ordered[0], ordered[1], '20:30'])), {
    supplierId: item.supplierId, orderedOn: dayOf(ordered[0], ordered[1]), expectedOn: dayOf(expected[0], expected[1]), note, lines: [line],
  })
  must(await receiveStock(tx, as('priya', at([came[0], came[1], '18:00'])), {
    itemId: item.id, qtyMilli: line.qtyMilli, valueCents: line.priceCents, receivedOn: dayOf(came[0], came[1]), code: 'T4471', orderId,
  }), name)
}

/** Each week's review, drafted and signed on its Sunday evening by what was in the books then. */
export async function loadReviews(tx: Tx, as: As, monday: string): Promise<void> {
  const builds = new Map((await tx.build.findMany({ select: { id: true, name: true } })).map((b) => [b.name, b.id]))
  for (const { build, week, by, slips = {}, ...words } of REVIEWS) {
    const buildId = builds.get(build) ?? ''
    const edits: ReviewEdits = { ...NO_EDITS, ...words, slips: {} }
    for (const [listKey, said] of Object.entries(slips)) {
      const { id } = await tx.task.findFirstOrThrow({ where: { buildId, listKey }, select: { id: true } })
      edits.slips[id] = said
    }
    const of = addDays(monday, 7 * week)
    const ctx = as(by, localMoment(CLUB.zone, addDays(of, 6), '20:30'))
    must(await saveDraft(tx, ctx, { buildId, monday: of, version: 0, edits }), `the draft of ${build} ${week}`)
    must(await signReview(tx, ctx, { buildId, monday: of, version: 1, edits }), `signing ${build} ${week}`)
  }
}
