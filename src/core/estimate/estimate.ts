import { toLine, unlike } from './line.ts'
import { extraSketch, panelSketches, timberSketch } from './part-lines.ts'
import { jointSketches, seamSketches } from './seam-lines.ts'
import { surfaceSketches } from './surface-lines.ts'
import type { Boat, EstimateSettings, Line } from './types.ts'

/**
 * All that a boat takes, line by line, in the order in which she is built. Amounts are for the whole boat; keys are `<part>.<rule>` with an
 * ending where a rule gives two materials, and never twice. A part that is there with nothing to it (area 0) gives a line of 0.
 * @throws RangeError for a negative area, length, count or radius, an angle outside (0, 180], a glass fraction outside (0, 1): pages refuse
 * these first.
 */
export function estimate(boat: Boat, settings: EstimateSettings): Line[] {
  const sketches = [
    ...panelSketches(boat.panels, boat.readyCut ?? [], settings),
    ...boat.joints.flatMap((joint) => jointSketches(joint, settings)),
    ...boat.seams.flatMap((seam) => seamSketches(seam, settings)),
    ...boat.surfaces.flatMap((surface) => surfaceSketches(surface, settings)),
    ...boat.timbers.map((timber) => timberSketch(timber, settings)),
    ...boat.extras.map((extra) => extraSketch(extra, settings)),
  ]
  return unlike(sketches.map((sketch) => toLine(sketch, settings)))
}
