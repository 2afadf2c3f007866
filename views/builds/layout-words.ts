/** What a buying layout says, in sentences and in the club's units. */
import type { ClothLayout, CutPart, LayoutModel, PanelJoint, PlyLayout } from '../../src/features/builds/layout/types.ts'
import { format, list, plural, sentence, type PageClub } from '../shared/index.ts'

type Club = PageClub | null

const lower = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1)
const sizeWords = (a: number, b: number, club: Club): string => {
  const [one, other] = [format.small(a, club), format.small(b, club)]
  const unit = one.slice(one.lastIndexOf(' '))
  return `${one.slice(0, one.length - unit.length)} × ${other}`
}
export { sizeWords }

/** "6 sheets of okoume plywood 6 mm, 3.7 by area, one scarf in each bottom panel and each side panel". */
function plyWords({ sheets, material, byArea, joints, fewest }: PlyLayout, club: Club): string {
  const tight = sheets.length === fewest ? '' : ` (no layout takes fewer than ${fewest})`
  return `${plural(sheets.length, 'sheet', 'sheets')} of ${lower(material)}${tight}; ${format.number(byArea, club, 1)} by area${joints.length === 0 ? '' : `; ${list(joints.map(jointWords))}`}`
}

const NUMBERS = ['no', 'one', 'two', 'three', 'four', 'five', 'six']
export const jointWords = ({ name, count, joint, joints }: PanelJoint): string =>
  `${NUMBERS[joints] ?? joints} ${joint === 'scarf' ? 'scarf' : 'butt strap'}${joints === 1 ? '' : 's'} in ${count === 1 ? 'the' : 'each'} ${lower(name)}`

export function layoutSentence({ plies, isKit }: LayoutModel, name: string, club: Club): string {
  if (isKit) return `${name}’s panels come cut, as a kit: no sheets to buy.`
  if (plies.length === 0) return 'No panel of her is cut from sheets yet.'
  return plies.map((p) => sentence(plyWords(p, club))).join(' ')
}

/** "Bottom panel 1 of 2, piece 2 of 2". */
export function partWords({ name, copy, piece, isStrap }: CutPart): string {
  const of = (at: CutPart['copy'], what: string) => (at === null ? '' : `${what}${at.at} of ${at.of}`)
  return `${isStrap ? 'Butt strap of ' : ''}${isStrap ? lower(name) : name}${copy === null ? '' : ` ${of(copy, '')}`}${piece === null ? '' : `, ${of(piece, isStrap ? 'strap ' : 'piece ')}`}`
}
/** As it stands in a drawing: "Bottom panel 1/2 · 2/2". */
export function partShort({ name, copy, piece, isStrap }: CutPart): string {
  return `${isStrap ? 'Strap, ' : ''}${isStrap ? lower(name) : name}${copy === null ? '' : ` ${copy.at}/${copy.of}`}${piece === null ? '' : ` · ${piece.at}/${piece.of}`}`
}

/** What of a part's size is for its joints. */
export function allowanceWords(part: CutPart, joints: readonly PanelJoint[], club: Club): string {
  const joint = joints.find((j) => j.panelKey === part.panelKey)
  if (part.isStrap) return 'lies over a joint'
  if (!joint || part.piece === null) return 'none'
  return joint.joint === 'scarf' ? `${format.small(joint.allowanceMm, club)} of scarf at each joint` : `butted; strap of ${format.small(joint.allowanceMm, club)}`
}

export const GRAIN_WORDS: Record<CutPart['grain'], string> = { along: 'along', across: 'across', any: 'either way' }

/** "2; from its corner 5 mm along, 682 mm across". */
export const placeWords = ({ sheet, x, y }: CutPart, club: Club): string => `${sheet}; from its corner ${format.small(x, club)} along, ${format.small(y, club)} across`

/** "3 lengths of 1.6 m, across the boat". */
export function cutWords(cut: NonNullable<ClothLayout['cut']>, club: Club): string {
  return `${plural(cut.strips, 'length', 'lengths')} of ${format.length(cut.lengthMm / 1000, club)}, ${cut.direction} the boat`
}

export function clothSentence(cloths: readonly ClothLayout[], club: Club): string {
  const sums = new Map<string, number>()
  for (const c of cloths) sums.set(c.material, (sums.get(c.material) ?? 0) + c.totalMm)
  return sentence(`off the roll: ${list([...sums].map(([material, mm]) => `${format.length(mm / 1000, club)} of ${lower(material)}`))}`)
}
