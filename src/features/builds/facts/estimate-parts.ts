/** The lines of an estimate by part of the boat. Pure. */
import { sumSpreads } from '../../../core/estimate/index.ts'
import type { Boat, Line, RuleKey, Spread } from '../../../core/estimate/types.ts'
import type { PricedLine } from './estimate-lines.ts'

/** What a line is about. surface: a face that gets glass, epoxy or paint, each a part of its own. */
export type PartKind = 'ply' | 'surface' | 'seams' | 'joints' | 'timber' | 'extras'
export type EstimatePart = {
  readonly kind: PartKind
  readonly name: string
  readonly lines: readonly PricedLine[]
  readonly kg: Spread
  /** Of the lines that have a price; null: none has. */
  readonly cents: Spread | null
}

const NAMES: Record<Exclude<PartKind, 'surface'>, string> = { ply: 'Plywood', seams: 'Seams', joints: 'Glued joints', timber: 'Timber', extras: 'Pieces and what wears out' }

const KINDS: Partial<Record<RuleKey, PartKind>> = { ply: 'ply', 'edge-seal': 'ply', fillet: 'seams', tape: 'seams', 'tape-resin': 'seams', 'glue-line': 'joints', timber: 'timber', piece: 'extras' }
/** By the rule, for a seam and a joint may share a key; what is left is about a face of hers. */
const kindOf = ({ part, rule }: Pick<Line, 'part' | 'rule'>, { surfaces }: Pick<Boat, 'surfaces'>): PartKind =>
  KINDS[rule] ?? (surfaces.some((s) => s.key === part) ? 'surface' : 'extras')

/** In the order of building: sheets, seams, each surface in the boat's order, joints, timber, pieces. Parts without a line are left out. */
export function partsOf(lines: readonly PricedLine[], boat: Boat): EstimatePart[] {
  const part = (kind: PartKind, name: string, mine: readonly PricedLine[]): EstimatePart => {
    const priced = mine.flatMap((l) => l.cents ?? [])
    return { kind, name, lines: mine, kg: sumSpreads(mine.map((l) => l.kg)), cents: priced.length === 0 ? null : sumSpreads(priced) }
  }
  const of = (kind: Exclude<PartKind, 'surface'>) => part(kind, NAMES[kind], lines.filter((l) => kindOf(l, boat) === kind))
  return [
    of('ply'), of('seams'),
    ...boat.surfaces.map((s) => part('surface', s.name, lines.filter((l) => kindOf(l, boat) === 'surface' && l.part === s.key))),
    of('joints'), of('timber'), of('extras'),
  ].filter((p) => p.lines.length > 0)
}
