import type { LinkDef, TaskDef } from '../types.ts'
import { board, painted, varnished } from './boat.ts'
import { EPOXY_SKIN, GLASS_DUST, LIFT, OILY_RAGS, PAINT, nextCoat, part, whole } from './parts.ts'

const outside = { by: ['areaOutside'], share: 0.8 }
const inside = { by: ['areaInside'], share: 0.8 }

/** Fairing, paint, fitting-out, launch. */
export const finishTasks: TaskDef[] = [
  { key: 'wash-outside', phase: 'fairing', name: 'Wash the outside, scrape runs', kind: 'shared', work: [40, 60, 90], hands: [1, 2], smallest: 30, setUp: 5, clearUp: 5, craft: 'sanding', place: 'boat', scale: outside, steps: [{ text: 'Water and a pad, dried before any sanding', weight: 2 }] },
  { key: 'fair-outside', phase: 'fairing', name: 'Fill hollows with fairing compound', kind: 'shared', work: [55, 80, 130], hands: [1, 2], setUp: 10, clearUp: 10, place: 'boat', product: 'fairing', scale: outside, grade: { workboat: 0.5, good: 1, show: 2 }, caution: EPOXY_SKIN, materials: whole('outside.fairing') },
  { key: 'long-board', phase: 'fairing', name: 'Long-board the outside fair', kind: 'shared', work: [300, 440, 680], hands: [1, 2], smallest: 45, setUp: 10, clearUp: 15, place: 'boat', dusty: true, scale: outside, grade: { workboat: 0.4, good: 1, show: 2.2 }, caution: GLASS_DUST, tools: [{ name: 'Sander with extractor' }], note: 'Preparing for paint takes one or two days, or two or three weeks, by the finish wanted.',
    materials: part(0.4, 'outside.abrasive'), steps: [{ text: 'Guide coat, 80 then 120' }, { text: 'Raking light, no hollows', weight: 2 }] },
  { key: 'prime-outside', phase: 'paint', name: 'Prime the outside, coat {n} of {of}', kind: 'shared', work: [50, 75, 110], hands: [1, 2], setUp: 15, clearUp: 15, place: 'tent', product: 'primer', scale: outside, repeat: { count: 'primerCoats', link: nextCoat(60, ['areaOutside']) }, caution: PAINT, materials: whole('outside.paint.Primer') },
  { key: 'flat-primer', phase: 'paint', name: 'Flat the primer', kind: 'shared', work: [90, 140, 220], hands: [1, 2], smallest: 45, setUp: 10, clearUp: 10, place: 'boat', dusty: true, scale: outside, grade: { workboat: 0.5, good: 1, show: 1.8 }, caution: GLASS_DUST, materials: part(0.1, 'outside.abrasive') },
  { key: 'paint-outside', phase: 'paint', name: 'Topcoat outside, coat {n} of {of}', kind: 'shared', work: [60, 85, 125], hands: [2, 2], setUp: 15, clearUp: 15, place: 'tent', product: 'topcoat', scale: outside, repeat: { count: 'paintCoats', link: nextCoat(60, ['areaOutside']) }, caution: PAINT, materials: whole('outside.paint.Topcoat'), steps: [{ text: 'One rolls, one tips' }, { text: 'Floor damped, no sanding anywhere near' }] },
  { key: 'turn-back-2', phase: 'paint', name: 'Turn her upright for good', kind: 'together', work: [20, 30, 45], hands: [4, 4], setUp: 10, clearUp: 5, place: 'boat', caution: LIFT },
  { key: 'prime-inside', phase: 'paint', name: 'Prime the inside', kind: 'shared', work: [60, 90, 130], hands: [1, 2], setUp: 15, clearUp: 15, place: 'tent', product: 'primer', scale: inside, onlyIf: painted, caution: PAINT, materials: whole('inside.paint.Primer') },
  { key: 'paint-inside', phase: 'paint', name: 'Topcoat inside, coat {n} of {of}', kind: 'shared', work: [65, 95, 140], hands: [1, 2], setUp: 15, clearUp: 15, place: 'tent', product: 'topcoat', scale: inside, onlyIf: painted, repeat: { count: 'paintCoats', link: nextCoat(50, ['areaInside']) }, caution: PAINT, materials: whole('inside.paint.Topcoat') },
  { key: 'varnish-inside', phase: 'paint', name: 'Varnish the inside, coat {n} of {of}', kind: 'shared', work: [70, 105, 155], hands: [1, 2], setUp: 10, clearUp: 15, place: 'tent', product: 'varnish', scale: inside, onlyIf: varnished, repeat: { count: 'varnishCoats', link: nextCoat(60, ['areaInside']) }, caution: OILY_RAGS, materials: whole('inside.paint.Varnish'), steps: [{ text: 'Wiped free of dust, flatted between coats' }] },
  { key: 'varnish-rails', phase: 'paint', name: 'Varnish the rails, coat {n} of {of}', kind: 'shared', work: [45, 70, 100], hands: [1, 1], setUp: 10, clearUp: 10, place: 'tent', product: 'varnish', repeat: { count: 'varnishCoats', link: nextCoat(25, ['length']) }, scale: { by: ['length'], share: 0.8 }, caution: OILY_RAGS, materials: whole('rails.paint.Varnish') },
  { key: 'hang-rudder', phase: 'fitting', name: 'Hang the rudder', kind: 'shared', work: [50, 75, 110], hands: [1, 2], smallest: 30, place: 'boat', onlyIf: board, steps: [{ text: 'Bolts bedded, backing pads' }] },
  { key: 'deck-fittings', phase: 'fitting', name: 'Fit cleats, fairleads, rowlocks, hatches', kind: 'shared', work: [90, 135, 210], hands: [1, 2], smallest: 30, place: 'boat', steps: [{ text: 'Every hole sealed with epoxy before its fitting', weight: 2 }] },
  { key: 'rig-trial', phase: 'fitting', name: 'Step the mast, rig her ashore', kind: 'together', work: [60, 90, 140], hands: [2, 2], setUp: 5, clearUp: 10, craft: 'handling', place: 'boat' },
  { key: 'buoyancy-test', phase: 'fitting', name: 'Buoyancy and leak test', kind: 'together', work: [40, 60, 90], hands: [2, 2], craft: 'handling', place: 'boat', caution: 'On the water: life jackets, two people, a boat or a line at hand; follow the water’s rules.' },
  { key: 'papers', phase: 'fitting', name: 'Papers: receipts, photos, mark and number', kind: 'shared', work: [40, 60, 100], hands: [1, 1], smallest: 30, place: 'anywhere', note: 'Write down the day she is put into service; for rules on selling or giving her away ask your authority.' },
  { key: 'launch', phase: 'fitting', name: 'Launch', kind: 'together', work: [60, 90, 120], hands: [4, 4], place: 'boat', launch: true, caution: LIFT, steps: [{ text: 'Bungs in' }, { text: 'Helpers thanked, shed tidy' }] },
]

