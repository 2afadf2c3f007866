import { createHash } from 'node:crypto'
import { ok, type Result } from '../../../core/result.ts'
import { transact, type Db, type Tx } from '../../../platform/database.ts'
import { localDate } from '../../../platform/times.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import type { CsvFault } from '../facts/csv.ts'
import { MOST_LINES, type ImportKind } from '../facts/import-columns.ts'
import { bringInEntries } from './import-entries.ts'
import { bringInItems } from './import-items.ts'
import { bringInLots } from './import-lots.ts'

/** What each line does, and what can't be used of it. */
export type ImportReport = { lines: { line: number; does: string }[]; faults: CsvFault[] }

const READERS = { items: bringInItems, lots: bringInLots, entries: bringInEntries } as const
/** Nobody corrects more in one go, and each fault may come of the one before. */
const MOST_FAULTS = 50

/** Does what the list says, line by line. With any fault in the report, the transaction must be given up. */
async function bringIn(tx: Tx, ctx: Ctx, kind: ImportKind, text: string): Promise<ImportReport> {
  // One list at a time: two at once could both be the first.
  await tx.$executeRaw`select pg_advisory_xact_lock(hashtext('garboard stores import'))`
  const report = await READERS[kind](tx, ctx, text)
  if (report.faults.length === 0 && report.lines.length === 0) report.faults.push({ line: 2, message: 'there is nothing below the first line' })
  const most = MOST_LINES[kind]
  if (report.lines.length > most) report.faults.unshift({ line: most + 2, message: `more than ${most} lines: bring it in in parts, in order` })
  return { ...report, faults: report.faults.slice(0, MOST_FAULTS) }
}

class Undone extends Error {
  readonly report: ImportReport
  constructor(report: ImportReport) {
    super('a preview is never kept')
    this.report = report
  }
}

/** What a list would do: everything is booked as it would be and given up again, so that the preview knows what the import knows. */
export async function previewImport(db: Db, ctx: Ctx, kind: ImportKind, text: string): Promise<ImportReport> {
  try {
    return await transact(db, async (tx) => {
      throw new Undone(await bringIn(tx, ctx, kind, text))
    })
  } catch (error) {
    if (error instanceof Undone) return error.report
    throw error
  }
}

export const faultText = ({ line, message }: CsvFault): string => `line ${line}: ${message}`

/** Brings in a list whole, or nothing of it; the same list twice only when somebody says so. */
export async function importList(tx: Tx, ctx: Ctx, kind: ImportKind, { text, again }: { text: string; again: boolean }): Promise<Result<Done, Refusal>> {
  const digest = createHash('sha256').update(text.replaceAll(/\r\n?/g, '\n').trim()).digest('hex')
  const report = await bringIn(tx, ctx, kind, text)
  if (report.faults.length > 0) {
    const [first] = report.faults
    const more = report.faults.length - 1
    const message = `Nothing was brought in: ${faultText(first!)}${more === 0 ? '.' : `, and ${more} more below.`}`
    return refused(422, message, { fields: { text: faultText(first!) }, current: report })
  }
  const before = kind === 'items' ? null : await tx.auditRow.findFirst({ where: { entity: 'stock_import', entityId: digest }, orderBy: { id: 'desc' }, select: { at: true } })
  if (before && !again) {
    const day = localDate(ctx.clubZone, before.at)
    return refused(422, `This very list was brought in already, on ${day}. Nothing was booked.`, {
      fields: { again: `Brought in on ${day}: tick this only if it all happened twice` }, current: report,
    })
  }
  await audit(tx, ctx, { what: `${kind} brought in by list`, entity: 'stock_import', entityId: digest, after: { lines: report.lines.length } })
  const count = `${report.lines.length} ${report.lines.length === 1 ? 'line is' : 'lines are'}`
  return ok({ location: '/stores', flash: `${count} brought in.` })
}
