import { periodicAverage, putIn, takeOut, EMPTY_POOL, type CostRule } from '../../../core/stock/index.ts'
import { addDays } from '../../../core/calendar/index.ts'
import { cents, milli } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import type { StockUnit } from '../../../platform/generated/enums.ts'
import { localMoment } from '../../../platform/times.ts'
import { CLUB_HOLDER } from '../facts/held.ts'

export type RuleChange = { id: bigint; rule: CostRule; fromAt: Date; why: string; by: string }

/** Changes of the costing rule, the latest first; of one moment, the one entered last counts. */
export async function rules(db: Reader): Promise<RuleChange[]> {
  const rows = await db.costRuleChange.findMany({ include: { by: { select: { name: true } } }, orderBy: [{ fromAt: 'desc' }, { id: 'desc' }] })
  return rows.map(({ id, rule, fromAt, why, by }) => ({ id, rule, fromAt, why, by: by.name }))
}
export const ruleAt = (all: readonly RuleChange[], at: Date): CostRule => all.find((r) => r.fromAt <= at)?.rule ?? 'average'

/** What the two rules charge for the older of two kilograms, 1 kg bought at 20.00 and 1 kg at 30.00: worked by the ledger's own code. */
export function ruleExample(): Record<CostRule, { out: number; left: number }> {
  const kg = milli(1_000_000)
  const one = (rule: CostRule) => {
    const taken = takeOut(putIn(putIn(EMPTY_POOL, rule, kg, cents(2000)), rule, kg, cents(3000)), rule, kg)
    return { out: taken.ok ? taken.value.value : 0, left: taken.ok ? 5000 - taken.value.value : 0 }
  }
  return { average: one('average'), fifo: one('fifo') }
}

export async function costRulePage(db: Reader, now: Date) {
  const all = await rules(db)
  return { inForce: ruleAt(all, now), changes: all.map((r) => ({ ...r, id: String(r.id), isToCome: r.fromAt > now })), example: ruleExample() }
}
export type CostRulePageModel = Awaited<ReturnType<typeof costRulePage>>

type Sums = { item: string; name: string; unit: StockUnit; open_qty: bigint; open_value: bigint; in_qty: bigint; in_value: bigint; end_qty: bigint; end_value: bigint }

export type ValueLine = {
  itemId: string
  name: string
  unit: StockUnit
  opening: { milli: number; cents: number }
  cameIn: { milli: number; cents: number }
  wentOut: { milli: number; cents: number }
  /** As booked entry by entry, under the rule in force at each. */
  closing: { milli: number; cents: number }
  /** What is left, at the average of all there was in the period; null: nothing to average. */
  periodicCents: number | null
}

/**
 * What the club's stock was worth at the end of a day, and how it came about since another. Goes by when things were booked, as costs do;
 * days are the club's own, both included. Corrections of what draws were charged are not in stock and not in here.
 */
export async function stockValue(db: Reader, zone: string, from: string, to: string): Promise<{ lines: ValueLine[]; total: Pick<ValueLine, 'opening' | 'cameIn' | 'wentOut' | 'closing' | 'periodicCents'> }> {
  const [starts, ends] = [localMoment(zone, from, '00:00'), localMoment(zone, addDays(to, 1), '00:00')]
  const rows = await db.$queryRaw<Sums[]>`
    with e as (
      select s.item_id, s.qty_milli, s.value_cents, s.at < ${starts} as before, coalesce(r.kind, s.kind) as base, coalesce(r.qty_milli, s.qty_milli) as base_qty
      from stock_entry s left join stock_entry r on r.id = s.reverses_id
      where s.holder_id = ${CLUB_HOLDER}::uuid and s.at < ${ends}
        and not (coalesce(r.kind, s.kind) = 'price_correction' and coalesce(r.of_entry_id, s.of_entry_id) is not null)),
    came as (select *, not before and (base in ('receipt', 'price_correction') or (base in ('transfer', 'stocktake') and base_qty > 0)) as is_in from e)
    select i.id as item, i.name, i.unit,
      coalesce(sum(c.qty_milli) filter (where c.before), 0)::bigint as open_qty, coalesce(sum(c.value_cents) filter (where c.before), 0)::bigint as open_value,
      coalesce(sum(c.qty_milli) filter (where c.is_in), 0)::bigint as in_qty, coalesce(sum(c.value_cents) filter (where c.is_in), 0)::bigint as in_value,
      sum(c.qty_milli)::bigint as end_qty, sum(c.value_cents)::bigint as end_value
    from came c join item i on i.id = c.item_id group by i.id, i.name, i.unit order by i.name, i.id`
  const lines = rows.map(lineOf).filter((l) => [l.opening, l.cameIn, l.wentOut, l.closing].some((p) => p.milli !== 0 || p.cents !== 0))
  const sum = (pick: (l: ValueLine) => { cents: number }) => ({ milli: 0, cents: lines.reduce((n, l) => n + pick(l).cents, 0) })
  return {
    lines,
    total: {
      opening: sum((l) => l.opening), cameIn: sum((l) => l.cameIn), wentOut: sum((l) => l.wentOut), closing: sum((l) => l.closing),
      periodicCents: lines.reduce((n, l) => n + (l.periodicCents ?? l.closing.cents), 0),
    },
  }
}

function lineOf(r: Sums): ValueLine {
  const part = (qty: bigint, value: bigint) => ({ milli: Number(qty), cents: Number(value) })
  const [opening, cameIn, closing] = [part(r.open_qty, r.open_value), part(r.in_qty, r.in_value), part(r.end_qty, r.end_value)]
  const there = { milli: opening.milli + cameIn.milli, cents: opening.cents + cameIn.cents }
  const wentOut = { milli: there.milli - closing.milli, cents: there.cents - closing.cents }
  // More came back than went out, or a receipt of before was undone: the period by itself has no average.
  const isSound = there.milli > 0 && there.cents >= 0 && wentOut.milli >= 0
  const periodic = isSound ? periodicAverage([{ qty: milli(there.milli), value: cents(there.cents) }], milli(wentOut.milli)) : null
  return { itemId: r.item, name: r.name, unit: r.unit, opening, cameIn, wentOut, closing, periodicCents: periodic?.ok ? periodic.value.closing : null }
}
