/** Where the figures of a line are measured: an address under the build's own; null where there is nothing to measure. Pure. */
import type { Boat, Input, Line, RuleKey } from '../../../core/estimate/types.ts'
import type { JobList, Quantity } from '../job-lists/types.ts'
import type { MeasuredThing } from './estimate-guesses.ts'

/** A seam and a joint may share a key. */
const SEAM_RULES: ReadonlySet<RuleKey> = new Set(['fillet', 'tape', 'tape-resin'])

type Parts = Pick<Boat, 'panels'>

export function inputPath(line: Pick<Line, 'part' | 'rule'>, input: Input, boat: Parts, list: JobList): string | null {
  if (input.origin === null) return null
  if (line.rule === 'ply') {
    const panel = boat.panels.find((p) => input.label === p.name || input.label.startsWith(`${p.name}, `))
    return panel ? panelPath(panel.key) : 'panels'
  }
  if (line.rule === 'edge-seal') return 'panels'
  if (SEAM_RULES.has(line.rule)) return seamPath(line.part)
  if (input.origin === 'panels') return 'panels'
  const { surfaces, joints, timbers, extras } = list.boat
  const isIt = (d: { readonly key: string }) => d.key === line.part
  const quantity: Quantity | undefined =
    line.rule === 'glue-line' ? joints.find(isIt)?.areaM2
      : line.rule === 'timber' ? timbers.find(isIt)?.lengthM
        : line.rule === 'piece' ? extras.find(isIt)?.of
          : surfaces.find(isIt)?.areaM2
  return quantity?.of[0] === undefined ? null : scalarPath(quantity.of[0])
}

export function thingPath({ kind, key }: Pick<MeasuredThing, 'kind' | 'key'>): string {
  if (kind === 'scalar') return scalarPath(key)
  return kind === 'panel' ? panelPath(key) : seamPath(key)
}

const scalarPath = (key: string): string => `measurements#m-${key}`
const panelPath = (key: string): string => `panels/${encodeURIComponent(key)}`
const seamPath = (key: string): string => `seams/${encodeURIComponent(key)}`
