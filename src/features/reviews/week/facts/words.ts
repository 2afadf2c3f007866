/** The sentence that a drafted review begins with. It stays in a signed one, so days are told by their date, never as "today" or a bare weekday. Pure. */
import type { ReviewWords } from '../../../../../views/reviews/review-words.ts'
import { hours, list, plural } from '../../../../../views/shared/times.ts'
import type { DoneLine, MeantLine, ReviewFacts } from '../../model.ts'

type Drafted = Pick<ReviewFacts, 'isQuiet' | 'pause' | 'hasMeant'> & { meant: readonly MeantLine[]; done: readonly DoneLine[]; slips: number; range: string | null; moved: string }

/** What the week was, in one or two sentences. */
export function headlineOf(f: Drafted, w: ReviewWords): string {
  const launch = f.range === null ? '' : ` Launch: ${f.range}${f.moved === '' ? '' : ` (${f.moved})`}.`
  if (f.pause && f.done.length === 0) return `She rests since ${w.day(f.pause.from)}.${launch}`
  if (f.isQuiet) return `A quiet week: nothing was logged.${launch}`
  const [worked, meant] = [f.done.reduce((n, d) => n + d.workedMin, 0), f.meant.reduce((n, m) => n + m.meantMin, 0)]
  const first = `${hours(worked)} worked${f.hasMeant ? ` of ${hours(meant)} meant` : ''}`
  return `${[first, finishedWords(f.done), slipWords(f)].filter((t) => t !== '').join('; ')}.${launch}`
}

function finishedWords(done: readonly DoneLine[]): string {
  const finished = done.filter((d) => d.isFinished).map((d) => d.name)
  if (finished.length === 0) return done.length > 0 ? `${list(done.slice(0, 2).map((d) => d.name))} moved on` : ''
  const [shown, rest] = [finished.slice(0, 3), finished.length - 3]
  return `finished: ${list(rest > 0 ? [...shown, `${rest} more`] : shown)}`
}

function slipWords({ meant, slips }: Drafted): string {
  if (meant.length === 0) return ''
  return slips === 0 ? 'all that was meant came off' : `${slips} of ${plural(meant.length, 'thing')} meant ${slips === 1 ? 'goes' : 'go'} on`
}
