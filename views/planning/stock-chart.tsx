import type { ComponentChildren } from 'preact'
import type { Ahead } from '../../src/features/planning/outlook.ts'
import type { StockWords } from './words.ts'
import { dateWords, much } from './words.ts'

const W = 560
const H = 260
const PAD = { left: 76, right: 22, top: 44, bottom: 34 }
const WEEK = 7 * 1440
const MOST_TICKS = 6

/** An item's level over the coming weeks as steps, with its safety stock, deliveries, order-by and run-out. */
export function StockChart({ w, a, from, until, says }: { w: StockWords; a: Ahead; from: number; until: number; says: string }) {
  const { steps, item, orders, runOut } = a
  const levels = steps.map((s) => s.level)
  const low = Math.min(0, ...levels)
  const [bottom, top] = rounded(low, Math.max(item.safetyMilli, ...levels))
  const px = (t: number) => round(PAD.left + ((Math.min(Math.max(t, from), until) - from) / (until - from)) * (W - PAD.left - PAD.right))
  const py = (v: number) => round(H - PAD.bottom - ((v - bottom) / (top - bottom)) * (H - PAD.top - PAD.bottom))
  const ticks = [0, 1, 2, 3, 4].map((n) => bottom + ((top - bottom) * n) / 4)
  const orderAt = a.buy > 0 && a.orderBy !== null ? Math.max(from, noonOf(a.orderBy)) : null
  return (
    <svg class="stock-chart" viewBox={`0 0 ${W} ${H}`} width="100%" role="img" aria-label={`Stock level of ${item.name}. ${says}`}>
      {ticks.map((v) => (
        <g key={v}>
          <line class="chart-grid" x1={PAD.left} x2={W - PAD.right} y1={py(v)} y2={py(v)} />
          <text class="chart-text" x={PAD.left - 6} y={py(v) + 5} text-anchor="end">{much(w, item, Math.round(v))}</text>
        </g>
      ))}
      {weeks(w, from, until).map((t) => <text key={t} class="chart-text" x={px(t)} y={H - 12} text-anchor="middle">{w.times.date(t).replace(/ \d{4}$/, '')}</text>)}
      {low < 0 && <rect class="chart-short" x={PAD.left} y={py(0)} width={W - PAD.left - PAD.right} height={py(bottom) - py(0)} />}
      <line class="chart-zero" x1={PAD.left} x2={W - PAD.right} y1={py(0)} y2={py(0)} />
      {item.safetyMilli > 0 && <line class="chart-safety" x1={PAD.left} x2={W - PAD.right} y1={py(item.safetyMilli)} y2={py(item.safetyMilli)} />}
      <path class="chart-line chart-line-0" d={path(steps, px, py, until)} />
      {orders.filter((o) => o.at <= until).map((o) => <path key={`${o.orderId}${o.at}`} class="chart-dot-3" d={`M${px(o.at)} ${H - PAD.bottom}l-6 10h12z`} />)}
      {orderAt !== null && <Mark kind="order" x={px(orderAt)} y={16} text={a.isLate ? 'order now' : `order by ${dateWords(w, a.orderBy ?? '')}`} />}
      {runOut && <Mark kind="out" x={px(runOut.at)} y={34} text={runOut.at <= w.times.now ? 'short now' : 'runs out'} />}
    </svg>
  )
}

function Mark({ kind, x, y, text }: { kind: 'order' | 'out'; x: number; y: number; text: string }) {
  const isRight = x > W * 0.66
  return (
    <g>
      <line class={`chart-mark-${kind}`} x1={x} x2={x} y1={y - 12} y2={H - PAD.bottom} />
      {kind === 'out' ? <path class="chart-mark-sign" d={`M${x - 5} ${y - 9}l10 10m0-10l-10 10`} /> : <circle class="chart-mark-dot" cx={x} cy={y - 5} r="5" />}
      <text class="chart-text chart-mark-text" x={isRight ? x - 10 : x + 10} y={y} text-anchor={isRight ? 'end' : 'start'}>{text}</text>
    </g>
  )
}

/** What the lines and signs mean. */
export function StockChartKey({ a }: { a: Ahead }) {
  const keys: [string, boolean, ComponentChildren][] = [
    ['level', true, <line class="chart-line chart-line-0" x1="0" x2="40" y1="7" y2="7" />],
    ['safety stock', a.item.safetyMilli > 0, <line class="chart-safety" x1="0" x2="40" y1="7" y2="7" />],
    ['a delivery', a.orders.length > 0, <path class="chart-dot-3" d="M20 2l-6 10h12z" />],
    ['order by', a.buy > 0 && a.orderBy !== null, <circle class="chart-mark-dot" cx="20" cy="7" r="5" />],
    ['runs out', a.runOut !== null, <path class="chart-mark-sign" d="M15 2l10 10m0-10l-10 10" />],
  ]
  return (
    <ul class="chart-key">
      {keys.filter(([, isThere]) => isThere).map(([text, , sign]) => (
        <li key={text}><svg viewBox="0 0 40 14" width="40" height="14" aria-hidden="true" focusable="false">{sign}</svg>{text}</li>
      ))}
    </ul>
  )
}

/** A step holds until the next. */
function path(steps: Ahead['steps'], px: (t: number) => number, py: (v: number) => number, until: number): string {
  let d = ''
  for (const { at, level } of steps.filter((s) => s.at <= until)) d += d === '' ? `M${px(at)} ${py(level)}` : `H${px(at)}V${py(level)}`
  return `${d}H${px(until)}`
}

/** Days a week or more apart, as many as there is room for. */
function weeks(w: StockWords, from: number, until: number): number[] {
  const all: number[] = []
  const every = Math.max(1, Math.ceil((until - from) / WEEK / MOST_TICKS))
  for (let t = from + 1440; t < until; t += WEEK * every) all.push(t)
  return all
}

/** Ends of the scale: four steps of a round size, so that 0 is one of the ticks. */
function rounded(low: number, high: number): [number, number] {
  const sizes = [0, 1, 2, 3, 4].filter((below) => (below > 0 || low >= 0) && (below < 4 || high <= 0)).map((below) => {
    const step = nice(Math.max(below === 0 ? 0 : -low / below, below === 4 ? 0 : high / (4 - below)))
    return { bottom: -below * step, top: (4 - below) * step, step }
  })
  const best = sizes.reduce((a, b) => (b.step < a.step ? b : a))
  return [best.bottom, best.top]
}

/** The next of 1, 2, 2.5 or 5 × a power of ten. */
function nice(value: number): number {
  const power = 10 ** Math.floor(Math.log10(Math.max(1, value)))
  return ([1, 2, 2.5, 5].find((step) => step * power >= value) ?? 10) * power
}

const noonOf = (iso: string): number => Date.parse(`${iso}T12:00:00Z`) / 60_000
const round = (value: number): number => Math.round(value * 10) / 10
