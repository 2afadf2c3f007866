/** What the estimate is told about a boat, and what it answers. Units stand in the names; every figure says whether somebody measured it. */

/** One figure from its lowest to its highest plausible value. */
export interface Spread {
  readonly low: number
  readonly likely: number
  readonly high: number
}

/** How practised the hands are: it moves glass content, waste and what is learnt. */
export type Skill = 'first' | 'some' | 'practised'

/** measured: by a person. panels: worked out from measured panels or seams. guess: from length and beam, or the list's default. */
export type Origin = 'measured' | 'panels' | 'guess'
export interface Figure {
  readonly value: number
  readonly origin: Origin
}

/** One shape cut from sheet: `count` equal pieces. Area, length and width are of one piece; length × width is the rectangle that bounds it, length along the boat. */
export interface Panel {
  readonly key: string
  readonly name: string
  readonly count: number
  readonly areaM2: Figure
  readonly lengthMm: Figure
  readonly widthMm: Figure
  readonly ply: Ply
  /** Face grain along the panel's length, across it, or as it falls. */
  readonly grain: 'along' | 'across' | 'any'
  /** How pieces longer than the sheet are joined. */
  readonly joint: 'scarf' | 'butt'
}
export interface Ply {
  readonly species: PlySpecies
  readonly thicknessMm: number
}
export type PlySpecies = 'okoume' | 'sapele' | 'birch' | 'fir'

/** Where two panels meet. */
export interface Seam {
  readonly key: string
  readonly name: string
  readonly lengthM: Figure
  /** Inside angle between the panels in degrees, at equal steps from fore to aft; one figure: the same all along. */
  readonly anglesDeg: readonly number[]
  readonly angleOrigin: Origin
  /** Radius of the fillet; 0: none. */
  readonly radiusMm: Figure
  readonly tapes: readonly Tape[]
}
export interface Tape {
  readonly side: 'inside' | 'outside'
  readonly widthMm: number
  /** g/m² of dry glass. */
  readonly arealMass: number
  readonly layers: number
  /** Added to the length of each layer for its ends and joins. */
  readonly overlapMm: number
}

/** A face of the boat that gets glass, epoxy or paint. Coats are counts; what is not there is 0 or null. */
export interface Surface {
  readonly key: string
  readonly name: string
  readonly areaM2: Figure
  /** Glass laid on it. trimShare: cut off on top (0.06 = 6 %). */
  readonly cloth: { readonly arealMass: number; readonly layers: number; readonly lap?: Lap | null; readonly trimShare: Spread } | null
  /** Fill coats over the glass. */
  readonly fillCoats: number
  /** Epoxy coats on bare ply: the first soaks in, later ones lie on top. */
  readonly sealCoats: number
  /** Coats of epoxy on what is sealed already (a last coat after the joinery). */
  readonly topUpCoats: number
  readonly paints: readonly Paint[]
  /** Share of the area that is filled with fairing compound and sanded: 1 for the outside of a hull, 0 for none. */
  readonly fairedShare: number
  readonly sanded: boolean
}
/** Cloth that lies over an edge, a seam or the next length: it stays and is wetted like the rest. */
export interface Lap {
  readonly widthMm: Figure
  readonly alongM: Figure
}
export interface Paint {
  readonly material: string
  readonly coats: number
  /** Solids by volume, 0 to 1. */
  readonly solids: number
  /** Dry film of one coat, µm. */
  readonly filmUm: number
  /** Density of the dry film, g/cm³. */
  readonly dryDensity: number
}

/** A face glued to another. */
export interface Joint {
  readonly key: string
  readonly name: string
  readonly areaM2: Figure
}

/** Wood bought by the metre. */
export interface Timber {
  readonly key: string
  readonly name: string
  readonly material: string
  readonly lengthM: Figure
  readonly widthMm: number
  readonly thicknessMm: number
  /** g/cm³ at 12 % moisture. */
  readonly density: number
}

