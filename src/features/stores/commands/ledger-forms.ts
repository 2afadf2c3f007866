/** Forms of the stores' pages: what was typed is read against the item, then booked. */
import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import type { StockUnit } from '../../../platform/generated/enums.ts'
import { safePath } from '../../../platform/request.ts'
import { refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { money, stockAmount } from '../../../../views/shared/format.ts'
import { parseAmount, parseMoney } from '../facts/amount-text.ts'
import type { CorrectInput, DrawInput, MoveInput, ReceiveInput, ReturnInput, WriteOffInput } from '../schemas/ledger.ts'
import { correctPrice, writeOff } from './ledger-adjust.ts'
import { CLUB_HOLDER, holderOf } from './ledger-base.ts'
import { drawStock } from './ledger-draw.ts'
import { entryFor } from './ledger-entries.ts'
import { transferStock, type TransferStock } from './ledger-move.ts'
import { receiveStock } from './ledger-receive.ts'
import { returnStock, reverseEntry } from './ledger-undo.ts'

type Outcome = Promise<Result<Done, Refusal>>
export type Measure = { unit: StockUnit; density: number | null }
type Read = { milli: number } | { fields: Record<string, string> }

const wrong = (fields: Record<string, string>) => refused(422, Object.values(fields)[0] ?? '', { fields })
const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

function amountIn(field: string, typed: string, { unit, density }: Measure): Read {
  const amount = parseAmount(typed, unit, { density })
  return amount.ok ? { milli: amount.milli } : { fields: { [field]: capital(amount.message) } }
}
/** A can on the scale: in grams whatever its content is kept in. */
function grams(field: string, typed: string): Read {
  return amountIn(field, typed, { unit: 'g', density: null })
}
/** Of a mass in mg, thousandths of the item's unit. */
function ofMass(field: string, mg: number, { unit, density }: Measure): Read {
  if (unit === 'g') return { milli: mg }
  if (unit === 'ml' && density !== null) return { milli: Math.round(mg / density) }
  return { fields: { [field]: unit === 'ml' ? 'Its density is not known: enter it at the item, or type the amount' : 'Only what is kept in grams or millilitres can be weighed: type the amount' } }
}

/** An amount typed, or the can before and after: what it lost. */
export function amountOrWeighed({ amount, before, after }: { amount: string; before: string; after: string }, item: Measure): Read {
  if (before === '' && after === '') return amountIn('amount', amount, item)
  if (amount !== '') return { fields: { amount: 'Type the amount or weigh the can before and after, not both' } }
  const a = grams('before', before)
  const b = grams('after', after)
  if (!('milli' in a) || !('milli' in b)) return { fields: { ...('fields' in a ? a.fields : {}), ...('fields' in b ? b.fields : {}) } }
  if (b.milli > a.milli) return { fields: { after: 'Heavier after than before: the two are swapped' } }
  if (b.milli === a.milli) return { fields: { after: 'The can weighs the same: nothing was taken' } }
  return ofMass('before', a.milli - b.milli, item)
}

export async function drawForm(tx: Tx, ctx: Ctx, itemId: string, input: DrawInput): Outcome {
  const item = await tx.item.findUnique({ where: { id: itemId }, select: { name: true, unit: true, density: true } })
  if (!item) return refused(404, 'This item is not in the stores any more.')
  const amount = amountOrWeighed(input, item)
  if ('fields' in amount) return wrong(amount.fields)
  const weighed = await weighedCan(tx, input, item)
  if (weighed && 'fields' in weighed) return wrong(weighed.fields)
  const use = await useOf(tx, ctx, input.use)
  if ('field' in use) return wrong({ use: use.field })
  const holderId = input.from === 'own' ? await holderOf(tx, ctx.member.id) : CLUB_HOLDER
  // One's own stock is paid for: nobody is charged for using it oneself.
  const chargedToId = input.from === 'own' ? undefined : use.chargedToId
  const booked = await drawStock(tx, ctx, {
    itemId, qtyMilli: amount.milli, structural: input.structural, holderId, lotId: input.lotId ?? undefined, buildId: use.buildId, chargedToId, onDate: input.onDate ?? undefined, why: input.why,
    weighed: weighed ?? undefined,
  })
  if (!booked.ok) return booked
  const lots = booked.value.parts.map((p) => `lot ${p.number}`).join(' and ')
  return ok({ location: `/stores/items/${itemId}?booked=${booked.value.entryIds.join(',')}`, flash: `${stockAmount(amount.milli, item.unit)} of ${item.name} drawn from ${lots}.` })
}

/** What the can was found to hold: its content, or the can on the scale less its empty weight. */
async function weighedCan(tx: Tx, { weighedLot, weighed, gross }: DrawInput, item: Measure) {
  if (weighed === '' && gross === '') return null
  if (weighedLot === null) return { fields: { weighedLot: 'Choose which can was weighed' } }
  if (weighed !== '' && gross !== '') return { fields: { gross: 'Type what is in it, or what it weighs with the can, not both' } }
  if (weighed !== '') {
    const net = amountIn('weighed', weighed, item)
    return 'milli' in net ? { lotId: weighedLot, leftMilli: net.milli } : net
  }
  const all = grams('gross', gross)
  if (!('milli' in all)) return all
  const lot = await tx.lot.findUnique({ where: { id: weighedLot }, select: { tareMg: true, number: true } })
  if (!lot || lot.tareMg === null) return { fields: { gross: `What the empty can of lot ${lot?.number ?? ''} weighs is not known: type what is in it` } }
  const mg = all.milli - Number(lot.tareMg)
  if (mg < 0) return { fields: { gross: `Less than the empty can weighs (${stockAmount(lot.tareMg, 'g')})` } }
  const net = ofMass('gross', mg, item)
  return 'milli' in net ? { lotId: weighedLot, leftMilli: net.milli } : net
}

async function useOf(tx: Tx, ctx: Ctx, use: string): Promise<{ buildId?: string; chargedToId?: string } | { field: string }> {
  const [what, id] = use.split(':')
  if (what === 'club') return {}
  if (what === 'own') return { chargedToId: ctx.member.id }
  if (what === 'member') {
    if (!ctx.may('stores.book') && id !== ctx.member.id) return { field: 'Only the storekeeper books on another member' }
    const member = await tx.member.findUnique({ where: { id: id ?? '' }, select: { id: true } })
    return member ? { chargedToId: member.id } : { field: 'This member is not there any more' }
  }
  const build = await tx.build.findUnique({ where: { id: id ?? '' }, select: { id: true, state: true, team: { where: { memberId: ctx.member.id }, select: { memberId: true } } } })
  if (!build || !ctx.may('builds.log', build.team.length > 0)) return { field: 'You are not on the team of this build' }
  return { buildId: build.id }
}

export async function returnForm(tx: Tx, ctx: Ctx, entryId: string, input: ReturnInput): Outcome {
  const entry = await entryFor(tx, ctx.member, entryId)
  const item = entry && (await tx.item.findUnique({ where: { id: entry.item_id }, select: { id: true, name: true, unit: true, density: true } }))
  if (!item) return refused(404, 'This entry is not there.')
  const amount = amountIn('amount', input.amount, item)
  if ('fields' in amount) return wrong(amount.fields)
  const booked = await returnStock(tx, ctx, { entryId, qtyMilli: amount.milli, onDate: input.onDate ?? undefined, why: input.why })
  if (!booked.ok) return booked
  return ok({ location: safePath(input.then, `/stores/items/${item.id}?booked=${booked.value.entryIds.join(',')}`), flash: `${stockAmount(amount.milli, item.unit)} of ${item.name} is back on the shelf.` })
}

export async function reverseForm(tx: Tx, ctx: Ctx, entryId: string, input: { why: string; then: string }): Outcome {
  const entry = await entryFor(tx, ctx.member, entryId)
  if (!entry) return refused(404, 'This entry is not there.')
  const booked = await reverseEntry(tx, ctx, { entryId, why: input.why })
  if (!booked.ok) return booked
  return ok({ location: safePath(input.then, `/stores/entries/${entryId}`), flash: 'Reversed: both entries stand in the book together.' })
}

/** Several lines of one delivery: all of them, or none. */
export async function receiveForm(tx: Tx, ctx: Ctx, input: ReceiveInput): Outcome {
  const { rows } = input
  if (rows.length === 0) return refused(422, 'Nothing is filled in: say what came.', { fields: { item0: 'Say what came' } })
  const fields: Record<string, string> = {}
  const items = new Map((await tx.item.findMany({ where: { id: { in: rows.map((row) => row.item).filter((id) => /^[0-9a-f-]{36}$/i.test(id)) } }, select: { id: true, name: true, unit: true, density: true, widthMm: true } })).map((i) => [i.id, i]))
  const lines = rows.flatMap((row) => {
    const item = items.get(row.item)
    if (!item) {
      fields[`item${row.at}`] = `Line ${row.at + 1}: choose what came`
      return []
    }
    const amount = parseAmount(row.amount, item.unit, item)
    const cost = parseMoney(row.cost)
    if (!amount.ok) fields[`amount${row.at}`] = `Line ${row.at + 1}: ${amount.message}`
    if (!cost.ok) fields[`cost${row.at}`] = `Line ${row.at + 1}: ${cost.message}`
    if (row.expires !== '' && !/^\d{4}-\d{2}-\d{2}$/.test(row.expires)) fields[`expires${row.at}`] = `Line ${row.at + 1}: a day such as ${input.receivedOn}`
    return amount.ok && cost.ok ? [{ row, item, milli: amount.milli, cents: cost.cents }] : []
  })
  if (Object.keys(fields).length > 0) return refused(422, 'Nothing was booked: see the notes at the lines.', { fields })
  const holderId = input.holder === 'own' ? await holderOf(tx, ctx.member.id) : CLUB_HOLDER
  const numbers: number[] = []
  // In the order of items, so that two deliveries at once don't wait for each other in a ring.
  for (const { row, item, milli, cents } of lines.toSorted((a, b) => (a.item.id < b.item.id ? -1 : a.item.id > b.item.id ? 1 : a.row.at - b.row.at))) {
    const booked = await receiveStock(tx, ctx, {
      itemId: item.id, qtyMilli: milli, valueCents: cents, receivedOn: input.receivedOn, code: row.code, supplierId: input.supplierId ?? undefined, holderId, note: input.note,
      expiresOn: row.expires === '' ? undefined : row.expires, orderId: input.orderId ?? undefined,
    })
    if (!booked.ok) return atLine(booked.refusal, row.at)
    numbers.push(booked.value.number)
  }
  const written = numbers.toSorted((a, b) => a - b).join(', ')
  const location = input.orderId !== null ? `/stores/orders/${input.orderId}` : input.holder === 'own' ? '/stores/own' : lines.length === 1 ? `/stores/items/${lines[0]!.item.id}` : '/stores'
  return ok({ location, flash: `Booked in. Write on the ${numbers.length === 1 ? `can: lot ${written}` : `cans, in this order: lots ${written}`}.` })
}

/** A line's fields carry its number; the day is the whole form's. */
function atLine(refusal: Refusal, at: number) {
  const names: Record<string, string> = { amount: `amount${at}`, cost: `cost${at}`, expiresOn: `expires${at}`, itemId: `item${at}` }
  const fields = Object.fromEntries(Object.entries(refusal.fields ?? {}).map(([name, text]) => [names[name] ?? name, names[name] ? `Line ${at + 1}: ${text}` : text]))
  return { ok: false as const, refusal: { ...refusal, fields } }
}

async function itemOfLot(tx: Tx, itemId: string, lotId: string) {
  return tx.lot.findFirst({ where: { id: lotId, itemId }, select: { number: true, item: { select: { id: true, name: true, unit: true, density: true } } } })
}
const NO_LOT = { lotId: 'Choose a lot of this item' }

export async function writeOffForm(tx: Tx, ctx: Ctx, itemId: string, input: WriteOffInput): Outcome {
  const lot = await itemOfLot(tx, itemId, input.lotId)
  if (!lot) return wrong(NO_LOT)
  const amount = amountIn('amount', input.amount, lot.item)
  if ('fields' in amount) return wrong(amount.fields)
  const holderId = input.from === 'own' ? await holderOf(tx, ctx.member.id) : CLUB_HOLDER
  const booked = await writeOff(tx, ctx, { lotId: input.lotId, qtyMilli: amount.milli, why: input.why, holderId, onDate: input.onDate ?? undefined })
  if (!booked.ok) return booked
  return ok({ location: `/stores/items/${itemId}?booked=${booked.value.entryIds.join(',')}`, flash: `${stockAmount(amount.milli, lot.item.unit)} of lot ${lot.number} is written off.` })
}

/** From whom to whom, and whether it comes back. */
const MOVES: Record<MoveInput['what'], { out: 'club' | 'member'; loan: TransferStock['loan'] }> = {
  'lend-club': { out: 'member', loan: 'lend' }, 'back-member': { out: 'club', loan: 'give_back' }, 'lend-member': { out: 'club', loan: 'lend' }, 'back-club': { out: 'member', loan: 'give_back' },
  'to-member': { out: 'club', loan: null }, 'to-club': { out: 'member', loan: null },
}

export async function moveForm(tx: Tx, ctx: Ctx, itemId: string, input: MoveInput): Outcome {
  const lot = await itemOfLot(tx, itemId, input.lotId)
  if (!lot) return wrong(NO_LOT)
  const amount = amountIn('amount', input.amount, lot.item)
  if ('fields' in amount) return wrong(amount.fields)
  const member = await tx.member.findUnique({ where: { id: input.memberId ?? ctx.member.id }, select: { id: true, name: true } })
  if (!member) return wrong({ memberId: 'Choose a member' })
  const theirs = await holderOf(tx, member.id)
  const { out, loan } = MOVES[input.what]
  const [fromHolderId, toHolderId] = out === 'club' ? [CLUB_HOLDER, theirs] : [theirs, CLUB_HOLDER]
  const booked = await transferStock(tx, ctx, { lotId: input.lotId, fromHolderId, toHolderId, qtyMilli: amount.milli, loan, onDate: input.onDate ?? undefined, why: input.why })
  if (!booked.ok) return booked
  const way = out === 'club' ? `from the club to ${member.name}` : `from ${member.name} to the club`
  return ok({ location: `/stores/items/${itemId}?booked=${booked.value.entryIds[0]}`, flash: `${stockAmount(amount.milli, lot.item.unit)} of lot ${lot.number} went ${way}.` })
}

export async function correctForm(tx: Tx, ctx: Ctx, itemId: string, input: CorrectInput, bookedCents: number): Outcome {
  const lot = await itemOfLot(tx, itemId, input.lotId)
  if (!lot) return wrong(NO_LOT)
  const cost = parseMoney(input.cost)
  if (!cost.ok) return wrong({ cost: capital(cost.message) })
  const booked = await correctPrice(tx, ctx, { lotId: input.lotId, deltaCents: cost.cents - bookedCents, why: input.why, onDate: input.onDate ?? undefined })
  if (!booked.ok) return booked
  const by = money(Math.abs(booked.value.valueCents))
  return ok({ location: `/stores/lots/${input.lotId}`, flash: `Lot ${lot.number} cost ${by} ${booked.value.valueCents > 0 ? 'more' : 'less'}: the difference went where the lot went.` })
}
