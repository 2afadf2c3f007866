import type { RuleKey } from '../../../core/estimate/types.ts'

/** The estimate's rules in the order in which a boat meets them, each with its name in words. */
export const RULE_NAMES = {
  ply: 'Plywood by the sheet',
  timber: 'Timber by the metre',
  'glue-line': 'Glue lines',
  fillet: 'Fillets',
  tape: 'Glass tape',
  'tape-resin': 'Wetting out tape',
  cloth: 'Glass cloth',
  'wet-out': 'Wetting out cloth',
  'fill-coat': 'Fill coats over glass',
  'seal-first': 'First seal coat on bare ply',
  'seal-next': 'Later seal coats',
  'edge-seal': 'Sealing edges',
  fairing: 'Fairing',
  paint: 'Primer, paint and varnish',
  abrasive: 'Sanding discs',
  piece: 'Things that go by the piece',
} as const satisfies Record<RuleKey, string>

export type RuleName = keyof typeof RULE_NAMES
export const RULES = Object.keys(RULE_NAMES) as readonly RuleKey[]
export const RULE_KEYS: ReadonlySet<string> = new Set(RULES)
export const SKILLS = ['first', 'some', 'practised'] as const
