import { ok, type Result } from '../../../core/result.ts'
import { split, type MassRatio } from '../../../core/stock/index.ts'
import { milligrams } from '../../../core/units/index.ts'
import { isUuid } from '../../../platform/request.ts'
import type { Tx } from '../../../platform/database.ts'
import { audit, refused, type Ctx, type Refusal } from '../../../platform/write.ts'
import { batchRefusal, offWords, ratioText, type PartName } from '../facts/batch-words.ts'
import { loadSystems, massAsStock, type PartItem } from '../queries/systems.ts'
import { drawStock, type NotEnough } from './ledger-draw.ts'
import { reverseEntry } from './ledger-undo.ts'

/** What of one part went into the pot; what is left out follows from the mixed mass, and first expired is taken first. */
export type BatchPart = { lotId?: string | null | undefined; /** What the can held before. */ weighedMg?: number | null | undefined }

export type LogBatch = {
  productId: string
  /** Mixed mass; resin and hardener by the ratio unless weighed. */
  massMg: number
  resinMg?: number | undefined
  hardenerMg?: number | undefined
  resin?: BatchPart | undefined
  hardener?: BatchPart | undefined
  buildId?: string | undefined
  taskId?: string | undefined
  /** Own use: the member who owes it. */
  chargedToId?: string | undefined
  /** Whose stock; the club's unless said. */
  holderId?: string | undefined
  structural?: boolean | undefined
  /** It was weighed off the ratio, and that is so. */
  offRatio?: boolean | undefined
  note?: string | undefined
  /** Who mixed; whoever logs unless said. */
  by?: string | undefined
}
export type LoggedBatch = { batchId: string; number: number; massMg: number; lots: number[] }

/** Beyond this a batch is not what its data sheet is about; common practice, no source. */
export const OFF_RATIO = 0.05

/** Share by which the hardener for its resin is off the ratio: 0.1 is a tenth too much, −0.1 a tenth too little. */
export const offRatioBy = (resinMg: number, hardenerMg: number, ratio: MassRatio): number => (hardenerMg * ratio.a) / (resinMg * ratio.b) - 1

/** One mixing of resin, in the book: both parts leave their lots, or neither does. */
export async function logBatch(tx: Tx, ctx: Ctx, input: LogBatch): Promise<Result<LoggedBatch, Refusal>> {
  const system = (await loadSystems(tx)).get(input.productId)
  if (!system) return refused(422, 'This product has no resin and hardener in the stores: say at the product which they are.', { fields: { product: 'Not tied to the stores yet' } })
  const { massRatio } = system
  if (massRatio === null) {
    const why = system.ratio === null ? 'a mix ratio, with by mass or by volume' : 'the densities of both parts, for its ratio is by volume'
    return refused(422, `${system.name} needs ${why}: see its data sheet.`, { fields: { product: 'Can’t be split into its parts yet' } })
  }
  const parts = split(milligrams(Math.round(input.massMg)), massRatio)
  const resinMg = input.resinMg ?? parts.a
  const hardenerMg = input.hardenerMg ?? parts.b
  if (!(resinMg > 0)) return refused(422, 'Nothing was booked: a batch has resin.', { fields: { resin: 'Resin: more than nothing' } })
  if (!(hardenerMg > 0)) return refused(422, 'Nothing was booked: a batch has hardener.', { fields: { hardener: 'Hardener: more than nothing' } })
  const off = offRatioBy(resinMg, hardenerMg, massRatio)
  if (Math.abs(off) > OFF_RATIO && input.offRatio !== true) {
    return refused(422, 'Nothing was booked: the two do not fit the ratio.', { fields: { hardener: offWords(off, system.ratio ?? massRatio), offRatio: 'Tick this if it is really what went into the pot' } })
  }
  const by = input.by ?? ctx.member.id
  if (!isUuid(by) || (await tx.member.count({ where: { id: by, isActive: true } })) === 0) return refused(422, 'Nothing was booked: say who mixed.', { fields: { by: 'Choose a member of the club' } })

  const isOff = Math.abs(off) > OFF_RATIO
  const note = [input.note ?? '', isOff ? offWords(off, system.ratio ?? massRatio) : ''].filter((t) => t !== '').join(' · ')
  const batch = await tx.batch.create({
    data: {
      productId: system.productId, buildId: input.buildId ?? null, taskId: input.taskId ?? null, mixedAt: ctx.now, byId: by, massMg: BigInt(resinMg + hardenerMg),
      ratio: ratioText(system.ratio ?? massRatio), note,
    },
    select: { id: true, number: true },
  })
  const draws: { name: PartName; item: PartItem; mg: number; part: BatchPart }[] = [
    { name: 'resin', item: system.resin, mg: resinMg, part: input.resin ?? {} },
    { name: 'hardener', item: system.hardener, mg: hardenerMg, part: input.hardener ?? {} },
  ]
  const lots: number[] = []
  // One order for all, so that two who mix at once never wait for each other.
  for (const draw of draws.toSorted((a, b) => (a.item.id < b.item.id ? -1 : 1))) {
    const drawn = await drawPart(tx, ctx, draw, input, batch)
    if (!drawn.ok) return drawn
    lots.push(...drawn.value)
  }
  return ok({ batchId: batch.id, number: batch.number, massMg: resinMg + hardenerMg, lots })
}