/** What goes by the piece, or by a length, area or count with a plain figure for each. */
export interface Extra {
  readonly key: string
  readonly name: string
  readonly material: string
  readonly unit: MaterialUnit
  readonly per: Spread
  readonly of: Figure
  readonly ofUnit: 'm' | 'm²' | 'boat' | 'piece'
  /** kg that stays in the boat, for each unit of the material. */
  readonly kgEach: number
  readonly source: string
  /** Wears out or is thrown away: weighs nothing in the boat and no waste is added. */
  readonly isConsumed: boolean
}

export interface Boat {
  readonly panels: readonly Panel[]
  /** Panels that come cut: no sheet is bought for them, but their edges drink epoxy like any. Absent: none. */
  readonly readyCut?: readonly Panel[]
  readonly seams: readonly Seam[]
  readonly surfaces: readonly Surface[]
  readonly joints: readonly Joint[]
  readonly timbers: readonly Timber[]
  readonly extras: readonly Extra[]
}

export type MaterialUnit = 'g' | 'ml' | 'm' | 'm2' | 'pcs'

/** The rules. Each is a pure function of its own in this folder, with formula, units and source. */
export type RuleKey =
  | 'cloth'
  | 'wet-out'
  | 'fill-coat'
  | 'seal-first'
  | 'seal-next'
  | 'fillet'
  | 'tape'
  | 'tape-resin'
  | 'glue-line'
  | 'edge-seal'
  | 'fairing'
  | 'paint'
  | 'ply'
  | 'timber'
  | 'abrasive'
  | 'piece'

/** Figures of the rules that a club may set; defaults with their sources in `coefficients.ts`. */
export interface Coefficients {
  /** Glass mass / laminate mass. low: most resin. */
  readonly glassFraction: Readonly<Record<Skill, Spread>>
  /** Of epoxy mixed, on top of what stays in the boat. */
  readonly epoxyWaste: Readonly<Record<Skill, Spread>>
  readonly plyWaste: Spread
  readonly timberWaste: Spread
  readonly tapeWaste: Spread
  /** g/m² */
  readonly sealFirst: Spread
  readonly sealNext: Spread
  readonly fillCoat: Spread
  readonly glueLine: Spread
  readonly fairing: Spread
  /** Share of a fillet's volume for gaps behind it. */
  readonly gapFill: Spread
  /** Loss of paint on roller and tray: needed = theory ÷ (1 - loss). */
  readonly paintLoss: Spread
  /** Discs of 150 mm a square metre sanded. */
  readonly discs: Spread
  /** g/cm³ */
  readonly epoxyDensity: number
  readonly glassDensity: number
  readonly woodFlourDensity: number
  readonly silicaDensity: number
  /** Grams of filler to 100 g of mixed epoxy. */
  readonly woodFlourPer100: number
  readonly silicaPer100: number
}

/**
 * One line of the estimate. Amounts are for the whole line, in `unit`; net is what stays in the boat (or is worn out on her), waste is on top.
 * `factor` is what the club learnt (1: nothing), already in the amounts; of goods cut to size it is in the waste.
 */
export interface Line {
  /** `<part>.<rule>`, e.g. 'bottom.wet-out', 'keel.fillet', 'keel.fillet.wood-flour', 'bottom.paint.Primer'. */
  readonly key: string
  readonly rule: RuleKey
  /** The surface, seam, panel, joint, timber or extra it is about. */
  readonly part: string
  readonly name: string
  /** As the stores know it: 'Mixed epoxy', 'Wood flour', 'Glass cloth 200 g/m²', 'Marine ply 6 mm, okoume'. */
  readonly material: string
  readonly unit: MaterialUnit
  readonly net: Spread
  readonly waste: Spread
  /** What stays in the boat, kg, cured and dry. */
  readonly kg: Spread
  readonly inputs: readonly Input[]
  readonly formula: string
  readonly source: string
  readonly factor: number
}
export interface Input {
  readonly label: string
  readonly value: number
  readonly unit: string
  readonly origin: Origin | null
}

export interface EstimateSettings {
  readonly skill: Skill
  readonly coefficients: Coefficients
  /** Learnt factors by rule, for this skill; a rule that is missing has 1. */
  readonly factors: ReadonlyMap<RuleKey, number>
}
