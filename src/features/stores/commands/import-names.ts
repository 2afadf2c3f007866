import { isDate } from '../../../core/calendar/index.ts'
import type { Tx } from '../../../platform/database.ts'
import type { StockUnit } from '../../../platform/generated/enums.ts'
import { parseAmount, UNIT_NAMES, type ParsedAmount } from '../facts/amount-text.ts'
import { seenBuilds, type Looker } from '../facts/seen.ts'
import { CLUB_HOLDER, holderOf } from './ledger-base.ts'

/** A fault of one line: thrown by what reads a cell, caught where lines are gone through. */
export class LineFault extends Error {}
export const fault = (message: string): never => {
  throw new LineFault(message)
}

export type NamedItem = { id: string; name: string; unit: StockUnit; density: number | null; widthMm: number | null }

const key = (text: string): string => text.trim().toLowerCase()

/** Rows by name, without regard to capitals; of two that a name fits, neither. */
function byName<T extends { name: string }>(rows: readonly T[], what: string) {
  const known = new Map<string, T | null>()
  for (const row of rows) known.set(key(row.name), known.has(key(row.name)) ? null : row)
  return (name: string): T => {
    const row = known.get(key(name))
    if (row === null) return fault(`there are two ${what}s called “${name}”`)
    return row ?? fault(`there is no ${what} called “${name}”`)
  }
}

/** Everything that cells may name, read once. */
export async function namesFor(tx: Tx, looker: Looker) {
  const items = byName<NamedItem>(await tx.item.findMany({ select: { id: true, name: true, unit: true, density: true, widthMm: true } }), 'item')
  const suppliers = byName(await tx.supplier.findMany({ select: { id: true, name: true } }), 'supplier')
  const members = byName(await tx.member.findMany({ select: { id: true, name: true } }), 'member')
  const builds = byName(await tx.build.findMany({ where: seenBuilds(looker), select: { id: true, name: true } }), 'build')
  return {
    items, members, builds,
    supplierId: (name: string): string | undefined => (name.trim() === '' ? undefined : suppliers(name).id),
    holderId: async (name: string): Promise<string> => (name.trim() === '' ? CLUB_HOLDER : holderOf(tx, members(name).id)),
    task: async (buildId: string, name: string): Promise<string> => {
      const rows = await tx.task.findMany({ where: { buildId, name: name.trim() }, select: { id: true }, take: 2 })
      if (rows.length > 1) return fault(`the build has two tasks called “${name}”`)
      return rows[0]?.id ?? fault(`the build has no task called “${name}”`)
    },
  }
}

export function dateCell(text: string, what: string): string {
  const day = text.trim()
  return isDate(day) ? day : fault(`${what}: ${day === '' ? 'missing' : `“${day}” is no date`}; write it as 2026-06-30`)
}
export const maybeDateCell = (text: string, what: string): string | undefined => (text.trim() === '' ? undefined : dateCell(text, what))

export function yesCell(text: string, what: string): boolean {
  const word = key(text)
  if (['', 'no', 'false', '0', 'n'].includes(word)) return false
  return ['yes', 'true', '1', 'y', 'x', 'on'].includes(word) || fault(`${what}: “${text.trim()}” is neither yes nor no`)
}

/** An amount in the item's unit; a unit beside it must be the item's. */
export function amountCell(text: string, unit: string, item: NamedItem): number {
  const beside = key(unit)
  if (beside !== '' && beside !== item.unit && beside !== UNIT_NAMES[item.unit]) {
    return fault(`this is in ${unit.trim()}, but ${item.name} is kept in ${UNIT_NAMES[item.unit]}`)
  }
  return read(parseAmount(text, item.unit, item), 'amount')
}

export function read(parsed: ParsedAmount | { ok: true; cents: number } | { ok: false; message: string }, what: string): number {
  if (!parsed.ok) return fault(`${what}: ${parsed.message}`)
  return 'milli' in parsed ? parsed.milli : parsed.cents
}

/** Goes through the lines in order; a line that can't be used is told and the next one looked at. */
export async function eachLine<R extends { line: number }>(rows: readonly R[], does: (row: R) => Promise<string>) {
  const lines: { line: number; does: string }[] = []
  const faults: { line: number; message: string }[] = []
  for (const row of rows) {
    try {
      lines.push({ line: row.line, does: await does(row) })
    } catch (error) {
      if (!(error instanceof LineFault)) throw error
      faults.push({ line: row.line, message: error.message })
      if (faults.length >= 50) break
    }
  }
  return { lines, faults }
}
