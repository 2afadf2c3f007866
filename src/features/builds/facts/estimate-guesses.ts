/** Which figures of a boat are guesses, and which of them it would help most to measure. Pure. */
import type { Boat, Figure, Origin } from '../../../core/estimate/types.ts'

/** kind scalar: a plain measurement of the list, key its own. Panels and seams by their keys. */
export type MeasuredThing = { readonly kind: 'scalar' | 'panel' | 'seam' | 'seam-angle'; readonly key: string; readonly label: string; readonly origin: Origin }

type Def = { readonly key: string; readonly label: string; readonly unit: string; readonly group?: string }
/** What a tape measure can tell; how thick, how many coats and which finish are decisions, not guesses. */
const MEASURED_UNITS = new Set(['m', 'm2'])
const isMeasurable = (def: Def): boolean => (def.group === undefined ? MEASURED_UNITS.has(def.unit) : def.group === 'size' || def.group === 'areas')

export function thingsOf(figures: readonly { readonly def: Def; readonly figure: Figure }[], boat: Pick<Boat, 'panels' | 'seams'>): MeasuredThing[] {
  return [
    ...figures.filter(({ def }) => isMeasurable(def)).map(({ def, figure }): MeasuredThing => ({ kind: 'scalar', key: def.key, label: def.label, origin: figure.origin })),
    ...boat.panels.map((p): MeasuredThing => ({ kind: 'panel', key: p.key, label: p.name, origin: p.areaM2.origin })),
    ...boat.seams.flatMap((s): MeasuredThing[] => [
      { kind: 'seam', key: s.key, label: `${s.name}, length`, origin: s.lengthM.origin },
      { kind: 'seam-angle', key: s.key, label: `${s.name}, angle`, origin: s.angleOrigin },
    ]),
  ]
}

/** Two planes never meet at more than this. */
const MOST_DEGREES = 179

/** The boat with one panel or seam larger or smaller by a factor: its area (and the rectangle about it), its length, or its angles. */
export function nudged(boat: Boat, thing: Pick<MeasuredThing, 'kind' | 'key'>, factor: number): Boat {
  const times = (f: Figure): Figure => ({ ...f, value: f.value * factor })
  switch (thing.kind) {
    case 'scalar': return boat
    case 'panel': return { ...boat, panels: boat.panels.map((p) => (p.key === thing.key ? { ...p, areaM2: times(p.areaM2), widthMm: times(p.widthMm) } : p)) }
    case 'seam': return { ...boat, seams: boat.seams.map((s) => (s.key === thing.key ? { ...s, lengthM: times(s.lengthM) } : s)) }
    case 'seam-angle': return { ...boat, seams: boat.seams.map((s) => (s.key === thing.key ? { ...s, anglesDeg: s.anglesDeg.map((a) => Math.min(MOST_DEGREES, a * factor)) } : s)) }
  }
}

/** Likely figures of one estimate. */
export type Weighed = { readonly epoxyG: number; readonly cents: number }
export type Swing = MeasuredThing & {
  /** Share of the likely total by which a fifth more or less moves it, the larger of both. */
  readonly epoxy: number
  readonly cost: number
}

const NUDGE = 0.2

/** Guesses by what a fifth more or less of each does to mixed epoxy or cost, the largest first; those that move neither are left out. */
export function swingsOf(things: readonly MeasuredThing[], base: Weighed, reckon: (thing: MeasuredThing, factor: number) => Weighed | null): Swing[] {
  const share = (of: keyof Weighed, others: readonly Weighed[]) => (base[of] > 0 ? Math.max(0, ...others.map((o) => Math.abs(o[of] - base[of]) / base[of])) : 0)
  return things
    .filter((t) => t.origin === 'guess')
    .map((t) => {
      const others = [1 - NUDGE, 1 + NUDGE].flatMap((factor) => reckon(t, factor) ?? [])
      return { ...t, epoxy: share('epoxyG', others), cost: share('cents', others) }
    })
    .filter((s) => s.epoxy > 0.0005 || s.cost > 0.0005)
    .sort((a, b) => Math.max(b.epoxy, b.cost) - Math.max(a.epoxy, a.cost) || a.label.localeCompare(b.label))
}

