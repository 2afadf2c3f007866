import { weekLabel } from '../../../src/core/calendar/index.ts'
import { rangeWords, stepWords, type FanWeek } from '../forecast-words.ts'
import { Table, type Column } from '../table.tsx'
import { useTimes } from '../time.tsx'
import { sentence, weekWords, type TimeWords } from '../times.ts'

export type LaunchFanProps = {
  /** Whose launch. */
  name: string
  /** The last forecast of each week, oldest first. */
  weeks: readonly FanWeek[]
  /** 'YYYY-MM-DD' */
  target: string | null
}

const W = 640
const H = 300
const PAD = { left: 92, right: 20, top: 16, bottom: 34 }
const DAY = 1440
/** More weeks than these can't be read side by side. */
const MOST = 26

/**
 * Past weeks from left to right, launch dates upwards: a wedge for each week from its even date to its date of four in five, a thread through the even
 * dates, and the target as a line. As in a wake, the wedges close in as the launch comes near.
 */
export function LaunchFan({ name, weeks: all, target }: LaunchFanProps) {
  const times = useTimes()
  const weeks = all.slice(-MOST)
  const says = fanSays(times, name, weeks, target)
  const targetAt = target === null ? null : Date.parse(`${target}T12:00:00Z`) / 60_000
  const dates = [...weeks.flatMap((w) => [w.p50, w.p80]), targetAt].filter((t) => t !== null)
  return (
    <figure class="launch-fan">
      <figcaption class="chart-says">{says}</figcaption>
      {weeks.length > 1 && dates.length > 0 && <Draw weeks={weeks} dates={dates} targetAt={targetAt} label={`${name}: launch as forecast week by week. ${says}`} times={times} />}
      <Table caption={`What each week’s forecast of ${name} said`} columns={columns(times)} rows={[...weeks].reverse()} rowKey={(w) => w.monday} />
    </figure>
  )
}

function Draw({ weeks, dates, targetAt, label, times }: { weeks: readonly FanWeek[]; dates: readonly number[]; targetAt: number | null; label: string; times: TimeWords }) {
  const [first, last] = [Math.min(...dates) - 7 * DAY, Math.max(...dates) + 7 * DAY]
  const step = (W - PAD.left - PAD.right) / weeks.length
  const px = (at: number) => PAD.left + (at + 0.5) * step
  const py = (t: number) => H - PAD.bottom - ((t - first) / (last - first)) * (H - PAD.top - PAD.bottom)
  const ticks = [0, 1, 2, 3, 4].map((n) => first + ((last - first) * n) / 4)
  const every = Math.max(1, Math.ceil(weeks.length / 8))
  const half = Math.min(16, step * 0.36)
  let thread = ''
  for (const [at, w] of weeks.entries()) if (w.p50 !== null) thread += `${at > 0 && weeks[at - 1]?.p50 != null ? 'L' : 'M'}${round(px(at))} ${round(py(w.p50))}`
  return (
    <>
      <svg viewBox={`0 0 ${W} ${H}`} width="100%" role="img" aria-label={label}>
        {ticks.map((t) => (
          <g key={t}>
            <line class="chart-grid" x1={PAD.left} x2={W - PAD.right} y1={round(py(t))} y2={round(py(t))} />
            <text class="chart-text" x={PAD.left - 8} y={round(py(t)) + 5} text-anchor="end">{times.date(t)}</text>
          </g>
        ))}
        {weeks.map((w, at) => (weeks.length - 1 - at) % every === 0 && <text key={w.monday} class="chart-text" x={px(at)} y={H - 10} text-anchor="middle">{Number(weekLabel(w.monday).split('-W')[1])}</text>)}
        {targetAt !== null && <line class="fan-target" x1={PAD.left} x2={W - PAD.right} y1={round(py(targetAt))} y2={round(py(targetAt))} />}
        {weeks.map((w, at) => <Wedge key={w.monday} week={w} x={px(at)} half={half} top={PAD.top} py={py} />)}
        <path class="fan-thread" d={thread} />
        {weeks.map((w, at) => w.p50 !== null && <circle key={w.monday} class="fan-half" cx={round(px(at))} cy={round(py(w.p50))} r="4.5" />)}
      </svg>
      <ul class="chart-key">
        <li><Key><circle class="fan-half" cx="20" cy="7" r="4.5" /></Key>Even chance</li>
        <li><Key><path class="fan-wedge" d="M20 13L12 2h16z" /></Key>Up to four in five</li>
        {targetAt !== null && <li><Key><line class="fan-target" x1="0" x2="40" y1="7" y2="7" /></Key>Her target</li>}
      </ul>
    </>
  )
}

const Key = ({ children }: { children: preact.ComponentChildren }) => <svg viewBox="0 0 40 14" width="40" height="14" aria-hidden="true" focusable="false">{children}</svg>

/** From the even date upwards, wider the further off: it ends open where four in five is beyond what was foreseen. */
function Wedge({ week, x, half, top, py }: { week: FanWeek; x: number; half: number; top: number; py(t: number): number }) {
  if (week.p50 === null) return null
  const [from, to] = [py(week.p50), week.p80 === null ? top : py(week.p80)]
  return <path class={week.p80 === null ? 'fan-wedge fan-open' : 'fan-wedge'} d={`M${round(x)} ${round(from)}L${round(x - half)} ${round(to)}H${round(x + half)}z`} />
}

function columns(times: TimeWords): Column<FanWeek>[] {
  return [
    { key: 'week', heading: 'Week', isName: true, cell: (w) => sentence(weekWords(weekLabel(w.monday), times)).replace(/\.$/, '') },
    { key: 'half', heading: 'Even chance by', cell: (w) => (w.p50 === null ? 'not within two years' : times.date(w.p50)) },
    { key: 'four', heading: 'Four in five by', cell: (w) => (w.p80 === null ? 'not within two years' : times.date(w.p80)) },
    { key: 'why', heading: 'Against the week before', cell: (w) => (w.step === null ? 'the first' : sentence(stepWords(w.step, 'before'))) },
  ]
}

/** What the drawing shows, in a sentence. */
export function fanSays(times: TimeWords, name: string, weeks: readonly FanWeek[], target: string | null): string {
  const [first, last] = [weeks[0], weeks.at(-1)]
  if (!first || !last) return `No forecast of ${name} was made yet.`
  const aim = target === null ? '' : ` Her target is ${times.date(Date.parse(`${target}T12:00:00Z`) / 60_000)}.`
  if (first === last || first.p50 === null || last.p50 === null) return `${sentence(`${weekWords(weekLabel(last.monday), times)}: ${rangeWords(times, last)}`)}${aim}`
  const days = Math.round((last.p50 - first.p50) / DAY)
  const moved = days === 0 ? 'stands where it stood' : `moved from ${times.date(first.p50)} to ${times.date(last.p50)}`
  const width = (w: FanWeek) => (w.p50 === null || w.p80 === null ? null : w.p80 - w.p50)
  const [was, is] = [width(first), width(last)]
  const spread = was === null || is === null ? '' : is < was * 0.9 ? ', and the range has narrowed' : is > was * 1.1 ? ', and the range has widened' : ', the range as wide as it was'
  return `From ${weekWords(weekLabel(first.monday), times)} to ${weekWords(weekLabel(last.monday), times)} the date of even chance ${moved}${spread}.${aim}`
}

const round = (n: number): number => Math.round(n * 10) / 10
