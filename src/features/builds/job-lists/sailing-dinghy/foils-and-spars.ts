import type { LinkDef, TaskDef } from '../types.ts'
import { board } from './boat.ts'
import { EPOXY_SKIN, GLASS_DUST, MACHINE, OILY_RAGS, WOOD_DUST, coatLink, glueOf, nextCoat, part, whole } from './parts.ts'

/** Work beside the hull, on a bench of its own. */
export const foilAndSparTasks: TaskDef[] = [
  { key: 'glue-foil-blanks', phase: 'foils', name: 'Laminate board and rudder blanks', kind: 'shared', work: [70, 100, 150], hands: [1, 2], setUp: 10, clearUp: 10, place: 'bench', product: 'glue', caution: EPOXY_SKIN, onlyIf: board, tools: [{ name: 'Clamps', count: 10, heldUntil: 'handleable' }], materials: [...whole('foils.timber'), ...glueOf('foils')], steps: [{ text: 'Strips turned end for end against warping' }] },
  { key: 'shape-foils', phase: 'foils', name: 'Plane the blanks to section', kind: 'shared', work: [180, 270, 400], hands: [1, 1], smallest: 45, setUp: 5, clearUp: 10, place: 'bench', dusty: true, onlyIf: board, caution: WOOD_DUST, grade: { workboat: 0.8, good: 1, show: 1.3 }, steps: [{ text: 'Templates at three stations', weight: 2 }] },
  { key: 'glass-foils-1', phase: 'foils', name: 'Glass the foils, first sides', kind: 'shared', work: [50, 75, 110], hands: [1, 2], setUp: 10, clearUp: 10, place: 'bench', product: 'epoxy', onlyIf: board, caution: EPOXY_SKIN, materials: part(0.5, 'foils.cloth', 'foils.wet-out') },
  { key: 'glass-foils-2', phase: 'foils', name: 'Glass the foils, second sides', kind: 'shared', work: [50, 75, 110], hands: [1, 2], setUp: 10, clearUp: 10, place: 'bench', product: 'epoxy', onlyIf: board, caution: EPOXY_SKIN, materials: part(0.5, 'foils.cloth', 'foils.wet-out') },
  { key: 'fill-foils', phase: 'foils', name: 'Foils fill coat {n} of {of}', kind: 'shared', work: [20, 30, 45], hands: [1, 1], setUp: 10, clearUp: 5, place: 'bench', product: 'epoxy', onlyIf: board, caution: EPOXY_SKIN, repeat: { count: 'foilCoats', link: nextCoat(30, ['length']) }, materials: whole('foils.fill-coat') },
  { key: 'sand-foils', phase: 'foils', name: 'Wash and sand the foils fair', kind: 'shared', work: [80, 120, 190], hands: [1, 1], smallest: 45, setUp: 5, clearUp: 10, place: 'bench', dusty: true, onlyIf: board, caution: GLASS_DUST, grade: { workboat: 0.7, good: 1, show: 1.6 }, tools: [{ name: 'Sander with extractor' }] },
  { key: 'rudder-stock', phase: 'foils', name: 'Make rudder stock, tiller and pins', kind: 'shared', work: [120, 180, 280], hands: [1, 1], smallest: 45, setUp: 10, clearUp: 10, place: 'bench', dusty: true, onlyIf: board, tools: [{ name: 'Bandsaw' }], competences: ['Bandsaw'], caution: MACHINE },
  { key: 'glue-mast', phase: 'spars', name: 'Glue up the mast and yard blanks', kind: 'shared', work: [80, 115, 170], hands: [2, 2], setUp: 15, clearUp: 10, place: 'bench', product: 'glue', caution: EPOXY_SKIN, scale: { by: ['length'], share: 0.6 }, tools: [{ name: 'Clamps', count: 16, heldUntil: 'handleable' }, { name: 'Long bench', heldUntil: 'handleable' }], materials: [...whole('spars.timber'), ...glueOf('spars')], steps: [{ text: 'Straight along a string, wedged' }] },
  { key: 'shape-spars', phase: 'spars', name: 'Taper and round the spars', kind: 'shared', work: [200, 300, 440], hands: [1, 2], smallest: 60, setUp: 10, clearUp: 15, place: 'bench', dusty: true, scale: { by: ['length'], share: 0.7 }, caution: WOOD_DUST, steps: [{ text: 'Square, eight sides, sixteen, round' }] },
  { key: 'seal-spars', phase: 'spars', name: 'Seal the spars', kind: 'shared', work: [30, 45, 70], hands: [1, 1], setUp: 10, clearUp: 5, place: 'bench', product: 'epoxy', caution: EPOXY_SKIN, materials: whole('spars.seal-first') },
  { key: 'sand-spars', phase: 'spars', name: 'Wash and sand the spars', kind: 'shared', work: [50, 80, 120], hands: [1, 1], smallest: 30, setUp: 5, clearUp: 10, place: 'bench', dusty: true, caution: GLASS_DUST },
  { key: 'varnish-spars', phase: 'spars', name: 'Varnish the spars, coat {n} of {of}', kind: 'shared', work: [40, 60, 90], hands: [1, 1], setUp: 10, clearUp: 10, place: 'tent', product: 'varnish', repeat: { count: 'varnishCoats', link: nextCoat(25, ['length']) }, caution: OILY_RAGS, materials: whole('spars.paint.Varnish'), steps: [{ text: 'Wiped free of dust' }] },
  { key: 'spar-fittings', phase: 'spars', name: 'Fit sheaves, cleats and bands to the spars', kind: 'shared', work: [60, 90, 140], hands: [1, 1], smallest: 30, place: 'anywhere' },
]

export const foilAndSparLinks: LinkDef[] = [
  { kind: 'finish', from: 'check-plans', to: 'glue-foil-blanks' },
  { kind: 'stage', stage: 'handleable', from: 'glue-foil-blanks', to: 'shape-foils' },
  { kind: 'finish', from: 'shape-foils', to: 'glass-foils-1' },
  { kind: 'stage', stage: 'sandable', from: 'glass-foils-1', to: 'glass-foils-2' },
  coatLink('glass-foils-2', 'fill-foils', 30, ['length']),
  { kind: 'stage', stage: 'sandable', from: 'fill-foils', to: 'sand-foils' },
  { kind: 'finish', from: 'shape-foils', to: 'rudder-stock' },
  { kind: 'finish', from: 'check-plans', to: 'glue-mast' },
  { kind: 'stage', stage: 'handleable', from: 'glue-mast', to: 'shape-spars' },
  { kind: 'finish', from: 'shape-spars', to: 'seal-spars' },
  { kind: 'stage', stage: 'sandable', from: 'seal-spars', to: 'sand-spars' },
  { kind: 'finish', from: 'sand-spars', to: 'varnish-spars' },
  { kind: 'stage', stage: 'handleable', from: 'varnish-spars', to: 'spar-fittings' },
]
