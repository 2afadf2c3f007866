import type { MeantPiece } from '../../../src/features/planning/model.ts'
import type { Prisma } from '../../../src/platform/generated/client.ts'
import { drawStock } from '../../../src/features/stores/public.ts'
import { transact } from '../../../src/platform/database.ts'
import type { TestClub } from '../../support/app.ts'
import { day, smallClub } from '../planning/club.ts'

/** A moment by the club's clock in summer: Berlin is two hours ahead of UTC. */
export const local = (date: string, time: string): Date => new Date(`${date}T${time}:00+02:00`)

/** ISO week 22 of 2026, 25 to 31 May: the fifth of a boat that was started on Friday 1 May (week 18). */
export const MONDAY = '2026-05-25'
export const SATURDAY = '2026-05-30'
export const SUNDAY = '2026-05-31'
/** Sunday evening, when it is reviewed. */
export const EVENING = local(SUNDAY, '21:00')

/** Skua's week, row by row as the service would have left it; the arithmetic is at each row. */
export async function skuaWeek(club: TestClub) {
  const { db, make } = club
  const small = await smallClub(club)
  const { ann, ben, build, place } = small
  await db.build.update({ where: { id: build.id }, data: { massTargetG: 60_000 } })
  const resin = await make.item({ name: 'Clear resin', unit: 'g' })
  const ply = await make.item({ name: 'Ply 6 mm', unit: 'pcs', kind: 'ply' })
  const done = local(SATURDAY, '12:00')
  const rails = await small.task('Fit the rails', { startedAt: local(SATURDAY, '10:00'), finishedAt: done, workLikelyMin: 240 })
  const first = await small.coat('First coat', { startedAt: local(SATURDAY, '13:00'), finishedAt: local(SATURDAY, '14:00') })
  const second = await small.coat('Second coat')
  const sand = await small.task('Sand the inside', { dusty: true, startedAt: local(SATURDAY, '14:00') })
  const deck = await small.task('Cut the deck', { workLikelyMin: 240 })
  const tiller = await small.task('Make the tiller', { workLikelyMin: 60 })
  const mend = await small.task('Grind out the bubble', { workLikelyMin: 60, startedAt: local(SATURDAY, '16:10') })
  await small.link(first.id, second.id, { kind: 'window', stage: null, washMin: 90, missedAt: local(SUNDAY, '09:00') })
  const snag = { buildId: build.id, what: 'Bubble', whereAt: 'under the port seat', bad: 'before_next' as const, foundOn: day(SATURDAY), foundById: ann.id, createdAt: local(SATURDAY, '15:00') }
  await db.snag.create({ data: { ...snag, no: 1, reworkTaskId: mend.id } })

  const piece = (task: { id: string; name: string }, date: string, from: string, to: string, people: { id: string }[]): MeantPiece => ({
    taskId: task.id, washLinkId: null, name: task.name, start: local(date, from).toISOString(), end: local(date, to).toISOString(), people: people.map((p) => p.id), placeId: place.id,
  })
  const meant = [
    piece(rails, SATURDAY, '10:00', '12:00', [ann, ben]), // 2 h × 2 = 240 min
    piece(first, SATURDAY, '13:00', '14:00', [ann]), // 60
    piece(sand, SATURDAY, '14:00', '16:00', [ben]), // 120
    piece(second, SUNDAY, '10:00', '11:00', [ben]), // 60
    piece(deck, SUNDAY, '11:00', '13:00', [ann, ben]), // 240
    piece(tiller, SUNDAY, '13:00', '14:00', [ben]), // 60
  ] // together 780 min = 13 h
  await db.buildWeek.create({ data: { buildId: build.id, monday: day(MONDAY), availableMin: 900, plannedMin: 780, leftMin: 3000, meant: meant as unknown as Prisma.InputJsonValue } })

  const work = (task: { id: string }, date: string, from: string, elapsedMin: number, people: { id: string }[], over: Partial<Prisma.WorkLogUncheckedCreateInput> = {}) =>
    db.workLog.create({
      data: {
        buildId: build.id, taskId: task.id, startedAt: local(date, from), elapsedMin, workedMin: elapsedMin, loggedBy: ann.id, loggedAt: local(date, '18:00'), ...over,
        people: { create: people.map((p) => ({ memberId: p.id })) },
      },
    })
  await work(rails, SATURDAY, '10:00', 120, [ann, ben]) // 240
  await work(first, SATURDAY, '13:00', 60, [ann]) // 60
  await work(sand, SATURDAY, '14:00', 130, [ben]) // 130
  await work(mend, SATURDAY, '16:10', 30, [ann]) // 30; together 460 min = 7.7 h
  await db.coat.create({ data: { taskId: first.id, productId: small.epoxy.id, placeId: place.id, startedAt: local(SATURDAY, '13:00'), endedAt: local(SATURDAY, '14:00'), loggedBy: ann.id, loggedAt: local(SATURDAY, '14:05') } })

  const saturday = await small.session(SATURDAY, '10:00', '17:00')
  const sunday = await small.session(SUNDAY, '10:00', '15:00')
  // On Sunday Ann alone was there.
  await db.attendance.update({ where: { sessionId_memberId: { sessionId: sunday.id, memberId: ann.id } }, data: { cameAt: local(SUNDAY, '10:00') } })

  // 300 g of the lot's 1,000 g for 10.00: 3.00 charged to her.
  const lot = await make.lot({ itemId: resin.id, qty: 1_000_000, cents: 1000, on: '2026-05-20' })
  const drawn = await transact(db, (tx) => drawStock(tx, make.ctx(ann.id, { now: local(SATURDAY, '13:00') }), { itemId: resin.id, qtyMilli: 300_000, structural: true, buildId: build.id, taskId: first.id, why: '' }))
  if (!drawn.ok) throw new Error(drawn.refusal.message)
  await db.taskMaterial.create({ data: { taskId: first.id, itemId: resin.id, name: 'Clear resin', unit: 'g', low: 180, likely: 200, high: 250 } })
  await db.taskMaterial.create({ data: { taskId: deck.id, itemId: ply.id, name: 'Ply 6 mm', unit: 'pcs', low: 2, likely: 2, high: 2 } })
  const order = await db.stockOrder.create({
    data: { orderedOn: day('2026-05-11'), expectedOn: day('2026-05-28'), byId: ann.id, lines: { create: { itemId: ply.id, qtyMilli: 4000n, priceCents: 20_000 } } }, include: { lines: true },
  })
  return { ...small, resin, ply, lot, order, rails, first, second, sand, deck, tiller, mend, saturday, sunday, work, piece }
}
export type SkuaWeek = Awaited<ReturnType<typeof skuaWeek>>
