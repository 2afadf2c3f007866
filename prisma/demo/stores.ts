/** Stores of the example club: what it keeps, what came in, and what the told past used. Prices and suppliers are invented. */
import type { ItemKind, StockUnit } from '../../src/platform/generated/enums.ts'

export const SUPPLIERS = [
  { name: 'Estuary Resins', address: 'Quay 4, Reedwater', phone: '+31 20 555 0104', note: 'Orders before noon go out the same day.' },
  { name: 'Longshore Timber and Ply', address: 'Sawmill Lane 11, Reedwater', phone: '+31 20 555 0111', note: '' },
  { name: 'Harbour Paint Shop', address: 'Harbour Street 2, Reedwater', phone: '+31 20 555 0102', note: 'Collect on Saturdays until 16:00.' },
] as const

export interface DemoItem {
  readonly name: string
  readonly kind: ItemKind
  readonly unit: StockUnit
  readonly supplier: 0 | 1 | 2
  /** [name, thousandths of the unit, cents] */
  readonly packs: readonly (readonly [string, number, number])[]
  /** Names that the job list has for it. */
  readonly means?: readonly string[]
  readonly over?: {
    readonly density?: number
    readonly widthMm?: number
    readonly lengthMm?: number
    readonly thicknessMm?: number
    readonly arealMass?: number
    readonly shelf?: string
    readonly leadDays?: number
    readonly safetyMilli?: number
    readonly shelfLifeDays?: number
    readonly isShared?: boolean
    readonly signalWord?: string
    readonly pictograms?: string[]
    readonly hazards?: string[]
    readonly precautions?: string[]
  }
  /** Packs of the last size there from the first week on. */
  readonly begins: number
}

// Label elements: the usual ones of such products, from memory; the can's own label and data sheet count.
const GLOVES = ['Wear protective gloves, clothing and eye protection.', 'Avoid breathing vapours.', 'IF ON SKIN: wash with plenty of water.']
const RESIN_LABEL = { signalWord: 'Warning', pictograms: ['GHS07', 'GHS09'], hazards: ['Causes skin irritation.', 'May cause an allergic skin reaction.', 'Causes serious eye irritation.', 'Toxic to aquatic life with long lasting effects.'], precautions: GLOVES }
const HARDENER_LABEL = { signalWord: 'Danger', pictograms: ['GHS05', 'GHS07'], hazards: ['Causes severe skin burns and eye damage.', 'May cause an allergic skin reaction.', 'Harmful if swallowed.'], precautions: GLOVES }
const SOLVENT_LABEL = { signalWord: 'Warning', pictograms: ['GHS02', 'GHS07'], hazards: ['Flammable liquid and vapour.', 'May cause drowsiness or dizziness.'], precautions: ['Keep away from heat, sparks and open flames.', 'Use only outdoors or in a well-ventilated area.'] }

export const RESIN = 'Epoxy resin'
export const FAST = 'Epoxy hardener, fast'
export const SLOW = 'Epoxy hardener, slow'
export const CLOTH = 'Glass cloth 200 g/m²'

