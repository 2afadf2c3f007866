/**
 * Earned value: what is done, told in the plan's own measure, beside what was meant to be done and what it took. Definitions of the US
 * Department of Defense's Gold Card; its formulas read second-hand. Any one unit (the service takes minutes of work, and cents of material).
 */

export interface EarnedInput {
  /** Budget at completion: all that the baseline holds, > 0. */
  readonly bac: number
  /** Planned value: what the baseline had meant to be done by now. */
  readonly pv: number
  /** Earned value: the baseline's measure of what is done. */
  readonly ev: number
  /** Actual cost: what it took. */
  readonly ac: number
}

/** Null where it would be a division by nothing: it isn't known, and not 0. */
export interface Earned {
  /** EV - AC and EV - PV: below 0 is over the budget, behind the plan. */
  readonly cv: number
  readonly sv: number
  /** EV / AC (null: nothing spent) and EV / PV (null: nothing meant by now). */
  readonly cpi: number | null
  readonly spi: number | null
  /** Estimate at completion: the rest as planned, AC + BAC - EV; at the pace so far, BAC / CPI; and with the plan's pace in it, AC + (BAC - EV) / (CPI SPI). */
  readonly eac: { readonly atPlan: number; readonly atCpi: number | null; readonly atCpiSpi: number | null }
  /** EAC - AC and BAC - EAC, of the estimate at the pace so far. Below 0: VAC over the budget. */
  readonly etc: number | null
  readonly vac: number | null
  /** The pace that the rest needs, (BAC - EV) over what is left of the budget, or of the estimate at the pace so far. Null: nothing is left of it. */
  readonly tcpi: { readonly toBac: number | null; readonly toEac: number | null }
}

/** @throws RangeError when a figure is below 0 or not finite. */
export function earnedValue({ bac, pv, ev, ac }: EarnedInput): Earned {
  for (const [name, n] of Object.entries({ bac, pv, ev, ac })) if (!(n >= 0 && n < Infinity)) throw new RangeError(`${name} must be 0 or more, got ${n}`)
  const cpi = over(ev, ac)
  const spi = over(ev, pv)
  const atCpi = cpi === null ? null : over(bac, cpi)
  const rest = cpi === null || spi === null ? null : over(bac - ev, cpi * spi)
  return {
    cv: ev - ac, sv: ev - pv, cpi, spi,
    eac: { atPlan: ac + bac - ev, atCpi, atCpiSpi: rest === null ? null : ac + rest },
    etc: atCpi === null ? null : atCpi - ac, vac: atCpi === null ? null : bac - atCpi,
    tcpi: { toBac: neededPace({ bac, ev, ac, eac: bac }), toEac: atCpi === null ? null : neededPace({ bac, ev, ac, eac: atCpi }) },
  }
}

/** To-complete index to any estimate: (BAC - EV) / (EAC - AC). Null when nothing is left to spend: no pace makes that good. */
export const neededPace = ({ bac, ev, ac, eac }: { readonly bac: number; readonly ev: number; readonly ac: number; readonly eac: number }): number | null =>
  eac - ac > 0 ? (bac - ev) / (eac - ac) : null

const over = (a: number, b: number): number | null => (b > 0 ? a / b : null)
