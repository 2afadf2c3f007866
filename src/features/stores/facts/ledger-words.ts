/** What the ledger refuses, in a person's words. Pure. */
import type { LedgerRefusal, LotState } from '../../../core/stock/index.ts'
import { stockAmount } from '../../../../views/shared/format.ts'

const inCents = (n: number): string => (n / 100).toFixed(2)

export function refusalWords(refusal: LedgerRefusal, unit: string): string {
  const amount = (milli: number) => stockAmount(milli, unit)
  switch (refusal.kind) {
    case 'not-enough': return refusal.left === 0 ? 'Nothing of it is left.' : `Only ${amount(refusal.left)} is left.`
    case 'above-draw': return refusal.returnable === 0 ? 'All of this draw has come back already.' : `At most ${amount(refusal.returnable)} of this draw can come back.`
    case 'already-reversed': return 'This entry was reversed already.'
    case 'draw-reversed': return 'The draw that this is of was reversed.'
    case 'all-returned': return 'All of this draw has come back: its cost is in the stock again.'
    case 'still-drawn':
      return `Of what came in, ${amount(refusal.drawn)} has gone out again, so that it can’t be undone: reverse those entries first, or write off what is not there.`
    case 'corrected': return 'The price of this lot was corrected: reverse the correction first.'
    case 'is-reversal': return 'A reversal is not reversed: book what is right anew.'
    case 'below-zero': return `There is only ${inCents(refusal.value)} to take off: a cost can’t fall below nothing.`
    case 'too-large': return refusal.of === 'qty' ? 'That is more than any club has: look at the amount again.' : 'That costs more than any club has: look at the price again.'
    case 'nothing': return 'That would change nothing.'
  }
}

export const LOT_STATE_WORDS: Record<LotState, string> = { fresh: 'fresh', test_first: 'test first', not_structural: 'not structural', discard: 'discard' }

/** Why a lot in this state does not serve; null where it does. */
export function unfit(state: LotState, structural: boolean, number: number): string | null {
  switch (state) {
    case 'fresh': return null
    case 'not_structural': return structural ? `Lot ${number} is not for structure: take another, or say that nothing bears load on it.` : null
    case 'test_first': return `Lot ${number} is past its date: somebody tests it first and says what came out.`
    case 'discard': return `Lot ${number} is to be discarded: it can only be written off.`
  }
}
