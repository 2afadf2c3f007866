import type { Tape } from '../../src/core/estimate/types.ts'
import { format, shownIn, Table, usePage, type PageClub } from '../shared/index.ts'

type Club = PageClub | null

/** What a fillet takes along its seam: "22 ml" a metre, "0.23 fl oz" (US) a foot; little stands on a foot, so to the hundredth. */
export const runWords = (mlPerMetre: number, club: Club): string =>
  club?.units === 'imperial' ? `${format.number(mlPerMetre * 0.3048 / 29.5735295625, club, 2)} fl oz` : format.volume(mlPerMetre, club)
export const perRun = (club: Club): string => (club?.units === 'imperial' ? 'a foot' : 'a metre')

/** "112° all along", "80° at the fore end, then 110°, 130°, 145° aft". */
export function courseWords(angles: readonly number[], club: Club): string {
  const [first, last] = [angles[0], angles.at(-1)]
  if (first === undefined || last === undefined) return 'not said'
  const deg = (a: number) => `${format.number(a, club, 1)}°`
  if (angles.every((a) => a === first)) return `${deg(first)} all along`
  const between = angles.slice(1, -1)
  return `${deg(first)} forward${between.length > 0 ? `, ${between.map(deg).join(', ')}` : ''}, ${deg(last)} aft`
}

/** "inside, 75 mm of 200 g/m²". */
export function tapeWords(t: Tape, club: Club): string {
  const units = club?.units ?? 'metric'
  return `${t.side}, ${shownIn(t.widthMm, 'tape', units)} ${units === 'metric' ? 'mm' : 'in'} of ${format.number(t.arealMass, club, 0)} g/m²${t.layers > 1 ? `, ${t.layers} layers` : ''}`
}

const W = 640
const H = 200
const PAD = { left: 52, right: 20, top: 16, bottom: 34 }

/** The inside angle from fore to aft, with the section of the fillet at each place. */
export function CourseChart({ name, angles, sections }: { name: string; angles: readonly number[]; sections: readonly number[] }) {
  const { club } = usePage()
  const says = `${name}: the inside angle is ${courseWords(angles, club)}.`
  if (angles.length < 2) return <p>{says}</p>
  const [low, high] = [Math.floor(Math.min(...angles) / 10) * 10 - 10, Math.min(180, Math.ceil(Math.max(...angles) / 10) * 10 + 10)]
  const x = (i: number) => Math.round(PAD.left + (i / (angles.length - 1)) * (W - PAD.left - PAD.right))
  const y = (a: number) => Math.round(PAD.top + ((high - a) / (high - low)) * (H - PAD.top - PAD.bottom))
  const rows = angles.map((a, i) => ({ no: i + 1, angle: a, section: sections[i] ?? 0 }))
  return (
    <figure class="line-chart">
      <figcaption class="chart-says">{says} Between two places it runs evenly.</figcaption>
      <div class="chart-pair">
        <div class="chart-draw">
          <svg viewBox={`0 0 ${W} ${H}`} width="100%" role="img" aria-label={says}>
            {[low, (low + high) / 2, high].map((a) => (
              <g key={a}>
                <line class="chart-grid" x1={PAD.left} x2={W - PAD.right} y1={y(a)} y2={y(a)} />
                <text class="chart-text" x={PAD.left - 6} y={y(a) + 5} text-anchor="end">{Math.round(a)}°</text>
              </g>
            ))}
            <path class="chart-line chart-line-0" d={`M${angles.map((a, i) => `${x(i)} ${y(a)}`).join('L')}`} />
            {angles.map((a, i) => <circle key={i} class="chart-dot-0" cx={x(i)} cy={y(a)} r="4" />)}
            <text class="chart-text" x={PAD.left} y={H - 10}>fore</text>
            <text class="chart-text" x={W - PAD.right} y={H - 10} text-anchor="end">aft</text>
          </svg>
        </div>
        <Table
          caption="Angle and fillet from fore to aft" rows={rows} rowKey={(r) => String(r.no)}
          columns={[
            { key: 'no', heading: 'Place', cell: (r) => r.no },
            { key: 'angle', heading: 'Angle (°)', numeric: true, cell: (r) => format.number(r.angle, club, 1) },
            { key: 'section', heading: `Fillet, ${perRun(club)}`, numeric: true, cell: (r) => runWords(r.section, club) },
          ]}
        />
      </div>
    </figure>
  )
}
