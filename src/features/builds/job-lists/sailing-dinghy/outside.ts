import type { LinkDef, TaskDef } from '../types.ts'
import { board, coated, glassed } from './boat.ts'
import { EPOXY_SKIN, GLASS_DUST, LIFT, WOOD_DUST, coatLink, glueOf, nextCoat, part, tapesOf, whole } from './parts.ts'

const sheathBoth = ['port', 'starboard'] as const
const sheath = (side: 'port' | 'starboard'): TaskDef => ({
  key: `sheath-bottom-${side}`, phase: 'glassing', name: `Sheath the bottom, ${side}`, kind: 'shared', work: [110, 160, 240], hands: [2, 3], setUp: 15, clearUp: 15, place: 'boat', product: 'epoxy',
  scale: { by: ['areaBottom', 'clothLayers'], share: 0.8 }, onlyIf: glassed, caution: EPOXY_SKIN,
  materials: part(0.5, 'bottom.cloth', 'bottom.wet-out'),
  steps: [{ text: 'Cloth worked from its middle to its ends, wrinkles laid out dry' }, { text: 'Weave shows, no shiny pools, no white dry spots', weight: 2 }, { text: 'Laps about 25 mm, selvedge trimmed before it cures' }],
})

/** Turned over: edges, glass, fill coats, skeg. */
export const outsideTasks: TaskDef[] = [
  { key: 'turn-over-1', phase: 'outside', name: 'Turn her over', kind: 'together', work: [20, 30, 45], hands: [4, 4], setUp: 10, clearUp: 5, place: 'boat', caution: LIFT, steps: [{ text: 'Dry run with the words spoken' }, { text: 'Cradle padded and ready' }] },
  { key: 'chamfer-edges', phase: 'outside', name: 'Chamfer and round the outside edges', kind: 'shared', work: [110, 160, 240], hands: [1, 2], smallest: 45, setUp: 5, clearUp: 10, place: 'boat', dusty: true, scale: { by: ['seams'], share: 0.8 }, caution: WOOD_DUST,
    steps: [{ text: '45° down to but not into the last veneer, then rounded' }] },
  { key: 'fill-holes', phase: 'outside', name: 'Fill stitch and screw holes', kind: 'shared', work: [30, 45, 70], hands: [1, 2], setUp: 10, clearUp: 5, place: 'boat', product: 'glue', caution: EPOXY_SKIN,
    materials: whole('holes.piece'), steps: [{ text: 'Neat or lightly filled epoxy' }] },
  { key: 'sand-bare-outside', phase: 'outside', name: 'Sand the bare outside, 80 to 120', kind: 'shared', work: [120, 180, 270], hands: [1, 2], smallest: 45, setUp: 10, clearUp: 15, place: 'boat', dusty: true, scale: { by: ['areaOutside'], share: 0.8 }, caution: GLASS_DUST, tools: [{ name: 'Sander with extractor' }],
    materials: part(0.4, 'outside.abrasive') },
  { key: 'lay-cloth', phase: 'glassing', name: 'Lay out and cut the cloth dry', kind: 'shared', work: [40, 60, 90], hands: [2, 2], smallest: 30, setUp: 5, clearUp: 5, place: 'boat', scale: { by: ['areaBottom', 'clothLayers'], share: 0.6 }, onlyIf: glassed, steps: [{ text: 'Floor and hull free of dust' }, { text: 'Pieces marked and rolled' }] },
  ...sheathBoth.map(sheath),
  { key: 'fill-bottom', phase: 'glassing', name: 'Bottom fill coat {n} of {of}', kind: 'shared', work: [35, 50, 75], hands: [1, 2], setUp: 10, clearUp: 10, place: 'boat', product: 'epoxy', scale: { by: ['areaBottom'], share: 0.8 }, onlyIf: glassed, caution: EPOXY_SKIN,
    repeat: { count: 'fillCoats', link: nextCoat(90, ['areaBottom']) }, materials: whole('bottom.fill-coat'), steps: [{ text: 'Last coat clean to the touch but sticky' }, { text: 'After the last the weave is gone' }] },
  { key: 'tape-outside', phase: 'glassing', name: 'Tape the seams outside', kind: 'shared', work: [140, 200, 300], hands: [2, 2], setUp: 10, clearUp: 15, place: 'boat', product: 'epoxy', scale: { by: ['seams', 'tapeLayers'], share: 0.8 }, withLines: true, caution: EPOXY_SKIN,
    materials: ['keel', 'chine-port', 'chine-starboard'].flatMap((seam) => tapesOf(seam, 'outside')), steps: [{ text: 'Edges rounded, no splinters' }, { text: 'Hard selvedge trimmed before it cures' }, { text: 'No dry or shiny spots' }] },
  { key: 'seal-bottom-1', phase: 'glassing', name: 'Seal the bottom, first coat', kind: 'shared', work: [50, 75, 115], hands: [1, 2], setUp: 10, clearUp: 10, place: 'boat', product: 'epoxy', scale: { by: ['areaBottom'], share: 0.8 }, onlyIf: coated, caution: EPOXY_SKIN,
    materials: whole('bottom.seal-first'), steps: [{ text: 'Worked in with a roller, end grain twice' }] },
  { key: 'more-bottom', phase: 'glassing', name: 'Bottom coat {n} after the first', kind: 'shared', work: [40, 60, 90], hands: [1, 2], setUp: 10, clearUp: 10, place: 'boat', product: 'epoxy', scale: { by: ['areaBottom'], share: 0.8 }, onlyIf: coated, caution: EPOXY_SKIN,
    repeat: { count: 'bottomCoats', minus: 1, link: nextCoat(90, ['areaBottom']) }, materials: whole('bottom.seal-next'), steps: [{ text: 'Last coat clean to the touch but sticky' }] },
  { key: 'seal-sides-1', phase: 'glassing', name: 'Seal the topsides, first coat', kind: 'shared', work: [45, 65, 100], hands: [1, 2], setUp: 10, clearUp: 10, place: 'boat', product: 'epoxy', scale: { by: ['areaSides'], share: 0.8 }, caution: EPOXY_SKIN, materials: whole('sides.seal-first') },
  { key: 'more-sides', phase: 'glassing', name: 'Topsides coat {n} after the first', kind: 'shared', work: [40, 60, 90], hands: [1, 2], setUp: 10, clearUp: 10, place: 'boat', product: 'epoxy', scale: { by: ['areaSides'], share: 0.8 }, caution: EPOXY_SKIN,
    repeat: { count: 'sideCoats', link: nextCoat(75, ['areaSides']) }, materials: whole('sides.seal-next') },
  { key: 'glue-skeg', phase: 'glassing', name: 'Fit and glue the skeg and bottom runners', kind: 'together', work: [70, 100, 150], hands: [2, 2], setUp: 10, clearUp: 10, place: 'boat', product: 'glue', caution: EPOXY_SKIN, tools: [{ name: 'Clamps', count: 6, heldUntil: 'handleable' }], materials: glueOf('skeg'),
    steps: [{ text: 'Centre line strung from stem to transom' }, { text: 'Gloss scuffed where it sits' }] },
  { key: 'scuff-outside', phase: 'glassing', name: 'Wash, sand tape borders, scuff the gloss', kind: 'shared', work: [100, 150, 220], hands: [1, 2], smallest: 45, setUp: 10, clearUp: 15, place: 'boat', dusty: true, scale: { by: ['areaOutside'], share: 0.8 }, caution: GLASS_DUST, tools: [{ name: 'Sander with extractor' }],
    materials: part(0.1, 'outside.abrasive'), steps: [{ text: 'Washed with water and dried' }, { text: 'Only the tape border sanded where cloth is thin, the rest scuffed with a pad' }] },
  { key: 'open-slot', phase: 'outside', name: 'Open the centre-case slot with the router', kind: 'shared', work: [30, 45, 75], hands: [1, 2], setUp: 10, clearUp: 10, place: 'boat', dusty: true, tools: [{ name: 'Router' }], competences: ['Router'], onlyIf: board,
    caution: 'Routers and glass: eye and ear protection, two hands, extractor on; only people checked on it.', steps: [{ text: 'Slot edges sealed the same day' }] },
  { key: 'turn-back-1', phase: 'interior', name: 'Turn her upright', kind: 'together', work: [20, 30, 45], hands: [4, 4], setUp: 10, clearUp: 5, place: 'boat', caution: LIFT },
]

