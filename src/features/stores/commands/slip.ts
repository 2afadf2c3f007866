import { isDate } from '../../../core/calendar/index.ts'
import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { isUuid } from '../../../platform/request.ts'
import { refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { parseAmount } from '../facts/amount-text.ts'
import { seenBuilds } from '../facts/seen.ts'
import type { SlipInput } from '../schemas/slip.ts'
import { drawStock, type DrawStock } from './ledger-draw.ts'

type Row = SlipInput['rows'][number]
type Field = 'what' | 'qty' | 'use' | 'who' | 'on'
type Fault = { field: Field; message: string }
const bad = (field: Field, message: string): { ok: false; refusal: Fault } => ({ ok: false, refusal: { field, message } })

/** Books the draws of a paper slip in the order of its rows: all of them, or none with what is wrong at each row. */
export async function bookSlip(tx: Tx, ctx: Ctx, { date, rows }: SlipInput): Promise<Result<Done, Refusal>> {
  if (rows.length === 0) return refused(422, 'The slip is empty.', { fields: { what0: 'Row 1: what was taken: an item, or the number of a lot' } })
  const fields: Record<string, string> = {}
  for (const row of rows) {
    const draw = await readRow(tx, ctx, row, date)
    const done = draw.ok ? await booked(tx, ctx, draw.value) : draw
    if (!done.ok) fields[`${done.refusal.field}${row.at}`] = `Row ${row.at + 1}: ${done.refusal.message}`
  }
  const count = Object.keys(fields).length
  if (count > 0) return refused(422, `Nothing was booked: ${count === 1 ? 'a row needs' : `${count} rows need`} another look.`, { fields })
  return ok({ location: '/stores/slip', flash: `${rows.length} ${rows.length === 1 ? 'draw is' : 'draws are'} booked.` })
}

/** Fields of drawStock's refusal as this form calls them. */
const FIELD_OF: Record<string, Field> = { amount: 'qty', lotId: 'what', onDate: 'on' }

async function booked(tx: Tx, ctx: Ctx, draw: DrawStock): Promise<Result<null, Fault>> {
  const done = await drawStock(tx, ctx, draw)
  if (done.ok) return ok(null)
  return bad(FIELD_OF[Object.keys(done.refusal.fields ?? {})[0] ?? ''] ?? 'qty', done.refusal.message)
}

async function readRow(tx: Tx, ctx: Ctx, row: Row, date: string): Promise<Result<DrawStock, Fault>> {
  const what = await named(tx, row.what)
  if (!what.ok) return what
  const { item, lotId } = what.value
  const amount = parseAmount(row.qty, item.unit, item)
  if (!amount.ok) return bad('qty', amount.message)
  const onDate = row.on === '' ? date : row.on
  if (!isDate(onDate)) return bad('on', 'write the date as 2026-06-30')
  const use = await usedFor(tx, ctx, row.use)
  if (!use.ok) return use
  const who = isUuid(row.who) ? await tx.member.findUnique({ where: { id: row.who }, select: { name: true } }) : null
  if (!who) return bad('who', 'choose who took it')
  return ok({ itemId: item.id, lotId, qtyMilli: amount.milli, structural: row.structural !== '', onDate, why: `Paper slip: taken by ${who.name}`, ...use.value })
}

type Named = { item: { id: string; unit: 'g' | 'ml' | 'm' | 'm2' | 'pcs'; density: number | null; widthMm: number | null }; lotId: string | undefined }

/** "12", "#12" or "lot 12" is a lot; else an item by its name, or by the only name that begins like that. */
async function named(tx: Tx, text: string): Promise<Result<Named, Fault>> {
  if (text === '') return bad('what', 'what was taken: an item, or the number of a lot')
  const select = { id: true, unit: true, density: true, widthMm: true } as const
  const number = /^(?:lot\s*|#\s*)?(\d{1,9})$/i.exec(text)?.[1]
  if (number !== undefined) {
    const lot = await tx.lot.findUnique({ where: { number: Number(number) }, select: { id: true, item: { select } } })
    return lot ? ok({ item: lot.item, lotId: lot.id }) : bad('what', `there is no lot ${number}`)
  }
  const exact = await tx.item.findFirst({ where: { name: { equals: text, mode: 'insensitive' } }, select })
  if (exact) return ok({ item: exact, lotId: undefined })
  const like = await tx.item.findMany({ where: { isActive: true, name: { startsWith: text, mode: 'insensitive' } }, select: { ...select, name: true }, orderBy: { name: 'asc' }, take: 4 })
  if (like.length === 1) return ok({ item: like[0]!, lotId: undefined })
  return bad('what', like.length === 0 ? `nothing in the stores is called “${text}”` : `“${text}” may be ${like.map(({ name }) => name).join(' or ')}: write more of it`)
}

/** club, build:<id>, task:<id>, member:<id>. */
async function usedFor(tx: Tx, ctx: Ctx, use: string): Promise<Result<Pick<DrawStock, 'buildId' | 'taskId' | 'chargedToId'>, Fault>> {
  const [kind, id] = use.split(':')
  if (use === 'club') return ok({})
  if (isUuid(id)) {
    const seen = seenBuilds(ctx.member)
    if (kind === 'build' && (await tx.build.findFirst({ where: { AND: [seen, { id }] }, select: { id: true } }))) return ok({ buildId: id })
    const task = kind === 'task' ? await tx.task.findFirst({ where: { id, build: seen }, select: { buildId: true } }) : null
    if (task) return ok({ buildId: task.buildId, taskId: id })
    if (kind === 'member' && (await tx.member.findUnique({ where: { id }, select: { id: true } }))) return ok({ chargedToId: id })
  }
  return bad('use', 'choose what it was for')
}
