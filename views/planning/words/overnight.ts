import type { Overnight, Someone } from '../../../src/features/planning/queries/overnight.ts'
import { list, type TimeWords } from '../../shared/times.ts'

export type Verdict = { readonly good: boolean; readonly head: string; readonly text: string }

/** The plain answer: may the coat go on now, and will somebody be there for the next. */
export function overnightVerdict(r: Overnight, times: TimeWords, temperature: (celsius: number) => string): Verdict {
  const { opens, closes, sandable } = r.times
  const tonight = times.localDate(r.start) === times.localDate(times.now) ? ' tonight' : ' then'
  if (r.gate !== null) return { good: false, head: GATE_HEAD[r.gate], text: gateText(r, temperature) }
  const later = sandable === null ? 'it is not reckoned when it can be sanded' : `it can be washed and sanded from ${times.dayTime(sandable)}`
  if (opens === null) {
    if (r.coldest.air < r.cureFloor) {
      return { good: false, head: `Too cold${tonight}`, text: `It gets down to ${temperature(r.coldest.air)}; below ${temperature(r.cureFloor)} this product does not cure, and the window does not open in the next three weeks. Warm the place, or wait.` }
    }
    return { good: true, head: 'No recoat window', text: `This product has no time from when a next coat goes on wet; ${later}.` }
  }
  if (closes !== null && opens >= closes) {
    return { good: false, head: `Too cold${tonight}`, text: `The window would open ${times.dayTime(opens)} but shut ${times.timeOr(closes, opens)}: there is none. ${capital(later)}; warm the place, or begin earlier in the day.` }
  }
  const window = `The window opens ${times.dayTime(opens)}${closes === null ? ' and stays open' : ` and shuts ${times.timeOr(closes, opens)}`}`
  if (r.there.length > 0) return { good: true, head: 'Go ahead', text: `${window}. ${thereWords(r, times)}.` }
  if (closes === null) return { good: true, head: 'Go ahead', text: `${window}. ${thereWords(r, times)}.` }
  return { good: false, head: 'Nobody is there in time', text: `${window}. ${thereWords(r, times)}. The next coat would need a wash and sand first; ${later}. Or begin later, so that the window falls into a session.` }
}

/** "Ann till 18:00 and Ben 14:00–18:00 are there", or who comes next. */
export function thereWords(r: Overnight, times: TimeWords): string {
  if (r.there.length > 0) {
    const opens = r.times.opens ?? 0
    // Who is there soonest is enough; a window of a day would name half the club.
    const first = r.there.slice(0, 4)
    const more = r.there.length > first.length ? ' and others' : ''
    return `${list(first.map((p) => stretch(p, opens, times)))}${more} ${r.there.length === 1 ? 'is' : 'are'} there`
  }
  if (r.next) return `Nobody is there; next comes ${r.next.name}, ${times.dayTime(r.next.start)}`
  return 'Nobody is expected in the next three weeks'
}

const stretch = (p: Someone, opens: number, times: TimeWords): string =>
  p.start <= opens ? `${p.name} (till ${times.timeOr(p.end, opens)})` : `${p.name} (${times.dayTime(p.start)}–${times.timeOr(p.end, p.start)})`

const GATE_HEAD = { cold: 'Too cold to begin', hot: 'Too warm to begin', humid: 'Too humid to begin', dew: 'Too near the dew point' } as const

function gateText(r: Overnight, temperature: (celsius: number) => string): string {
  const { minAir, maxAir, maxHumidity } = r.limits
  switch (r.gate) {
    case 'cold':
      return `It is ${temperature(r.atStart.air)} in ${r.place} then, and the product asks for at least ${temperature(minAir ?? 0)}. Warm the place and the boat first, or do other work.`
    case 'hot':
      return `It is ${temperature(r.atStart.air)} in ${r.place} then, and the product asks for at most ${temperature(maxAir ?? 0)}. Wait for the cool of the day.`
    case 'humid':
      return `The air has ${Math.round(r.atStart.humidity)} % humidity then, and the product asks for at most ${maxHumidity} %. Heat or dry the place first.`
    default:
      return 'Surfaces would be so near the dew point that they may be damp. Warm the place and the boat first.'
  }
}

const capital = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}`