type Part = { name: PartName; item: PartItem; mg: number; part: BatchPart }

async function drawPart(tx: Tx, ctx: Ctx, { name, item, mg, part }: Part, input: LogBatch, batch: { id: string; number: number }): Promise<Result<number[], Refusal>> {
  const qtyMilli = massAsStock(item, mg)
  const leftMilli = part.weighedMg == null ? null : massAsStock(item, part.weighedMg)
  if (qtyMilli === null || (part.weighedMg != null && leftMilli === null)) {
    return refused(422, `Nothing was booked: ${item.name} is kept in ${item.unit} and its density is not known, so that its mass can’t be booked.`, { fields: { [name]: 'Say the density at the item' } })
  }
  if (leftMilli !== null && !part.lotId) return refused(422, 'Nothing was booked: say which can was weighed.', { fields: { [`${name}Lot`]: 'Choose the lot that was weighed' } })
  const drawn = await drawStock(tx, ctx, {
    itemId: item.id, qtyMilli, structural: input.structural ?? true, buildId: input.buildId, taskId: input.taskId, batchId: batch.id, chargedToId: input.chargedToId,
    holderId: input.holderId, why: `Batch ${batch.number}`, lotId: part.lotId ?? undefined, weighed: leftMilli === null || !part.lotId ? undefined : { lotId: part.lotId, leftMilli },
  })
  return drawn.ok ? ok(drawn.value.parts.map((p) => p.number)) : { ok: false, refusal: batchRefusal(drawn.refusal, name, item.name) }
}

/** A batch logged in error: both draws go back, in one step. What was really mixed is gone and stays booked. */
export async function undoBatch(tx: Tx, ctx: Ctx, input: { batchId: string; why: string }): Promise<Result<{ number: number }, Refusal>> {
  const batch = isUuid(input.batchId) ? await tx.batch.findUnique({ where: { id: input.batchId }, select: { id: true, number: true, buildId: true } }) : null
  if (!batch) return refused(404, 'This batch is not there.')
  const entries = await tx.stockEntry.findMany({ where: { batchId: batch.id, kind: 'draw', reversedBy: null }, select: { id: true }, orderBy: [{ itemId: 'asc' }, { seq: 'desc' }] })
  if (entries.length === 0) return refused(409, `Batch ${batch.number} was taken back already.`)
  for (const { id } of entries) {
    const reversed = await reverseEntry(tx, ctx, { entryId: id, why: input.why })
    if (!reversed.ok) return reversed
  }
  await audit(tx, ctx, { what: 'batch taken back', entity: 'batch', entityId: batch.id, ...(batch.buildId === null ? {} : { buildId: batch.buildId }) })
  return ok({ number: batch.number })
}

export type { NotEnough }
