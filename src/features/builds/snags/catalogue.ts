/**
 * Common faults of plywood and epoxy work, how they look and how they are usually mended. Common practice, no source: the data sheets of what is
 * used come first. Minutes are of all hands, for a spot as large as a hand; amounts are starting values that a person changes.
 */
import { EPOXY_SKIN, GLASS_DUST } from '../job-lists/sailing-dinghy/parts.ts'

export const FAULT_KEYS = ['dry-spot', 'bubble', 'blush', 'print-through', 'run', 'sanded-through', 'fillet-void'] as const
export type FaultKey = (typeof FAULT_KEYS)[number]

export type Fault = {
  key: FaultKey
  name: string
  /** How one tells it from others. */
  looks: string
  steps: readonly string[]
  /** Once the resin can be sanded; its own task in the plan. */
  afterCure: readonly string[]
  caution: string
  minutes: { low: number; likely: number; high: number }
  /** Share of the minutes that comes after the cure. */
  afterShare: number
  hands: { from: number; to: number }
  /** Whether its first steps make dust; those after the cure always do. */
  dusty: boolean
  resin: boolean
  /** Mixed resin in g, where resin goes on. */
  mixed: { low: number; likely: number; high: number } | null
  alsoTakes: readonly string[]
  tools: readonly string[]
  /** Whether the film beneath must be hard enough to sand before it can begin. */
  needsCured: boolean
}

const BLUSH_WATER = 'Amine blush: wash it off with clean water and a pad before any sanding. Sanded first, it is driven in, and its dust irritates.'
const ISOCYANATES = 'Over a finish coat: two-pack paint with isocyanates only with the protection that its data sheet asks for.'
const BOTH = `${EPOXY_SKIN} ${GLASS_DUST}`

