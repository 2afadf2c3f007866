import type { SharedBy } from '../../src/features/builds/facts/charges.ts'

/** The rule for shared use, as a sentence. */
export const SHARED_WORDS: Record<SharedBy, string> = {
  hours: 'by the hours worked on each build since the last settlement',
  equal: 'equally over the builds under way',
  charges: 'in the proportion of each build’s own charges',
}

export const KIND_WORDS: Record<string, string> = {
  receipt: 'receipt', draw: 'draw', return: 'return', transfer: 'handed over', write_off: 'write-off', stocktake: 'stocktake', price_correction: 'price correction', reversal: 'reversal',
}
