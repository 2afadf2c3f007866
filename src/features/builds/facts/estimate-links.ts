/** Where the figures of a line are measured: addresses under the build's own. Pure. */
import { LAP_ALONG, LAP_WIDE } from '../../../core/estimate/index.ts'
import type { Boat, Input, Line, RuleKey } from '../../../core/estimate/types.ts'
import type { JobList, Quantity } from '../job-lists/types.ts'
import type { MeasuredThing } from './estimate-guesses.ts'

/** A seam and a joint may share a key. */
const SEAM_RULES: ReadonlySet<RuleKey> = new Set(['fillet', 'tape', 'tape-resin'])

type Parts = Pick<Boat, 'panels'>

/** isBasis: it is worked out by a rule of thumb from what is measured there. */
export type Place = { readonly path: string; readonly isBasis: boolean }
const at = (path: string): Place => ({ path, isBasis: false })

/** @returns null where there is nothing to measure. */
export function inputPlace(line: Pick<Line, 'part' | 'rule'>, input: Input, boat: Parts, list: JobList): Place | null {
  if (input.origin === null) return null
  if (line.rule === 'ply') {
    const panel = boat.panels.find((p) => input.label === p.name || input.label.startsWith(`${p.name}, `))
    return at(panel ? panelPath(panel.key) : 'panels')
  }
  if (line.rule === 'edge-seal') return at('panels')
  if (SEAM_RULES.has(line.rule)) return at(seamPath(line.part))
  const quantity = lapBehind(line, input, list) ?? quantityBehind(line, list)
  if (quantity === undefined) return null
  // What is measured of it, rather than how thick somebody chose the ply.
  const key = quantity.of.find((k) => list.measurements.some((d) => d.key === k && (d.group === 'size' || d.group === 'areas'))) ?? quantity.of[0]
  return key === undefined ? null : { path: scalarPath(key), isBasis: !(quantity.times === 1 && quantity.plus === undefined && quantity.of.length === 1) }
}

function lapBehind({ part }: Pick<Line, 'part'>, { label }: Input, list: JobList): Quantity | undefined {
  const lap = list.boat.surfaces.find((d) => d.key === part)?.cloth?.lap
  if (lap === undefined) return undefined
  return label === LAP_WIDE ? { times: 1, of: [lap.width] } : label === LAP_ALONG ? lap.along : undefined
}

function quantityBehind({ part, rule }: Pick<Line, 'part' | 'rule'>, { boat: { surfaces, joints, timbers, extras } }: JobList): Quantity | undefined {
  const isIt = (d: { readonly key: string }) => d.key === part
  switch (rule) {
    case 'glue-line': return joints.find(isIt)?.areaM2
    case 'timber': return timbers.find(isIt)?.lengthM
    case 'piece': return extras.find(isIt)?.of
    default: return surfaces.find(isIt)?.areaM2
  }
}

export function thingPath({ kind, key }: Pick<MeasuredThing, 'kind' | 'key'>): string {
  if (kind === 'scalar') return scalarPath(key)
  return kind === 'panel' ? panelPath(key) : seamPath(key)
}

const scalarPath = (key: string): string => `measurements#m-${key}`
const panelPath = (key: string): string => `panels/${encodeURIComponent(key)}`
const seamPath = (key: string): string => `seams/${encodeURIComponent(key)}`
