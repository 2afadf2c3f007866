/** Draws for a task at the shelf: what it needs, what the can weighed, and what comes back. */
import { ok, type Result } from '../../../core/result.ts'
import { stockAmount } from '../../../../views/shared/format.ts'
import type { Tx } from '../../../platform/database.ts'
import type { StockUnit } from '../../../platform/generated/enums.ts'
import { isUuid } from '../../../platform/request.ts'
import { refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { drawStock, holderOf, parseAmount, returnStock, reverseEntry, type Booked, type NotEnough } from '../../stores/public.ts'
import type { DrawInput, WeighInput } from '../schemas/draw.ts'
import { tellPages } from './changed.ts'
import { lockTask } from './found.ts'
import { taskUrl } from './task.ts'

type Ids = { buildId: string; taskId: string }
type Item = { id: string; name: string; unit: StockUnit; density: number | null; widthMm: number | null }
/** What the form is shown again with when a draw is refused: for which line, and which cans could be weighed. */
export type Short = NotEnough & { key: string }

const NOTHING = 'Nothing was booked: see the note at the field.'
const bad = (field: string, message: string) => refused(422, NOTHING, { fields: { [field]: message } })

async function itemOf(tx: Tx, id: string): Promise<Item | null> {
  return tx.item.findUnique({ where: { id }, select: { id: true, name: true, unit: true, density: true, widthMm: true } })
}

type Line = { key: string; holderId?: string | undefined; amountField: string; suffix: string; item: Item; structural: boolean; qtyMilli: number; lotId: string | null; weighed: string; weighedLot: string | null; gross: boolean }

/** Draws all lines that have an amount, or none of them. */
export async function drawForTask(tx: Tx, ctx: Ctx, ids: Ids, input: DrawInput): Promise<Result<Done, Refusal>> {
  const locked = await lockTask(tx, ids.buildId, ids.taskId)
  if (!locked.ok) return locked
  const holderId = input.whose === 'own' ? await holderOf(tx, ctx.member.id) : undefined
  const lines: Line[] = []
  for (const typed of input.lines.filter((l) => l.amount !== '')) {
    const item = await itemOf(tx, typed.itemId)
    if (!item) return bad(typed.field, 'This item is not in the stores any more')
    const read = parseAmount(typed.amount, item.unit, item)
    if (!read.ok) return bad(typed.field, `${item.name}: ${read.message}`)
    if (read.milli === 0) continue
    lines.push({ ...typed, holderId, amountField: typed.field, suffix: `.${typed.key}`, item, qtyMilli: read.milli })
  }
  const { other } = input
  if (other.itemId !== null || other.amount !== '') {
    const item = other.itemId === null ? null : await itemOf(tx, other.itemId)
    if (!item) return bad('otherItem', 'Choose what else was taken, or leave its amount empty')
    const read = parseAmount(other.amount, item.unit, item)
    if (!read.ok) return bad('otherAmount', `${item.name}: ${read.message}`)
    if (read.milli === 0) return bad('otherAmount', `${item.name}: more than nothing`)
    lines.push({ key: 'other', holderId, amountField: 'otherAmount', suffix: '.other', item, structural: other.structural, qtyMilli: read.milli, lotId: null, weighed: '', weighedLot: null, gross: false })
  }
  if (lines.length === 0) return refused(422, 'Nothing was booked: say how much was taken, of at least one thing.')
  const said: string[] = []
  // One order for all, so that two who draw at once never wait for each other.
  for (const line of lines.toSorted((a, b) => (a.item.id < b.item.id ? -1 : a.item.id > b.item.id ? 1 : Number(b.structural) - Number(a.structural)))) {
    const drawn = await drawLine(tx, ctx, ids, line, { why: input.why, onDate: input.onDate })
    if (!drawn.ok) return drawn
    said.push(drawnWords(line, drawn.value))
  }
  await tellPages(tx, ids.buildId)
  return ok({ location: `${taskUrl(ids.buildId, ids.taskId)}#stores`, flash: `Drawn for “${locked.value.name}”: ${said.join('; ')}.` })
}

const drawnWords = ({ item, qtyMilli }: Pick<Line, 'item' | 'qtyMilli'>, { parts }: Booked): string =>
  `${stockAmount(qtyMilli, item.unit)} of ${item.name} (lot ${[...new Set(parts.map((p) => p.number))].join(' and ')})`

async function drawLine(tx: Tx, ctx: Ctx, ids: Ids, line: Line, more: { why: string; onDate: string | null }): Promise<Result<Booked, Refusal>> {
  const can = await weighedCan(tx, line)
  if (!can.ok) return can
  const drawn = await drawStock(tx, ctx, {
    itemId: line.item.id, qtyMilli: line.qtyMilli, structural: line.structural, lotId: line.lotId ?? undefined, holderId: line.holderId, ...ids, why: more.why, onDate: more.onDate ?? undefined, weighed: can.value,
  })
  return drawn.ok ? drawn : placed(drawn.refusal, line)
}

/** What the can holds, from the figure on the scale; undefined where none was weighed. */
async function weighedCan(tx: Tx, { item, suffix, weighed, weighedLot, gross }: Line): Promise<Result<{ lotId: string; leftMilli: number } | undefined, Refusal>> {
  if (weighed === '') return ok(undefined)
  const field = `weighed${suffix}`
  if (weighedLot === null) return bad(`weighedLot${suffix}`, `${item.name}: choose the can that was weighed`)
  if (!gross) {
    const read = parseAmount(weighed, item.unit, item)
    return read.ok ? ok({ lotId: weighedLot, leftMilli: read.milli }) : bad(field, `${item.name}: ${read.message}`)
  }
  const lot = await tx.lot.findFirst({ where: { id: weighedLot, itemId: item.id }, select: { tareMg: true, number: true } })
  if (!lot) return bad(field, `${item.name}: this can is not there any more`)
  const read = parseAmount(weighed, 'g')
  if (!read.ok) return bad(field, `${item.name}: ${read.message}`)
  if (lot.tareMg === null) return bad(field, `Nobody knows what the empty can of lot ${lot.number} weighs: say what is in it, without the can`)
  const net = read.milli - Number(lot.tareMg)
  if (net < 0) return bad(field, `The empty can of lot ${lot.number} weighs ${stockAmount(Number(lot.tareMg), 'g')} by itself: look at the scale again`)
  const leftMilli = fromMass(item, net)
  return leftMilli === null ? bad(field, `${item.name} is kept in ${item.unit} and has no density: say what is in it in ${item.unit}, without the can`) : ok({ lotId: weighedLot, leftMilli })
}

const fromMass = (item: Item, mg: number): number | null => (item.unit === 'g' ? mg : item.unit === 'ml' && item.density !== null ? Math.round(mg / item.density) : null)

/** A refused draw says it at the line's own field, and which cans could be weighed. */
function placed(refusal: Refusal, line: Line): { ok: false; refusal: Refusal } {
  const own: Record<string, string> = { amount: line.amountField, weighed: `weighed${line.suffix}` }
  const fields = Object.fromEntries(Object.entries(refusal.fields ?? {}).map(([name, text]) => [own[name] ?? name, text.startsWith(line.item.name) ? text : `${line.item.name}: ${text}`]))
  const current = refusal.current === undefined ? {} : { current: { ...(refusal.current as NotEnough), key: line.key } satisfies Short }
  return refused(refusal.status, Object.keys(fields).length > 0 ? NOTHING : refusal.message, { ...(Object.keys(fields).length > 0 ? { fields } : {}), ...current })
}

/** Draws what the can lost between two weighings. */
export async function weighBack(tx: Tx, ctx: Ctx, ids: Ids, input: WeighInput): Promise<Result<Done, Refusal>> {
  const locked = await lockTask(tx, ids.buildId, ids.taskId)
  if (!locked.ok) return locked
  const item = await itemOf(tx, input.key.slice(2))
  if (!item) return bad('key', 'This item is not in the stores any more')
  const [before, after] = [parseAmount(input.before, 'g'), parseAmount(input.after, 'g')]
  if (!before.ok) return bad('before', `Before: ${before.message}`)
  if (!after.ok) return bad('after', `After: ${after.message}`)
  if (after.milli >= before.milli) return bad('after', after.milli === before.milli ? 'The can weighs the same as before: nothing was taken' : 'The can weighs more than before: were the two figures swapped?')
  const qtyMilli = fromMass(item, before.milli - after.milli)
  if (qtyMilli === null) return bad('key', `${item.name} is kept in ${item.unit}${item.unit === 'ml' ? ' and has no density' : ''}, so that weighing does not say how much was taken: draw it above`)
  if (qtyMilli === 0) return bad('after', 'That is less than can be booked')
  const can = input.lot === null ? null : await tx.lot.findUnique({ where: { id: input.lot }, select: { number: true, itemId: true, item: { select: { name: true } } } })
  if (can && can.itemId !== item.id) return bad('lot', `Lot ${can.number} is ${can.item.name}, not ${item.name}: which was poured?`)
  const line: Line = {
    key: 'weigh', amountField: 'after', suffix: '', item, structural: input.key.startsWith('s'), qtyMilli, lotId: input.lot,
    weighed: input.weighed, weighedLot: input.weighedLot, gross: input.gross,
  }
  const why = [`Can before ${stockAmount(before.milli, 'g')}, after ${stockAmount(after.milli, 'g')}`, input.why].filter((t) => t !== '').join(' · ')
  const drawn = await drawLine(tx, ctx, ids, line, { why, onDate: null })
  if (!drawn.ok) return drawn
  await tellPages(tx, ids.buildId)
  return ok({ location: `${taskUrl(ids.buildId, ids.taskId)}#stores`, flash: `Drawn for “${locked.value.name}”: ${drawnWords(line, drawn.value)}.` })
}

/** An entry of this task, so that nobody reaches another build's through their own. */
async function entryOf(tx: Tx, { taskId }: Ids, entryId: string) {
  return isUuid(entryId) ? tx.stockEntry.findFirst({ where: { id: entryId, taskId }, select: { id: true, batch: { select: { number: true } }, item: { select: { name: true, unit: true, density: true, widthMm: true } } } }) : null
}
const GONE = refused(404, 'This entry is not there. Open the page again.')

/** Part of a draw goes back on the shelf, into its lot and at the cost it left at. */
export async function putBack(tx: Tx, ctx: Ctx, ids: Ids, entryId: string, input: { back: string; why: string }): Promise<Result<Done, Refusal>> {
  const entry = await entryOf(tx, ids, entryId)
  if (!entry) return GONE
  if (entry.batch) return refused(422, `This went into batch ${entry.batch.number}: what is mixed never goes back into its can.`)
  const read = parseAmount(input.back, entry.item.unit, entry.item)
  if (!read.ok) return bad('back', `${entry.item.name}: ${read.message}`)
  const back = await returnStock(tx, ctx, { entryId, qtyMilli: read.milli, why: input.why })
  if (!back.ok) {
    const text = back.refusal.fields?.['amount']
    return text === undefined ? back : bad('back', text)
  }
  await tellPages(tx, ids.buildId)
  return ok({ location: `${taskUrl(ids.buildId, ids.taskId)}/draw#entries`, flash: `Back on the shelf: ${stockAmount(read.milli, entry.item.unit)} of ${entry.item.name}.` })
}

/** Takes an entry back by one of its own; the pair stays in the book. */
export async function undoEntry(tx: Tx, ctx: Ctx, ids: Ids, entryId: string, input: { why: string }): Promise<Result<Done, Refusal>> {
  const entry = await entryOf(tx, ids, entryId)
  if (!entry) return GONE
  if (entry.batch) return refused(422, `This is part of batch ${entry.batch.number}: both parts are taken back together, on the batch’s own page.`)
  const undone = await reverseEntry(tx, ctx, { entryId, why: input.why === '' ? 'Booked by mistake at the task' : input.why })
  if (!undone.ok) return undone
  await tellPages(tx, ids.buildId)
  return ok({ location: `${taskUrl(ids.buildId, ids.taskId)}/draw#entries`, flash: `Taken back: the stock of ${entry.item.name} is as it was.` })
}
