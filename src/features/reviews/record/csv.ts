/** Lists of a build's record: minutes and amounts as plain figures, money with two decimals and a point. Pure. */
import { CRAFT_WORDS } from '../../../../views/shared/forecast-words.ts'
import { localParts } from '../../../platform/times.ts'
import { amountField, moneyField, toCsv } from '../../stores/public.ts'
import type { RecordLot, Stretch } from './model.ts'

/** A line a stretch of work; how many worked at it, not who. */
export const hoursCsv = (stretches: readonly Stretch[], zone: string): string =>
  toCsv(
    ['date', 'start', 'phase', 'task', 'kind_of_work', 'minutes', 'hands', 'minutes_of_all_hands', 'note'],
    stretches.map((s) => {
      const { date, time } = localParts(zone, s.at)
      return [date, time, s.phase, s.task, CRAFT_WORDS[s.craft], String(s.elapsedMin), String(s.hands), String(s.elapsedMin * s.hands), s.note]
    }),
  )

/** A line a lot. @param currency null: without money, for those who may not see it. */
export const lotsCsv = (lots: readonly RecordLot[], currency: string | null): string =>
  toCsv(
    ['item', 'lot', 'supplier_code', 'supplier', 'received', 'use_by', 'used', 'unit', 'first_used', 'last_used', ...(currency === null ? [] : ['received_amount', 'paid', 'charged_to_her', 'currency'])],
    lots.map((l) => [
      l.item, String(l.number), l.code, l.supplier ?? '', l.receivedOn, l.expiresOn ?? '', amountField(l.milli), l.unit, l.firstOn, l.lastOn,
      ...(currency === null ? [] : [l.paid ? amountField(l.paid.milli) : '', l.paid ? moneyField(l.paid.cents) : '', moneyField(l.cents ?? 0), currency]),
    ]),
  )