export const ITEMS: readonly DemoItem[] = [
  { name: RESIN, kind: 'resin', unit: 'g', supplier: 0, packs: [['1 kg can', 1_000_000, 2490], ['5 kg can', 5_000_000, 9800]], begins: 2, over: { density: 1.13, shelf: 'Cabinet A, top', leadDays: 10, safetyMilli: 1_000_000, shelfLifeDays: 730, ...RESIN_LABEL } },
  { name: FAST, kind: 'hardener', unit: 'g', supplier: 0, packs: [['440 g bottle', 440_000, 1450], ['2.2 kg can', 2_200_000, 5800]], begins: 2, over: { density: 1, shelf: 'Cabinet A, top', leadDays: 10, safetyMilli: 440_000, shelfLifeDays: 540, ...HARDENER_LABEL } },
  { name: SLOW, kind: 'hardener', unit: 'g', supplier: 0, packs: [['440 g bottle', 440_000, 1450]], begins: 1, over: { density: 1, shelf: 'Cabinet A, top', leadDays: 10, shelfLifeDays: 540, ...HARDENER_LABEL } },
  { name: CLOTH, kind: 'cloth', unit: 'm2', supplier: 0, packs: [['by the metre', 1000, 820], ['10 m roll', 10_000, 6200]], begins: 2, over: { widthMm: 1000, arealMass: 200, shelf: 'Rack by the door', leadDays: 10, safetyMilli: 2000 } },
  { name: 'Glass cloth 80 g/m²', kind: 'cloth', unit: 'm2', supplier: 0, packs: [['by the metre', 1000, 540], ['10 m roll', 10_000, 4300]], begins: 0, over: { widthMm: 1000, arealMass: 80, shelf: 'Rack by the door', leadDays: 10 } },
  { name: 'Glass tape 75 mm', kind: 'tape', unit: 'm', supplier: 0, means: ['Glass tape 75 mm, 200 g/m²'], packs: [['50 m roll', 50_000, 3100]], begins: 3, over: { widthMm: 75, arealMass: 200, shelf: 'Rack by the door', leadDays: 10, safetyMilli: 10_000 } },
  { name: 'Epoxy fairing compound', kind: 'filler', unit: 'g', supplier: 0, means: ['Fairing compound'], packs: [['1 kg kit', 1_000_000, 3350]], begins: 2, over: { shelf: 'Cabinet A, middle', leadDays: 10, shelfLifeDays: 540, ...RESIN_LABEL } },
  { name: 'Wood flour', kind: 'filler', unit: 'g', supplier: 0, packs: [['1 kg bag', 1_000_000, 890]], begins: 3, over: { density: 1.45, shelf: 'Bin 3', leadDays: 10, precautions: ['Dust: P3 mask when it is poured.'] } },
  { name: 'Fumed silica', kind: 'filler', unit: 'g', supplier: 0, means: ['Silica thickener'], packs: [['300 g tub', 300_000, 1190]], begins: 3, over: { density: 2.2, shelf: 'Bin 4', leadDays: 10, precautions: ['Floats in the air: P3 mask when it is poured.'] } },
  { name: 'Sanding discs 150 mm', kind: 'abrasive', unit: 'pcs', supplier: 2, means: ['Sanding discs'], packs: [['box of 50', 50_000, 2400]], begins: 6, over: { shelf: 'Drawer 2', leadDays: 5, safetyMilli: 20_000 } },
  { name: 'Copper wire ties', kind: 'fastener', unit: 'pcs', supplier: 1, means: ['Copper wire or cable ties'], packs: [['bag of 500', 500_000, 1850]], begins: 4, over: { shelf: 'Drawer 1', leadDays: 7 } },
  { name: 'One-pack primer, white', kind: 'paint', unit: 'ml', supplier: 2, means: ['Primer'], packs: [['750 ml tin', 750_000, 2350]], begins: 4, over: { density: 1.35, shelf: 'Paint locker', leadDays: 5, shelfLifeDays: 1095, ...SOLVENT_LABEL } },
  { name: 'Enamel, reed green', kind: 'paint', unit: 'ml', supplier: 2, means: ['Topcoat'], packs: [['750 ml tin', 750_000, 3490]], begins: 4, over: { density: 1.1, shelf: 'Paint locker', leadDays: 5, shelfLifeDays: 1095, ...SOLVENT_LABEL } },
  { name: 'Spar varnish', kind: 'paint', unit: 'ml', supplier: 2, means: ['Varnish'], packs: [['1 l tin', 1_000_000, 3990]], begins: 1, over: { density: 0.95, shelf: 'Paint locker', leadDays: 5, shelfLifeDays: 1095, ...SOLVENT_LABEL } },
  { name: 'Okoume ply 4 mm', kind: 'ply', unit: 'pcs', supplier: 1, means: ['Okoume plywood 4 mm'], packs: [['sheet', 1000, 5900]], begins: 2, over: { widthMm: 1220, lengthMm: 2440, thicknessMm: 4, shelf: 'Ply rack', leadDays: 14 } },
  { name: 'Okoume ply 5 mm', kind: 'ply', unit: 'pcs', supplier: 1, means: ['Okoume plywood 5 mm'], packs: [['sheet', 1000, 6600]], begins: 0, over: { widthMm: 1220, lengthMm: 2440, thicknessMm: 5, shelf: 'Ply rack', leadDays: 14 } },
  { name: 'Okoume ply 6 mm', kind: 'ply', unit: 'pcs', supplier: 1, means: ['Okoume plywood 6 mm'], packs: [['sheet', 1000, 7400]], begins: 8, over: { widthMm: 1220, lengthMm: 2440, thicknessMm: 6, shelf: 'Ply rack', leadDays: 14 } },
  { name: 'Okoume ply 9 mm', kind: 'ply', unit: 'pcs', supplier: 1, means: ['Okoume plywood 9 mm'], packs: [['sheet', 1000, 10200]], begins: 1, over: { widthMm: 1220, lengthMm: 2440, thicknessMm: 9, shelf: 'Ply rack', leadDays: 14 } },
  { name: 'Spruce 20 × 45 mm', kind: 'timber', unit: 'm', supplier: 1, means: ['Timber 20 × 45 mm'], packs: [['length of 4 m', 4000, 980]], begins: 14, over: { widthMm: 45, thicknessMm: 20, shelf: 'Timber rack', leadDays: 7 } },
  { name: 'Spruce 30 × 60 mm', kind: 'timber', unit: 'm', supplier: 1, means: ['Timber 30 × 60 mm'], packs: [['length of 5 m', 5000, 2450]], begins: 3, over: { widthMm: 60, thicknessMm: 30, shelf: 'Timber rack', leadDays: 7 } },
  { name: 'Nitrile gloves', kind: 'protective', unit: 'pcs', supplier: 2, packs: [['box of 100', 100_000, 1190]], begins: 4, over: { shelf: 'By the mixing bench', leadDays: 5, safetyMilli: 40_000, isShared: true } },
  { name: 'Foam rollers 100 mm', kind: 'other', unit: 'pcs', supplier: 2, packs: [['pack of 10', 10_000, 950]], begins: 6, over: { shelf: 'By the mixing bench', leadDays: 5, safetyMilli: 10_000, isShared: true } },
]
