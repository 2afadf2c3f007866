import type { Skill } from '../../src/core/estimate/types.ts'
import { format, type PageClub } from '../shared/index.ts'

export const SKILL_WORDS: Readonly<Record<Skill, string>> = { first: 'first boat', some: 'some experience', practised: 'practised' }

/** A share of something, which people write in per cent too. */
export const isShare = (unit: string): boolean => unit.startsWith('share')
const isGlass = (unit: string): boolean => unit === 'share of mass'

/** A figure without its unit: glass by mass as it is usual, other shares in per cent. */
export const figureText = (n: number, unit: string, club: PageClub | null): string =>
  isShare(unit) && !isGlass(unit) ? format.number(n * 100, club, 1) : format.number(n, club, Math.abs(n) < 10 ? 3 : 1)

/** "140 g/m² (100 to 200)", "15 % on top (10 to 20)", "1.15 g/cm³". */
export function rangeText({ low, likely, high }: { low: number; likely: number; high: number }, unit: string, club: PageClub | null): string {
  const said = isGlass(unit) ? 'of the mass' : isShare(unit) ? `% ${unit.replace('share ', '')}` : unit
  const ends = low === high ? '' : ` (${figureText(low, unit, club)} to ${figureText(high, unit, club)})`
  return `${figureText(likely, unit, club)} ${said}${ends}`
}

const formats = new Map<string, Intl.NumberFormat>()
/** "1.00": a factor of one is no rounded figure. */
function two(n: number, club: PageClub | null): string {
  const locale = club?.locale ?? 'en-GB'
  const format = formats.get(locale) ?? new Intl.NumberFormat(locale, { minimumFractionDigits: 2, maximumFractionDigits: 2 })
  formats.set(locale, format)
  return format.format(n)
}
export const timesText = (factor: number, club: PageClub | null): string => `×\u00A0${two(factor, club)}`

/** "× 1.08 (1.01 to 1.15)": a factor with its 80 % interval. */
export const factorText = ({ factor, low, high }: { factor: number; low: number; high: number }, club: PageClub | null): string =>
  `${timesText(factor, club)} (${two(low, club)} to ${two(high, club)})`
