import type { CutPart, PlyLayout, Rect, SheetLayout } from '../../src/features/builds/layout/types.ts'
import { format, plural, usePage } from '../shared/index.ts'
import { partShort, sizeWords } from './layout-words.ts'

/** Letters, in mm of the sheet: a sheet is drawn a tenth to a fifth of its size. */
const NUMBER = 92
const NAME = 56
const PAD = { left: 30, right: 30, top: 110, bottom: 30 }

/** One sheet to scale: parts with number, name and size, an arrow for the grain, offcuts dashed. Its table stands below all sheets of a ply. */
export function LayoutSheet({ sheet, ply }: { sheet: SheetLayout; ply: PlyLayout }) {
  const { club } = usePage()
  const { lengthMm: length, widthMm: width } = ply.source
  const title = `Sheet ${sheet.number} of ${ply.sheets.length}`
  const says = `${plural(sheet.parts.length, 'part', 'parts')} on ${format.percent(sheet.usedShare, club)} of it${sheet.offcuts.length === 0 ? '' : `; largest offcut ${sizeWords(sheet.offcuts[0]!.alongMm, sheet.offcuts[0]!.acrossMm, club)}`}`
  return (
    <figure class="cut">
      <figcaption><b>{title}</b>: {says}</figcaption>
      <svg viewBox={`${-PAD.left} ${-PAD.top} ${length + PAD.left + PAD.right} ${width + PAD.top + PAD.bottom}`} width="100%" role="img" aria-label={`${title} of ${ply.material}, ${sizeWords(length, width, club)}, drawn to scale. ${says}. The table below lists the parts.`}>
        <text class="cut-note" x={0} y={-34} font-size={NAME}>{sizeWords(length, width, club)}</text>
        <Arrow x={length - 560} y={-52} length={560} />
        <text class="cut-note" x={length - 590} y={-34} font-size={NAME} text-anchor="end">face grain</text>
        <rect class="cut-sheet" x={0} y={0} width={length} height={width} />
        {sheet.offcuts.map((r) => <Offcut key={`${r.x} ${r.y}`} r={r} />)}
        {sheet.parts.map((p) => <Part key={p.number} part={p} />)}
      </svg>
    </figure>
  )
}

function Part({ part }: { part: CutPart }) {
  const { club } = usePage()
  const { x, y, alongMm, acrossMm, number } = part
  // Words run along the longer side.
  const isUpright = acrossMm > alongMm * 1.2
  const [run, rise] = isUpright ? [acrossMm, alongMm] : [alongMm, acrossMm]
  const [cx, cy] = [x + alongMm / 2, y + acrossMm / 2]
  const lines = [partShort(part), sizeWords(part.lengthMm, part.widthMm, club)].filter((text) => wide(text) < run - 60)
  const room = Math.min(lines.length, Math.floor((rise - NUMBER - 30) / (NAME * 1.25)))
  const shown = lines.slice(0, Math.max(0, room))
  const top = cy - (NUMBER + shown.length * NAME * 1.25) / 2
  return (
    <g>
      <rect class={part.isStrap ? 'cut-part cut-strap' : 'cut-part'} x={x} y={y} width={alongMm} height={acrossMm} />
      <g transform={isUpright ? `rotate(-90 ${round(cx)} ${round(cy)})` : undefined}>
        <text class="cut-number" x={round(cx)} y={round(top + NUMBER * 0.8)} font-size={Math.min(NUMBER, rise * 0.8)} text-anchor="middle">{number}</text>
        {shown.map((text, i) => <text key={text} class="cut-name" x={round(cx)} y={round(top + NUMBER + (i + 0.8) * NAME * 1.25)} font-size={NAME} text-anchor="middle">{text}</text>)}
      </g>
      {part.grain !== 'any' && acrossMm > 170 && alongMm > 260 && <Arrow x={x + 40} y={y + acrossMm - 32} length={Math.min(220, alongMm - 80)} />}
    </g>
  )
}

function Offcut({ r }: { r: Rect }) {
  const { club } = usePage()
  const text = sizeWords(Math.floor(r.alongMm), Math.floor(r.acrossMm), club)
  const isUpright = r.acrossMm > r.alongMm
  const [cx, cy] = [r.x + r.alongMm / 2, r.y + r.acrossMm / 2]
  return (
    <g>
      <rect class="cut-offcut" x={r.x} y={r.y} width={r.alongMm} height={r.acrossMm} />
      {wide(text) < Math.max(r.alongMm, r.acrossMm) - 30 && (
        <text class="cut-name" x={round(cx)} y={round(cy + NAME / 3)} font-size={NAME} text-anchor="middle" transform={isUpright ? `rotate(-90 ${round(cx)} ${round(cy)})` : undefined}>{text}</text>
      )}
    </g>
  )
}

/** Both ends pointed: grain has no front. */
function Arrow({ x, y, length }: { x: number; y: number; length: number }) {
  const end = x + length
  return <path class="cut-grain" d={`M${x} ${y}H${end}M${x + 28} ${y - 18}L${x} ${y}l28 18M${end - 28} ${y - 18}l28 18-28 18`} />
}

const wide = (text: string): number => text.length * NAME * 0.56
const round = (n: number): number => Math.round(n * 10) / 10
