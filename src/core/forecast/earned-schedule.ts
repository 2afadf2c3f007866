/**
 * Earned schedule: which week of the baseline the work done belongs to. W. Lipke, "Schedule is Different" (2003), formulas as in his concept
 * note; IEAC(t) from memory. Unlike EV / PV it still tells a build that was finished after its time from one finished in time.
 */

export interface EarnedSchedule {
  /** Weeks of the baseline that are earned: ES = C + (EV - PV[C]) / (PV[C+1] - PV[C]), C the last week with PV[C] <= EV; at most the baseline's length. */
  readonly es: number
  /** ES - AT, weeks: below 0 is behind. */
  readonly sv: number
  /** ES / AT; null before anything of the time has gone. */
  readonly spi: number | null
  /** Weeks that the whole takes at this pace: planned length / SPI(t). Null while nothing is earned. */
  readonly ieac: number | null
}

/**
 * @param pvByWeek cumulative planned value at the end of week 0 (the start), 1, 2, … of the baseline; never falling
 * @param ev earned value in the same unit
 * @param at actual time: weeks gone since the start, parts of a week too
 * @throws RangeError when pvByWeek is empty or falls, or when ev or at is below 0 or not finite
 */
export function earnedSchedule(pvByWeek: readonly number[], ev: number, at: number): EarnedSchedule {
  for (const [name, n] of Object.entries({ ev, at })) if (!(n >= 0 && n < Infinity)) throw new RangeError(`${name} must be 0 or more, got ${n}`)
  const whole = pvByWeek.at(-1)
  if (whole === undefined) throw new RangeError('no weeks of planned value')
  if (!pvByWeek.every((pv, week) => Number.isFinite(pv) && pv >= (pvByWeek[week - 1] ?? 0))) throw new RangeError('planned value must not fall')
  // Weeks after the last planned work are not part of it.
  const length = pvByWeek.indexOf(whole)
  const es = ev >= whole ? length : within(pvByWeek, ev)
  const spi = at > 0 ? es / at : null
  return { es, sv: es - at, spi, ieac: spi !== null && spi > 0 ? length / spi : null }
}

function within(pvByWeek: readonly number[], ev: number): number {
  const next = pvByWeek.findIndex((pv) => pv > ev)
  if (next === 0) return 0
  const [before, after] = [pvByWeek[next - 1]!, pvByWeek[next]!]
  return next - 1 + (ev - before) / (after - before)
}
