import type { PanelFormModel } from '../../src/features/builds/queries/geometry-forms.ts'
import { FOOT_MM, format, INCH_MM, Table, usePage } from '../shared/index.ts'

const W = 640
const EDGE = 20
const MOST_H = 300
const UNDER = 44

type Station = { at: number; half: number }

/** The outline of one piece to scale, each width set off from the middle, with its table. */
export function OutlineDrawing({ name, shown, stations, words, isTableOpen }: { name: string; isTableOpen: boolean } & Pick<PanelFormModel, 'shown' | 'stations' | 'words'>) {
  const { club } = usePage()
  const { outline, shape } = shown
  if (!shape || shape.lengthMm <= 0 || shape.widthMm <= 0) return null
  const scale = Math.min((W - 2 * EDGE) / shape.lengthMm, MOST_H / shape.widthMm)
  const h = shape.widthMm * scale
  const middle = EDGE + h / 2
  const points: Station[] = !outline || outline.how === 'area' ? [] : outline.stations.map((s) => ({ at: s.atMm - outline.stations[0]!.atMm, half: 'halfMm' in s ? s.halfMm : s.widthMm / 2 }))
  const x = (mm: number) => round(EDGE + mm * scale)
  const y = (half: number) => round(middle - half * scale)
  const upper = points.map((p) => `${x(p.at)} ${y(p.half)}`)
  const lower = points.map((p) => `${x(p.at)} ${y(-p.half)}`).reverse()
  const bar = barOf(shape.lengthMm, club?.units ?? 'metric')
  const fill = Math.round((shape.areaM2 * 1e8) / (shape.lengthMm * shape.widthMm))
  const says = `${name}: ${format.small(shape.lengthMm, club)} long, ${format.small(shape.widthMm, club)} wide, ${format.area(shape.areaM2, club)}; it fills ${fill} % of its rectangle.`
  return (
    <figure class="outline">
      <svg viewBox={`0 0 ${W} ${round(h + 2 * EDGE + UNDER)}`} width="100%" role="img" aria-label={`Drawn to scale. ${says}`}>
        <rect class={points.length > 0 ? 'outline-box' : 'outline-piece'} x={x(0)} y={y(shape.widthMm / 2)} width={round(shape.lengthMm * scale)} height={round(h)} />
        {points.length > 0 && <path class="outline-piece" d={`M${upper.join('L')}L${lower.join('L')}Z`} />}
        {points.map((p) => <line key={p.at} class="outline-station" x1={x(p.at)} x2={x(p.at)} y1={y(p.half)} y2={y(-p.half)} />)}
        {points.length > 0 && <line class="outline-middle" x1={x(0)} x2={x(shape.lengthMm)} y1={round(middle)} y2={round(middle)} />}
        <path class="outline-bar" d={`M${x(0)} ${round(h + 2 * EDGE + 6)}v8h${round(bar.mm * scale)}v-8`} />
        <text class="chart-text" x={x(0)} y={round(h + 2 * EDGE + 34)}>{bar.text}</text>
      </svg>
      <figcaption class="chart-says">
        {says} {points.length > 0 ? 'Each width is set off from the middle and straight lines join the stations; the area follows the curve through them.' : 'Only its rectangle is known: with widths at stations its outline is drawn.'}
      </figcaption>
      {stations.length > 0 && (
        <details open={isTableOpen}>
          <summary>Its stations in a table</summary>
          <Table
            caption={`Stations of “${name}”`} rows={stations.map((s, i) => ({ ...s, no: i + 1 }))} rowKey={(s) => String(s.no)}
            columns={[
              { key: 'no', heading: 'Station', cell: (s) => s.no },
              { key: 'at', heading: `Position (${words.small})`, numeric: true, cell: (s) => s.at },
              { key: 'wide', heading: `${outline?.how === 'half-breadths' ? 'Half-breadth' : 'Width'} (${words.small})`, numeric: true, cell: (s) => s.wide },
            ]}
          />
        </details>
      )}
    </figure>
  )
}

const round = (n: number): number => Math.round(n * 10) / 10

/** A round length, a fifth to a half of the piece. */
function barOf(lengthMm: number, units: 'metric' | 'imperial'): { mm: number; text: string } {
  const bars = units === 'metric'
    ? [50, 100, 200, 500, 1000, 2000].map((mm) => ({ mm, text: `${mm} mm` }))
    : [1, 3, 6].map((n) => ({ mm: n * INCH_MM, text: `${n} in` })).concat([1, 2, 5].map((n) => ({ mm: n * FOOT_MM, text: `${n} ft` })))
  return bars.findLast((b) => b.mm <= lengthMm / 2) ?? bars[0]!
}