export const finishLinks: LinkDef[] = [
  { kind: 'finish', from: 'turn-over-2', to: 'wash-outside' },
  { kind: 'finish', from: 'wash-outside', to: 'fair-outside' },
  { kind: 'stage', stage: 'sandable', from: 'fair-outside', to: 'long-board' },
  { kind: 'finish', from: 'long-board', to: 'prime-outside' },
  { kind: 'stage', stage: 'sandable', from: 'prime-outside', to: 'flat-primer' },
  { kind: 'finish', from: 'flat-primer', to: 'paint-outside' },
  { kind: 'stage', stage: 'handleable', from: 'paint-outside', to: 'turn-back-2' },
  { kind: 'finish', from: 'turn-back-2', to: 'prime-inside' },
  { kind: 'stage', stage: 'sandable', from: 'prime-inside', to: 'paint-inside' },
  { kind: 'stage', stage: 'handleable', from: 'paint-inside', to: 'varnish-rails' },
  { kind: 'finish', from: 'turn-back-2', to: 'varnish-inside' },
  { kind: 'stage', stage: 'handleable', from: 'varnish-inside', to: 'varnish-rails' },
  { kind: 'stage', stage: 'handleable', from: 'varnish-rails', to: 'deck-fittings' },
  { kind: 'finish', from: 'sand-foils', to: 'hang-rudder' },
  { kind: 'finish', from: 'rudder-stock', to: 'hang-rudder' },
  { kind: 'stage', stage: 'handleable', from: 'varnish-rails', to: 'hang-rudder' },
  { kind: 'finish', from: 'spar-fittings', to: 'rig-trial' },
  { kind: 'finish', from: 'deck-fittings', to: 'rig-trial' },
  { kind: 'finish', from: 'hang-rudder', to: 'buoyancy-test' },
  { kind: 'finish', from: 'deck-fittings', to: 'buoyancy-test' },
  { kind: 'finish', from: 'buoyancy-test', to: 'launch' },
  { kind: 'finish', from: 'rig-trial', to: 'launch' },
  { kind: 'finish', from: 'papers', to: 'launch' },
]
