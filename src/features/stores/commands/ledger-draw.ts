import { mayServe, pickLots, poolQty, stateOn, type LotPick } from '../../../core/stock/index.ts'
import { ok, type Result } from '../../../core/result.ts'
import { milli } from '../../../core/units/index.ts'
import { stockAmount } from '../../../../views/shared/format.ts'
import type { Tx } from '../../../platform/database.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { refused, type Ctx, type Refusal } from '../../../platform/write.ts'
import { LOT_STATE_WORDS, refusalWords, unfit } from '../facts/ledger-words.ts'
import { asMilli, bookOn, CLUB_HOLDER, lockStock, mayHold, save, todayOf, type Account, type LotHere } from './ledger-base.ts'
import { knownPrice } from './ledger-price.ts'

/** What was booked: with what value it left, from which lots. */
export type Booked = {
  entryIds: string[]
  parts: { lotId: string; number: number; qtyMilli: number; valueCents: number }[]
  valueCents: number
}

/** `current` of the refusal of a draw: what is there, so that the form can offer to weigh the can. */
export type NotEnough = {
  itemId: string
  name: string
  unit: string
  leftMilli: number
  lots: { lotId: string; number: number; leftMilli: number }[]
}

export type DrawStock = {
  itemId: string
  qtyMilli: number
  structural: boolean
  /** Else first expired, first out. */
  lotId?: string | undefined
  /** Whose stock; the club's unless said. */
  holderId?: string | undefined
  buildId?: string | undefined
  taskId?: string | undefined
  batchId?: string | undefined
  /** Own use of the club's stock: the member who owes it. */
  chargedToId?: string | undefined
  /** The day it happened: today unless said. */
  onDate?: string | undefined
  why?: string | undefined
  /** What a can really holds before the draw: the difference is booked first and waits for the storekeeper's look. */
  weighed?: { lotId: string; leftMilli: number } | undefined
}

/** Takes stock out, to a build's task, for the club or for a member's own use. */
export async function drawStock(tx: Tx, ctx: Ctx, draw: DrawStock): Promise<Result<Booked, Refusal>> {
  const holderId = draw.holderId ?? CLUB_HOLDER
  const today = todayOf(ctx)
  if (!Number.isSafeInteger(draw.qtyMilli) || draw.qtyMilli <= 0) return field('amount', 'Say how much: more than nothing.')
  if (draw.onDate !== undefined && draw.onDate > today) return field('onDate', 'That day is still to come: a draw is booked when it has happened.')
  if (holderId !== CLUB_HOLDER && !(await mayHold(tx, ctx, holderId))) return refused(403, 'That is another member’s own stock.')
  const { weighed } = draw
  const here = await lockStock(tx, ctx, draw.itemId, holderId, weighed?.lotId ?? null)
  if (!here) return nothingThere(tx, draw.itemId)
  const on_date = draw.onDate ?? today

  if (weighed) {
    const refusal = await bookWeighed(tx, here, weighed, on_date)
    if (refusal) return refusal
  }
  const picked = picks(here, draw, today)
  if (!picked.ok) return picked
  const entry = {
    kind: 'draw' as const, on_date, why: draw.why ?? '', build_id: draw.buildId ?? null, task_id: draw.taskId ?? null, batch_id: draw.batchId ?? null,
    charged_to_id: draw.chargedToId ?? null,
  }
  const booked: Booked = { entryIds: [], parts: [], valueCents: 0 }
  for (const { lotId, qty } of picked.value) {
    const part = bookOn(here, lotId, { kind: 'draw', qty }, entry)
    if (!part.ok) return field('amount', refusalWords(part.refusal, here.unit))
    booked.entryIds.push(part.value.id)
    booked.parts.push({ lotId, number: here.lots.get(lotId)?.number ?? 0, qtyMilli: qty, valueCents: -part.value.value_cents })
    booked.valueCents -= part.value.value_cents
  }
  await save(tx, ctx, here)
  await open(tx, here, booked, on_date)
  if (holderId === CLUB_HOLDER && here.isPlanned && (weighed || !(await wasEarmarked(tx, draw)))) await requestReplan(tx, `${here.name} drawn`, ctx)
  return ok(booked)
}

const field = (name: string, message: string, current?: NotEnough) => refused(422, message, { fields: { [name]: message }, ...(current && { current }) })

async function nothingThere(tx: Tx, itemId: string) {
  const item = await tx.item.findUnique({ where: { id: itemId }, select: { name: true, unit: true } })
  if (!item) return refused(404, 'This item is not in the stores any more.')
  // Of the lots of late: a can may hold something though the book has none left.
  const lots = await tx.lot.findMany({ where: { itemId }, orderBy: { number: 'desc' }, take: 6, select: { id: true, number: true } })
  return field('amount', `No ${item.name} is left in the book.`, {
    itemId, name: item.name, unit: item.unit, leftMilli: 0, lots: lots.map(({ id, number }) => ({ lotId: id, number, leftMilli: 0 })),
  })
}

