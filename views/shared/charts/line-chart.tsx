import type { ComponentChildren } from 'preact'
import { Table, type Column } from '../table.tsx'

export type LineSeries = {
  name: string
  /** One for each x; null leaves a gap. */
  values: readonly (number | null)[]
}

export type LineChartProps = {
  caption: string
  /** What the chart says, in a sentence. */
  says: string
  /** What the lines are measured in: "h". */
  unit: string
  /** What stands under the lines ("week 48") and its heading in the table ("Week"). */
  x: readonly string[]
  xHeading: string
  /** At most four: each has a line and a mark of its own shape. */
  series: readonly LineSeries[]
  /** A column of x that is now: a line is drawn there. */
  nowAt?: number
  /** For the table; plain numbers with one decimal unless given. */
  format?(value: number): string
}

const W = 640
const H = 260
const PAD = { left: 44, right: 16, top: 16, bottom: 34 }

/** Lines over time with the same figures in a table beside them. */
export function LineChart({ caption, says, unit, x, xHeading, series, nowAt, format = plain }: LineChartProps) {
  const top = niceTop(Math.max(1, ...series.flatMap((one) => one.values.map((value) => value ?? 0))))
  const px = (at: number) => PAD.left + (x.length < 2 ? 0.5 : at / (x.length - 1)) * (W - PAD.left - PAD.right)
  const py = (value: number) => H - PAD.bottom - (value / top) * (H - PAD.top - PAD.bottom)
  const ticks = [0, top / 4, top / 2, (top * 3) / 4, top]
  const every = Math.max(1, Math.ceil(x.length / 8))
  type Row = { at: number; label: string }
  const columns: Column<Row>[] = [
    { key: 'x', heading: xHeading, cell: (row) => row.label },
    ...series.map((one) => ({
      key: one.name,
      heading: `${one.name} (${unit})`,
      numeric: true,
      cell: (row: Row): ComponentChildren => {
        const value = one.values[row.at]
        return value === null || value === undefined ? '–' : format(value)
      },
    })),
  ]
  return (
    <figure class="line-chart">
      <figcaption class="chart-says">{says}</figcaption>
      <div class="chart-pair">
        <div class="chart-draw">
          <svg viewBox={`0 0 ${W} ${H}`} width="100%" role="img" aria-label={`${caption}. ${says}`}>
            {ticks.map((tick) => (
              <g key={tick}>
                <line class="chart-grid" x1={PAD.left} x2={W - PAD.right} y1={py(tick)} y2={py(tick)} />
                <text class="chart-text" x={PAD.left - 6} y={py(tick) + 5} text-anchor="end">{plain(tick)}</text>
              </g>
            ))}
            {x.map((label, at) => at % every === 0 && <text key={at} class="chart-text" x={px(at)} y={H - 10} text-anchor="middle">{short(label)}</text>)}
            {nowAt !== undefined && <line class="chart-now" x1={px(nowAt)} x2={px(nowAt)} y1={PAD.top} y2={H - PAD.bottom} />}
            {series.map((one, n) => <Line key={one.name} values={one.values} n={n} px={px} py={py} />)}
          </svg>
          <ul class="chart-key">
            {series.map((one, n) => (
              <li key={one.name}>
                <svg viewBox="0 0 40 14" width="40" height="14" aria-hidden="true" focusable="false">
                  <line class={`chart-line chart-line-${n % 4}`} x1="0" x2="40" y1="7" y2="7" />
                  <Dot n={n} x={20} y={7} />
                </svg>
                {one.name}
              </li>
            ))}
          </ul>
        </div>
        <Table caption={caption} columns={columns} rows={x.map((label, at) => ({ at, label }))} rowKey={(row) => String(row.at)} />
      </div>
    </figure>
  )
}

function Line({ values, n, px, py }: { values: LineSeries['values']; n: number; px(at: number): number; py(value: number): number }) {
  const points = values.map((value, at) => (value === null ? null : { x: round(px(at)), y: round(py(value)) }))
  let path = ''
  for (const [at, point] of points.entries()) if (point) path += `${at > 0 && points[at - 1] ? 'L' : 'M'}${point.x} ${point.y}`
  return (
    <g>
      <path class={`chart-line chart-line-${n % 4}`} d={path} />
      {points.map((point, at) => point && <Dot key={at} n={n} x={point.x} y={point.y} />)}
    </g>
  )
}

/** Disc, square, diamond, triangle. */
function Dot({ n, x, y }: { n: number; x: number; y: number }) {
  const kind = `chart-dot chart-dot-${n % 4}`
  if (n % 4 === 0) return <circle class={kind} cx={x} cy={y} r="4" />
  if (n % 4 === 1) return <rect class={kind} x={x - 3.5} y={y - 3.5} width="7" height="7" />
  return <path class={kind} d={n % 4 === 2 ? `M${x} ${y - 5}l5 5-5 5-5-5z` : `M${x} ${y - 5}l5 9h-10z`} />
}

/** The next of 1, 2, 4, 6, 8, 10 × a power of ten, so that quarters are round. */
function niceTop(value: number): number {
  const power = 10 ** Math.floor(Math.log10(value))
  return ([1, 2, 4, 6, 8, 10].find((step) => step * power >= value) ?? 10) * power
}

const round = (value: number): number => Math.round(value * 10) / 10
const plain = (value: number): string => String(round(value))
const short = (label: string): string => label.replace(/^week /, '')
