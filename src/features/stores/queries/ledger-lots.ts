import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import { isoDate } from '../../../platform/times.ts'
import { amountField } from '../facts/amount-text.ts'
import { entryPairs, type EntryLine, type EntryPair } from './entries.ts'
import { lotsOf, type Looker } from './ledger-items.ts'
import { LABEL_COLUMNS } from './items.ts'

const day = (at: Date | null): string => (at === null ? '' : isoDate(at))

export async function lotPage(db: Reader, lotId: string, today: string, looker: Looker) {
  const row = found(
    await db.lot.findUnique({
      where: { id: lotId },
      select: {
        id: true, version: true, code: true, note: true, receivedOn: true, openedOn: true, expiresOn: true, tareMg: true,
        supplier: { select: { name: true } }, item: { select: { kind: true, density: true, ...LABEL_COLUMNS } },
        tests: { select: { id: true, at: true, found: true, state: true, expiresOn: true, member: { select: { name: true } } }, orderBy: { at: 'desc' } },
      },
    }),
  )
  const [line] = await lotsOf(db, { id: lotId }, today)
  const entries = await entryPairs(db, { lotId }, looker, 500)
  return {
    lot: { ...found(line), supplier: row.supplier?.name ?? null, note: row.note },
    item: row.item,
    tests: row.tests.map((t) => ({ ...t, expiresOn: t.expiresOn === null ? null : isoDate(t.expiresOn) })),
    values: {
      version: String(row.version), code: row.code, note: row.note, expiresOn: day(row.expiresOn), openedOn: day(row.openedOn),
      tare: row.tareMg === null ? '' : amountField(row.tareMg),
    } as Record<string, string>,
    entries, went: whereItWent(entries),
  }
}
export type LotModel = Awaited<ReturnType<typeof lotPage>>

export type Went = { key: string; build: EntryLine['build']; task: EntryLine['task']; batchNumber: number | null; chargedTo: string | null; milli: number; cents: number; last: string }

/** Into which builds, tasks and batches it went, what came back taken off. */
export function whereItWent(entries: readonly EntryPair[]): Went[] {
  const went = new Map<string, Went>()
  for (const entry of entries) {
    if (entry.kind !== 'draw' && entry.kind !== 'return' && entry.kind !== 'price_correction') continue
    if (entry.kind === 'price_correction' && entry.ofEntryId === null) continue
    const build = entry.build === 'hidden' ? 'hidden' : (entry.build?.id ?? '')
    const key = [build, entry.task?.id, entry.batchNumber, entry.chargedTo].join('/')
    const one = went.get(key) ?? { key, build: entry.build, task: entry.task, batchNumber: entry.batchNumber, chargedTo: entry.chargedTo, milli: 0, cents: 0, last: entry.onDate }
    one.milli -= entry.qtyMilli + (entry.reversal?.qtyMilli ?? 0)
    one.cents -= entry.valueCents + (entry.reversal?.valueCents ?? 0)
    if (entry.onDate > one.last) one.last = entry.onDate
    went.set(key, one)
  }
  return [...went.values()].filter(({ milli }) => milli !== 0)
}

/** One entry with all that belongs to it: what undid it, what came back of it, the other half of a transfer. */
export async function entryPage(db: Reader, entryId: string, looker: Looker) {
  const row = found(await db.stockEntry.findUnique({ where: { id: entryId }, select: { id: true, reversesId: true } }))
  const about = row.reversesId ?? row.id
  const entry = found((await entryPairs(db, { id: about }, looker, 1))[0])
  // Of a build that only its team sees: not there for others.
  found(entry.build === 'hidden' ? null : entry)
  const belonging = await entryPairs(db, { id: { not: about }, OR: [{ ofEntryId: about }, ...(entry.ofEntryId === null ? [] : [{ id: entry.ofEntryId }]), ...(entry.moveId === null ? [] : [{ moveId: entry.moveId }])] }, looker, 100)
  const back = belonging.filter((e) => e.kind === 'return' && e.ofEntryId === about && e.reversal === null).reduce((sum, e) => sum + e.qtyMilli, 0)
  return { entry, belonging, returnable: entry.kind === 'draw' && entry.reversal === null ? -entry.qtyMilli - back : 0 }
}
export type EntryModel = Awaited<ReturnType<typeof entryPage>>

/** What a lot went into, and what went into a build: both ways. */
export async function tracePage(db: Reader, search: string, buildId: string | null, today: string, looker: Looker) {
  const q = search.trim()
  const visible = looker.roles.includes('officer') ? {} : { OR: [{ visibility: 'club' as const }, { team: { some: { memberId: looker.id } } }] }
  const builds = await db.build.findMany({ where: visible, select: { id: true, name: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] })
  const number = /^\d{1,9}$/.test(q) ? Number(q) : null
  const like = { contains: q, mode: 'insensitive' as const }
  const isAsked = q !== ''
  const lots = !isAsked ? [] : await lotsOf(db, { OR: [{ code: like }, { note: like }, { supplier: { name: like } }, { item: { name: like } }, ...(number === null ? [] : [{ number }])] }, today)
  const batches = number === null ? [] : await db.batch.findMany({
    where: { number, OR: [{ buildId: null }, { build: visible }] }, select: { id: true, number: true, mixedAt: true, product: { select: { name: true } }, build: { select: { name: true } } },
  })
  const build = builds.find((b) => b.id === buildId) ?? null
  const entries = build === null ? [] : await entryPairs(db, { buildId: build.id }, looker, 2000)
  return { search: q, builds, build, isAsked, lots: lots.slice(0, 100), batches, into: intoBuild(entries) }
}
export type TraceModel = Awaited<ReturnType<typeof tracePage>>

export type Into = { key: string; task: EntryLine['task']; itemId: string; itemName: string; unit: string; lotId: string; lotNumber: number; batchNumber: number | null; milli: number }
function intoBuild(entries: readonly EntryPair[]): Into[] {
  const into = new Map<string, Into>()
  for (const e of entries) {
    const key = [e.task?.id, e.itemId, e.lotId, e.batchNumber].join('/')
    const one = into.get(key) ?? { key, task: e.task, itemId: e.itemId, itemName: e.itemName, unit: e.unit, lotId: e.lotId, lotNumber: e.lotNumber, batchNumber: e.batchNumber, milli: 0 }
    one.milli -= e.qtyMilli + (e.reversal?.qtyMilli ?? 0)
    into.set(key, one)
  }
  return [...into.values()].filter(({ milli }) => milli !== 0).sort((a, b) => (a.task?.name ?? '').localeCompare(b.task?.name ?? '') || a.itemName.localeCompare(b.itemName) || a.lotNumber - b.lotNumber)
}
