import type { LotLine } from '../../src/features/stores/queries/ledger-items.ts'
import { format, type Option, type PageClub } from '../shared/index.ts'

const STATE: Record<LotLine['state'], string> = { fresh: '', test_first: ', test first', not_structural: ', not structural', discard: ', discard' }
export const LOT_WORDS = 'The number on the can, where you took a certain one'

/** "lot 12: 480 g, test first". */
export function lotOption(lot: LotLine & { mine?: number }, club: PageClub | null, isDisabled = false): Option {
  const parts = [lot.clubMilli > 0 ? format.stockAmount(lot.clubMilli, lot.unit, club) : '', lot.mine ? `${format.stockAmount(lot.mine, lot.unit, club)} of mine` : ''].filter(Boolean)
  return { value: lot.id, label: `lot ${lot.number}: ${parts.join(', ') || 'nothing'}${STATE[lot.state]}`, disabled: isDisabled }
}