export const FAULTS: readonly Fault[] = [
  {
    key: 'dry-spot', name: 'Dry spot', looks: 'white or pale, the weave dull: the cloth did not get enough resin',
    steps: ['Mark its edge, and tap: where it sounds hollow, treat it as a bubble', 'Wash with water, dry, roughen the spot and a hand’s breadth round it', 'Warm it gently, work thin resin in with a brush until it turns clear', 'What stays white: cut out to sound glass, patch of the same cloth lapping 50 mm, wetted out'],
    afterCure: ['Wash, then sand it flush', 'Look along it against the light'],
    caution: BOTH, minutes: { low: 45, likely: 80, high: 150 }, afterShare: 0.35, hands: { from: 1, to: 1 }, dusty: false, resin: true, mixed: { low: 30, likely: 60, high: 120 },
    alsoTakes: ['an offcut of the same cloth', 'gloves, brush'], tools: ['Sander with extractor'], needsCured: true,
  },
  {
    key: 'bubble', name: 'Bubble', looks: 'a raised or hollow place under the cloth, dull when tapped',
    steps: ['Cut it out, or slit it open, to where the cloth holds', 'Feather the edge about 50 mm by hand, wet', 'Wet the wood, fill the hollow with thickened resin', 'Patch of the same cloth lapping 50 mm, pressed down under film'],
    afterCure: ['Film off, wash', 'Sand the laps flush, not into the sound cloth'],
    caution: BOTH, minutes: { low: 60, likely: 100, high: 180 }, afterShare: 0.4, hands: { from: 1, to: 1 }, dusty: false, resin: true, mixed: { low: 40, likely: 80, high: 160 },
    alsoTakes: ['an offcut of the same cloth', 'release film', 'gloves, brush'], tools: ['Sander with extractor'], needsCured: true,
  },
  {
    key: 'blush', name: 'Blush', looks: 'a greasy, waxy or cloudy film on cured resin; paper clogs on it',
    steps: ['Wash with clean water and a pad, change the water often', 'Dry with clean cloths, wipe one way', 'Try it: water must spread, not bead', 'Then only dull the gloss with a pad or fine paper'],
    afterCure: [], caution: `${BLUSH_WATER} ${GLASS_DUST}`, minutes: { low: 20, likely: 40, high: 80 }, afterShare: 0, hands: { from: 1, to: 2 }, dusty: true, resin: false, mixed: null,
    alsoTakes: ['clean water, pads, cloths'], tools: [], needsCured: true,
  },
  {
    key: 'print-through', name: 'Print-through', looks: 'the weave shows through fill coats or paint',
    steps: ['Give it time: warm, and days, so that it has shrunk as far as it will', 'Wash, flatten by hand with a board, wet, not into the glass', 'Roll on a thin fill coat, wait, and another while its window is open'],
    afterCure: ['Wash, sand flat', 'Guide coat: no pattern left', 'What came over it goes on again'],
    caution: `${BOTH} ${ISOCYANATES}`, minutes: { low: 60, likely: 120, high: 240 }, afterShare: 0.5, hands: { from: 1, to: 2 }, dusty: false, resin: true, mixed: { low: 80, likely: 150, high: 300 },
    alsoTakes: ['roller', 'abrasives'], tools: ['Sander with extractor'], needsCured: true,
  },
  {
    key: 'run', name: 'Run or sag', looks: 'a drop, a curtain or a thick edge in a coat',
    steps: ['Wait until it is hard all through', 'Scrape or file it down to the coat, tape either side', 'Wash, sand flush'],
    afterCure: [], caution: `${GLASS_DUST} ${ISOCYANATES}`, minutes: { low: 15, likely: 30, high: 60 }, afterShare: 0, hands: { from: 1, to: 1 }, dusty: true, resin: false, mixed: null,
    alsoTakes: ['abrasives'], tools: [], needsCured: true,
  },
  {
    key: 'sanded-through', name: 'Sanded through', looks: 'bare wood, or threads of cloth, where a coat should be',
    steps: ['Stop there; mark how far the glass is gone', 'Glass whole: wash, dry, two coats of resin over the bare spot', 'Glass cut: patch of the same cloth lapping 50 mm, wetted out, then a fill coat'],
    afterCure: ['Wash, scuff it, feather its edge by hand'],
    caution: BOTH, minutes: { low: 30, likely: 60, high: 110 }, afterShare: 0.3, hands: { from: 1, to: 1 }, dusty: false, resin: true, mixed: { low: 20, likely: 50, high: 100 },
    alsoTakes: ['an offcut of the same cloth', 'gloves, brush'], tools: [], needsCured: true,
  },
  {
    key: 'fillet-void', name: 'Void in a fillet', looks: 'a hole, crack or hollow sound along a fillet',
    steps: ['Open it with a knife or drill until its sides are sound', 'Tape over it: cut the tape out 50 mm past the void', 'Wash, dry, wet the sides', 'Press in thickened resin, shape it, clean the edges', 'Where tape was: new tape over it, lapping 50 mm'],
    afterCure: ['Wash, take the ridges off'],
    caution: BOTH, minutes: { low: 30, likely: 50, high: 90 }, afterShare: 0.25, hands: { from: 1, to: 1 }, dusty: false, resin: true, mixed: { low: 40, likely: 80, high: 150 },
    alsoTakes: ['thickener', 'an offcut of tape', 'gloves'], tools: [], needsCured: true,
  },
]

/** What a fault of no known kind begins with. */
export const OWN_FAULT: Omit<Fault, 'key' | 'name' | 'looks'> = {
  steps: [], afterCure: [], caution: '', minutes: { low: 30, likely: 60, high: 120 }, afterShare: 0.3, hands: { from: 1, to: 2 }, dusty: false, resin: false, mixed: null,
  alsoTakes: [], tools: [], needsCured: false,
}

export const faultOf = (key: string | null): Fault | null => FAULTS.find((f) => f.key === key) ?? null
export const MINORS = 'Nobody under age does this, unless the grown-ups of the club have decided what, and who stands by.'