export const outsideLinks: LinkDef[] = [
  { kind: 'finish', from: 'clean-inside-seams', to: 'turn-over-1' },
  { kind: 'stage', stage: 'sandable', from: 'fill-inside-bottom', to: 'turn-over-1' },
  { kind: 'finish', from: 'turn-over-1', to: 'chamfer-edges' },
  { kind: 'finish', from: 'chamfer-edges', to: 'fill-holes' },
  { kind: 'stage', stage: 'sandable', from: 'fill-holes', to: 'sand-bare-outside' },
  { kind: 'finish', from: 'sand-bare-outside', to: 'lay-cloth' },
  { kind: 'finish', from: 'lay-cloth', to: 'sheath-bottom-port' },
  coatLink('sheath-bottom-port', 'sheath-bottom-starboard', 45, ['length']),
  coatLink('sheath-bottom-starboard', 'fill-bottom', 90, ['areaBottom']),
  { kind: 'finish', from: 'sand-bare-outside', to: 'tape-outside' },
  { kind: 'stage', stage: 'sandable', from: 'tape-outside', to: 'lay-cloth' },
  coatLink('tape-outside', 'seal-bottom-1', 60, ['seams']),
  coatLink('seal-bottom-1', 'more-bottom', 90, ['areaBottom']),
  { kind: 'stage', stage: 'sandable', from: 'more-bottom', to: 'glue-skeg' },
  { kind: 'stage', stage: 'sandable', from: 'more-bottom', to: 'open-slot' },
  { kind: 'finish', from: 'sand-bare-outside', to: 'seal-sides-1' },
  coatLink('seal-sides-1', 'more-sides', 75, ['areaSides']),
  { kind: 'stage', stage: 'sandable', from: 'fill-bottom', to: 'glue-skeg' },
  { kind: 'stage', stage: 'handleable', from: 'glue-skeg', to: 'scuff-outside' },
  { kind: 'stage', stage: 'sandable', from: 'more-sides', to: 'scuff-outside' },
  { kind: 'finish', from: 'scuff-outside', to: 'turn-back-1' },
  // The router may come late: the slot waits for the glass but nothing of the sheathing waits for the slot.
  { kind: 'stage', stage: 'sandable', from: 'fill-bottom', to: 'open-slot' },
  { kind: 'finish', from: 'open-slot', to: 'fair-outside' },
]
