import { ok, type Result } from '../../../../core/result.ts'
import type { Tx } from '../../../../platform/database.ts'
import type { Prisma } from '../../../../platform/generated/client.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../../platform/write.ts'
import { estimateOf } from '../../../builds/public.ts'
import { parseMoney } from '../../../stores/public.ts'
import { MOST_VARIED, type SheetOption, type TypedPrice } from '../model.ts'
import { KIT } from '../queries/form.ts'
import { leversOf } from '../queries/levers.ts'
import { sheetBuild } from '../queries/sheet.ts'
import { MOST_QUESTION, PRICE, type SheetInput } from '../schemas.ts'
import { readOptions } from '../typed.ts'

const NO_LIST = 'She was not started from a standard job list, so there is nothing to vary: an option sheet needs measurements that hours and materials hang on.'
export const LAUNCHED = 'She is launched: there is nothing left to choose between.'
export const GONE = 'This option sheet is not there any more.'
export const MOVED_ON = 'Somebody changed this option sheet while the page was open. Here it is as it is now.'
const TAKEN = 'One of its options was taken, so the sheet stays as it is: start another one.'

type Where = { readonly buildId: string; /** null: a new one. */ readonly sheetId: string | null; readonly units: 'metric' | 'imperial' }

/** A new sheet, or one changed; what was worked out before says nothing about it any more. */
export async function saveSheet(tx: Tx, ctx: Ctx, { buildId, sheetId, units }: Where, input: SheetInput): Promise<Result<Done, Refusal>> {
  const build = await sheetBuild(tx, buildId)
  if (build.state === 'launched') return refused(422, LAUNCHED)
  const levers = await leversOf(tx, buildId)
  if (levers.length === 0) return refused(422, NO_LIST)
  const varied = levers.filter((l) => input.vary.includes(l.key))
  if (varied.length === 0) return refused(422, 'Choose at least one measurement that the options differ in. Nothing was changed.')
  if (varied.length > MOST_VARIED) return refused(422, `A sheet varies at most ${MOST_VARIED} measurements. Nothing was changed.`)
  const read = readOptions(input.raw, varied, units)
  const fields: Record<string, string> = { ...questionFault(input.question), ...read.fields }
  const before = sheetId === null ? null : await tx.optionSheet.findFirst({ where: { id: sheetId, buildId } })
  if (sheetId !== null && before === null) return refused(404, GONE)
  if (before && before.takenIndex !== null) return refused(422, TAKEN)
  const known = (before?.options as unknown as SheetOption[] | undefined)?.[0]?.prices ?? {}
  const prices = await kitPrice(tx, ctx, buildId, input, read.options.some((o) => o.values['kit'] === 1), known, fields)
  if (Object.keys(fields).length > 0) return refused(422, 'Some of this can’t be used as it stands; see the notes at the fields. Nothing was changed.', { fields })
  const options = read.options.map((o): SheetOption => ({ ...o, prices })) as unknown as Prisma.InputJsonValue
  const id = sheetId === null ? await create(tx, ctx, buildId, input.question, options) : await change(tx, sheetId, input, options)
  if (id === null) return refused(409, MOVED_ON)
  await audit(tx, ctx, {
    what: sheetId === null ? 'option sheet started' : 'option sheet changed', entity: 'option_sheet', entityId: id, buildId,
    ...(before ? { before: before.options } : {}), after: options,
  })
  return ok({ location: `/builds/${buildId}/options/${id}`, flash: 'The options are saved; now they can be worked out.' })
}

function questionFault(question: string): Record<string, string> {
  if (question === '') return { question: 'Ask a question, such as “Bottom: 4 mm with glass, or 6 mm bare?”' }
  return question.length > MOST_QUESTION ? { question: `At most ${MOST_QUESTION} letters` } : {}
}

async function create(tx: Tx, ctx: Ctx, buildId: string, question: string, options: Prisma.InputJsonValue): Promise<string> {
  const row = await tx.optionSheet.create({ data: { buildId, question, options, createdBy: ctx.member.id, createdAt: ctx.now }, select: { id: true } })
  return row.id
}

/** `results` is emptied in SQL: a JSON column knows two kinds of nothing. */
async function change(tx: Tx, id: string, { question, version }: SheetInput, options: Prisma.InputJsonValue): Promise<string | null> {
  const { count } = await tx.optionSheet.updateMany({ where: { id, version, takenIndex: null }, data: { question, options, version: { increment: 1 } } })
  if (count === 0) return null
  await tx.$executeRaw`update option_sheet set results = null, worked_at = null, plan_id = null where id = ${id}::uuid`
  return id
}

/** A kit is bought at a price: where the stores have none it must be said, by somebody who may see what things cost. */
async function kitPrice(
  tx: Tx, ctx: Ctx, buildId: string, { raw }: SheetInput, hasKit: boolean, known: SheetOption['prices'], fields: Record<string, string>,
): Promise<Record<string, TypedPrice>> {
  if (!hasKit || !ctx.may('builds.money')) return { ...known }
  const field = `${PRICE}${KIT}`
  const value = raw[field]
  const typed = typeof value === 'string' ? value.trim() : ''
  const { [KIT]: _, ...rest } = known
  if (typed === '') {
    if (!(await isPriced(tx, buildId))) fields[field] = 'What does the kit cost? The stores have no price for one'
    return rest
  }
  const money = parseMoney(typed)
  if (!money.ok) fields[field] = `Price of the kit: ${money.message}`
  else if (money.cents === 0) fields[field] = 'A kit for nothing? Type what it costs, whole, as it is delivered'
  else return { ...rest, [KIT]: { cents: money.cents, unit: 'pcs' } }
  return rest
}

async function isPriced(tx: Tx, buildId: string): Promise<boolean> {
  const asked = await estimateOf(tx, buildId, { measured: { kit: 1 } })
  return asked.ok && asked.value.lines.some((l) => l.material === KIT && l.cents !== null)
}

export async function removeSheet(tx: Tx, ctx: Ctx, buildId: string, sheetId: string, version: number): Promise<Result<Done, Refusal>> {
  const row = await tx.optionSheet.findFirst({ where: { id: sheetId, buildId } })
  if (!row) return refused(404, GONE)
  if (row.takenIndex !== null) return refused(422, 'One of its options was taken: the sheet is kept, so that it can be read later why.')
  const { count } = await tx.optionSheet.deleteMany({ where: { id: sheetId, buildId, version, takenIndex: null } })
  if (count === 0) return refused(409, MOVED_ON)
  await audit(tx, ctx, { what: 'option sheet taken away', entity: 'option_sheet', entityId: sheetId, buildId, before: { question: row.question, options: row.options } })
  return ok({ location: `/builds/${buildId}/options`, flash: `“${row.question}” is taken away.` })
}