/** Which lots, or why not. */
function picks(here: Account, { qtyMilli, lotId, structural }: DrawStock, today: string): Result<LotPick[], Refusal> {
  const lots = [...here.lots.values()]
  if (lotId !== undefined) {
    const lot = here.lots.get(lotId)
    if (!lot) return field('amount', 'Nothing is left in this lot by the book.', notEnough(here, 0, []))
    const reason = unfit(stateOn(lot, today), structural, lot.number)
    if (reason !== null) return field('lotId', reason)
    if (qtyMilli > lot.left) return field('amount', `Only ${stockAmount(lot.left, here.unit)} of ${here.name} is left in lot ${lot.number} by the book.`, notEnough(here, lot.left, [lot]))
    return ok([{ lotId, qty: asMilli(qtyMilli) }])
  }
  const { picks: taken, short } = pickLots(lots, asMilli(qtyMilli), { structural, today })
  if (short === 0) return ok([...taken])
  const serving = lots.filter((lot) => mayServe(stateOn(lot, today), structural))
  const left = serving.reduce((sum, lot) => sum + lot.left, 0)
  return field('amount', shortWords(here, left, lots.filter((lot) => lot.left > 0 && !serving.includes(lot)), today), notEnough(here, left, serving))
}

function shortWords({ name, unit }: Account, left: number, others: readonly LotHere[], today: string): string {
  const there = left === 0 ? `No ${name} is left for this use by the book` : `Only ${stockAmount(left, unit)} of ${name} is left by the book`
  if (others.length === 0) return `${there}.`
  return `${there}, besides ${others.map((lot) => `${stockAmount(lot.left, unit)} in lot ${lot.number} (${LOT_STATE_WORDS[stateOn(lot, today)]})`).join(', ')}.`
}

const notEnough = ({ itemId, name, unit, lots }: Account, leftMilli: number, named: readonly LotHere[]): NotEnough => ({
  itemId, name, unit, leftMilli,
  lots: (named.length > 0 ? named : [...lots.values()]).map(({ id, number, left }) => ({ lotId: id, number, leftMilli: left })),
})

/** The can was weighed: what the book has too much or too little of it, as an entry of its own. */
async function bookWeighed(tx: Tx, here: Account, { lotId, leftMilli }: { lotId: string; leftMilli: number }, on_date: string) {
  const lot = here.lots.get(lotId)
  if (!lot) return field('weighed', 'This lot is not there.')
  if (!Number.isSafeInteger(leftMilli) || leftMilli < 0) return field('weighed', 'Say what is in the can: nothing or more.')
  if (leftMilli === lot.left) return null
  const whenEmpty = poolQty(here.pool) === 0 ? await knownPrice(tx, here.itemId, lotId) : null
  const why = `Weighed at the shelf: ${stockAmount(leftMilli, here.unit)}, the book had ${stockAmount(lot.left, here.unit)}`
  const booked = bookOn(here, lotId, { kind: 'stocktake', counted: milli(leftMilli), whenEmpty }, { kind: 'stocktake', on_date, why })
  return booked.ok ? null : field('weighed', refusalWords(booked.refusal, here.unit))
}

/** A can is open from its first draw on; other goods have no lid. */
async function open(tx: Tx, here: Account, { parts }: Booked, onDate: string): Promise<void> {
  if (here.unit !== 'g' && here.unit !== 'ml') return
  const shut = parts.filter(({ lotId }) => here.lots.get(lotId)?.opened === null).map(({ lotId }) => lotId)
  if (shut.length === 0) return
  await tx.$executeRaw`
    update lot set opened_on = greatest(received_on, ${onDate}::date), version = version + 1 where id = any(${shut}::uuid[]) and opened_on is null`
}

/** Whether the plan had set this much aside for the task: then nothing that it reckons with has changed. */
async function wasEarmarked(tx: Tx, { itemId, taskId, structural }: DrawStock): Promise<boolean> {
  if (taskId === undefined) return false
  const [row] = await tx.$queryRaw<{ enough: boolean | null }[]>`
    with shown as (select p.id, p.made_at from plan p where p.status in ('optimal', 'feasible', 'infeasible') order by p.id desc limit 1)
    select sum(n.amount_milli) >= (select -coalesce(sum(e.qty_milli), 0) from stock_entry e, shown s
      where e.task_id = ${taskId}::uuid and e.item_id = ${itemId}::uuid and e.at >= s.made_at) as enough
    from plan_need n join shown s on s.id = n.plan_id where n.task_id = ${taskId}::uuid and n.item_id = ${itemId}::uuid and n.structural = ${structural}`
  return row?.enough === true
}
