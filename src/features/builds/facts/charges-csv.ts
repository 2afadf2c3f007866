/** Charges as lists for the treasurer: money with two decimals and a point, in the club's currency. Pure. */
import { amountField, moneyField, toCsv } from '../../stores/public.ts'

type Entry = {
  seq: bigint; kind: string; item: { name: string; unit: string }; lot: number; milli: number; cents: number; on: Date; at: Date; by: string; why: string
  build: string | null; task: string | null; member: string | null; owner: string | null; isShared: boolean
}
type Line = { buildId: string | null; name: string; ownCents: number; sharedCents: number; totalCents: number }

const iso = (at: Date) => at.toISOString()

export const entriesCsv = (entries: readonly Entry[], currency: string): string =>
  toCsv(
    ['entry', 'booked', 'day', 'kind', 'item', 'amount', 'unit', 'lot', 'charged_to', 'who', 'task', 'stock_of', 'charge', 'currency', 'why', 'by'],
    entries.map((e) => [
      String(e.seq), iso(e.at), iso(e.on).slice(0, 10), e.kind.replace('_', ' '), e.item.name, amountField(e.milli), e.item.unit, String(e.lot),
      e.isShared ? 'shared' : e.build !== null ? 'build' : 'member', e.build ?? e.member ?? '', e.task ?? '', e.owner ?? 'club', moneyField(e.cents), currency, e.why, e.by,
    ]),
  )

/** The last record is the sum. */
export function totalsCsv(lines: readonly Line[], currency: string): string {
  const sum = (pick: (l: Line) => number) => moneyField(lines.reduce((n, l) => n + pick(l), 0))
  return toCsv(
    ['charged_to', 'who', 'own', 'shared', 'total', 'currency'],
    [
      ...lines.map((l) => [l.buildId !== null ? 'build' : 'member', l.name, moneyField(l.ownCents), moneyField(l.sharedCents), moneyField(l.totalCents), currency]),
      ['all', '', sum((l) => l.ownCents), sum((l) => l.sharedCents), sum((l) => l.totalCents), currency],
    ],
  )
}
