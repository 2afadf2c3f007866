/** The rules in words, for a page that explains them: what each is for, its formula with units, and where its figures are from. */
import type { MaterialUnit, RuleKey } from './types.ts'

export interface RuleAbout {
  readonly name: string
  readonly formula: string
  /** null: as the material goes. */
  readonly unit: MaterialUnit | null
  readonly source: string
}

const HANDBOOK = 'wood-epoxy boat handbook, ch. 7 (read)'
const LATER_COATS = `8.2 m²/kg = 122 g/m² (${HANDBOOK}); ends from memory`
const FRACTION = 'definition of the glass fraction; ψ 0.33 for a beginner to 0.50 skilled (plan seller’s forum, read), by skill from memory'

export const ruleAbout: Readonly<Record<RuleKey, RuleAbout>> = {
  'cloth': { name: 'Glass cloth', unit: 'm2', formula: '(area + lap × its length) × layers; trimmings on top', source: 'geometry' },
  'wet-out': { name: 'Wet-out of cloth', unit: 'g', formula: 'glass × (1 − ψ) ÷ ψ; ψ is glass mass ÷ laminate mass', source: FRACTION },
  'fill-coat': {
    name: 'Fill coats over glass', unit: 'g', formula: 'area × coats × g/m²; at the low end a coat fewer, for the weave may be gone',
    source: LATER_COATS,
  },
  'seal-first': {
    name: 'First coat on bare ply', unit: 'g', formula: 'area × g/m²', source: `7.1 m²/kg = 140 g/m² (${HANDBOOK}); ends from memory`,
  },
  'seal-next': { name: 'Later coats', unit: 'g', formula: 'area × coats × g/m²', source: LATER_COATS },
  'fillet': {
    name: 'Fillets', unit: 'g', formula: 'r² × (cot(θ/2) − (π − θ)/2) along the seam × (1 + gaps); mix by true densities',
    source: 'derived geometry; gaps behind it and filler in the mix from memory',
  },
  'tape': { name: 'Glass tape', unit: 'm', formula: 'layers × (length + overlap)', source: 'geometry' },
  'tape-resin': { name: 'Wet-out of tape', unit: 'g', formula: 'glass × (1 − ψ) ÷ ψ', source: FRACTION },
  'glue-line': {
    name: 'Glue lines', unit: 'g', formula: 'area × g/m²; silica by its share',
    source: `2.7 m²/kg = 370 g/m², clamped by hand (${HANDBOOK}); ends and silica from memory`,
  },
  'edge-seal': {
    name: 'Edges of sheets', unit: 'g', formula: 'perimeter × thickness × first coat × what end grain drinks',
    source: 'derived; end grain two first coats (1.5 to 3), from memory',
  },
  'fairing': { name: 'Fairing', unit: 'g', formula: 'area × share faired × g/m²; about half is sanded off again', source: 'from memory' },
  'paint': {
    name: 'Paint', unit: 'ml', formula: 'area × coats ÷ (VS% × 10 ÷ µm dry) ÷ (1 − loss)',
    source: 'coating guides (read); loss with brush and roller 10–15 % (coating maker’s note, read)',
  },
  'ply': {
    name: 'Sheets', unit: 'pcs', formula: 'area of the parts ÷ 2.9768 m² (2440 × 1220 mm); offcuts on top',
    source: 'geometry; offcuts from memory. The buying layout counts the sheets',
  },
  'timber': { name: 'Timber', unit: 'm', formula: 'length; offcuts on top', source: 'geometry; offcuts from memory' },
  'abrasive': {
    name: 'Sanding discs', unit: 'pcs', formula: 'area × discs/m²',
    source: '60–120 discs for a 4 m dinghy (from memory); a kayak’s skin took 18 (log, read)',
  },
  'piece': { name: 'By the piece', unit: null, formula: 'number × figure for each', source: 'as the list says' },
}
