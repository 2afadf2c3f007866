import type { Spread } from '../../src/core/estimate/types.ts'
import type { WeighInLine } from '../../src/features/builds/queries/weight.ts'
import { format, type PageClub } from '../shared/index.ts'

type Club = PageClub | null
/** A number and its unit stay on one line. */
const NARROW = '\u00A0'
/** A boat's mass: to a tenth of a kilogram, small things to the gram; scales and estimates know no more. */
export function kg(n: number, club: Club): string {
  return club?.units === 'imperial' || Math.abs(n) < 1 ? format.mass(Math.round(n * 1000), club).replaceAll(' ', NARROW) : `${format.number(n, club, 1)}${NARROW}kg`
}

/** "33–39 kg", "72 lb 12 oz to 86 lb". */
export function kgRange({ low, high }: Pick<Spread, 'low' | 'high'>, club: Club): string {
  if (club?.units === 'imperial') return `${kg(low, club)} to ${kg(high, club)}`
  const digits = high < 1 ? 2 : 1
  return `${format.number(low, club, digits)}–${format.number(high, club, digits)}${NARROW}kg`
}

/** "36.8 kg (33–39)". */
export function kgSpread(s: Spread, club: Club): string {
  if (s.high <= 0) return '–'
  if (s.high - s.low < 0.005 * s.high) return kg(s.likely, club)
  const likely = kg(s.likely, club)
  // The ends without their unit only where they have the same one.
  if (club?.units === 'imperial' || likely.endsWith(`${NARROW}kg`)) return `${likely} (${kgRange(s, club).replace(`${NARROW}kg`, '')})`
  if (s.high < 1) return `${likely} (${format.number(s.low * 1000, club, 0)}–${format.number(s.high * 1000, club, 0)})`
  return `${likely} (${kg(s.low, club)} to ${kg(s.high, club)})`
}

/** A weighing beside the estimate of what was finished by then, in a sentence without its subject. */
export function againstWords({ expected, against }: Pick<WeighInLine, 'expected' | 'against'>, club: Club): string {
  if (expected === null || against === null) return ''
  if (against.is === 'nothing-done') return 'nothing that weighs was finished by then, so there is nothing to hold it against'
  const says = `the estimate says ${kgRange(expected, club)} for what was done by then`
  const by = kg(Math.abs(against.byKg), club)
  if (against.is === 'above') return `${says}: ${by} heavier than its heaviest. Weigh again, then look for what the list does not have, or for where resin was left on`
  if (against.is === 'below') return `${says}: ${by} lighter than its lightest. Weigh again, then look for what was ticked off and is not in her`
  if (Math.abs(against.byKg) < 0.02 * expected.likely) return `${says}: right on the likely ${kg(expected.likely, club)}`
  return `${says}: on the ${against.byKg > 0 ? 'heavy' : 'light'} side by ${by}`
}

/** What is left between the target and what all of her should weigh. */
export function roomWords(targetG: number, all: Spread, club: Club): string {
  const room = { low: targetG / 1000 - all.high, likely: targetG / 1000 - all.likely, high: targetG / 1000 - all.low }
  const rest = 'for what the estimate does not weigh (fittings, sails, ropes)'
  if (room.likely < 0) return `The estimate is ${kg(-room.likely, club)} above the target before ${rest.replace('for ', '')} come${room.high > 0 ? `; at its lightest ${kg(room.high, club)} would be left` : ', and above it at its lightest too'}.`
  return `${kg(room.likely, club)} are left ${rest}${room.low < 0 ? `; none at its heaviest, which is ${kg(-room.low, club)} too much` : `, ${kg(room.low, club)} at its heaviest`}.`
}
