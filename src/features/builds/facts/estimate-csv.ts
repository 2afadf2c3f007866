/** An estimate's lines as a list: amounts in the unit of the line, money with two decimals and a point. Pure. */
import type { Input, Spread } from '../../../core/estimate/types.ts'
import { moneyField, toCsv } from '../../stores/public.ts'
import type { PricedLine } from './estimate-lines.ts'
import type { RestRow } from './estimate-totals.ts'

/** Up to three decimals, and no sign of a rounded nothing. */
const figure = (n: number): string => String(Math.round(n * 1000) / 1000 + 0)
const ends = (s: Spread): string[] => [figure(s.low), figure(s.likely), figure(s.high)]
const NONE = ['', '', '']
const money = (s: Spread | null): string[] => (s === null ? NONE : [s.low, s.likely, s.high].map(moneyField))

type Row = Omit<PricedLine, 'inputs'> & { readonly inputs: readonly Pick<Input, 'origin'>[]; readonly partName: string }

/** @param currency null: without money, for those who may not see it. */
export function estimateCsv(lines: readonly Row[], rest: readonly RestRow[], currency: string | null): string {
  const headings = [
    'line', 'rule', 'part', 'name', 'material', 'unit', 'net_low', 'net_likely', 'net_high', 'waste_low', 'waste_likely', 'waste_high', 'total_low', 'total_likely', 'total_high',
    'kg_low', 'kg_likely', 'kg_high', 'drawn', 'learnt_factor', 'has_guesses', 'stores',
    ...(currency === null ? [] : ['cost_low', 'cost_likely', 'cost_high', 'currency']), 'tasks', 'formula', 'source',
  ]
  const cost = (s: Spread | null) => (currency === null ? [] : [...money(s), s === null ? '' : currency])
  return toCsv(headings, [
    ...lines.map((l) => [
      l.key, l.rule, l.partName, l.name, l.material, l.unit, ...ends(l.net), ...ends(l.waste), ...ends(l.gross), ...ends(l.kg),
      l.drawn === null ? '' : figure(l.drawn), figure(l.factor),
      l.inputs.some((i) => i.origin === 'guess') ? 'yes' : 'no', l.tie?.name ?? '', ...cost(l.cents), l.tasks.map((t) => t.name).join('; '), l.formula, l.source,
    ]),
    ...rest.map((r) => [
      '', 'typed', '', r.name, r.name, r.unit, ...ends(r.amount), ...NONE, ...ends(r.amount), ...NONE, '', '', '', r.tie?.name ?? '', ...cost(r.cents),
      r.tasks.map((t) => t.name).join('; '), '', 'as a person put it in',
    ]),
  ])
}
