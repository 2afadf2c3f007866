/** What an option sets, and how she is now, in the club's units. */
import type { Lever, SheetOption } from '../../../src/features/planning/option-sheets/model.ts'
import { area, length, number } from '../../shared/format.ts'
import { measureKind, withUnit } from '../../shared/measures.ts'
import type { Words } from './names.ts'

/** "6 mm, 80 g/m², 3": what an option sets, for its head. */
export function settingWords(levers: readonly Lever[], option: Pick<SheetOption, 'values'>, w: Pick<Words, 'club'>): string[] {
  return levers.filter((l) => l.key in option.values).map((l) => `${l.label}: ${valueWords(l, option.values[l.key] ?? 0, w)}`)
}

export function valueWords(lever: Pick<Lever, 'key' | 'unit' | 'choices'>, value: number, { club }: Pick<Words, 'club'>): string {
  const choice = lever.choices.find((c) => c.value === value)
  if (choice) return choice.label
  switch (lever.unit) {
    case 'm': return length(value, club ?? null)
    case 'm2': return area(value, club ?? null)
    case 'g/m2': return value === 0 ? 'none' : `${number(value, club ?? null, 0)} g/m²`
    // As it stands in its field: ply by the millimetre, a tape by what it is sold as.
    case 'mm': return club?.units === 'imperial' ? withUnit(value, measureKind(lever), 'imperial') : `${number(value, club ?? null, 1)} mm`
    default: return number(value, club ?? null, 0)
  }
}
