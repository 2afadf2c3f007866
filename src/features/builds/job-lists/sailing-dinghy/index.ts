/**
 * A stitch-and-glue open sailing dinghy. Hours: planning table of a 4 m boat by a first-timer from plans, phase by phase, whose shares come
 * from two published build logs (a 3.5 m pram in 99.5 h, a 4.6 m double-ender in 165.5 h); lofting and cutting from memory.
 */
import type { JobList } from '../types.ts'
import { finishLinks, finishTasks } from './finish.ts'
import { foilAndSparLinks, foilAndSparTasks } from './foils-and-spars.ts'
import { hullLinks, hullTasks } from './hull.ts'
import { insideLinks, insideTasks } from './inside.ts'
import { outsideLinks, outsideTasks } from './outside.ts'

export const sailingDinghy: JobList = {
  key: 'sailing-dinghy',
  version: 1,
  name: 'Stitch-and-glue sailing dinghy',
  about: 'An open plywood dinghy with centreboard, foredeck and one mast: hull, glass on the bottom, interior, foils, spars, fairing, paint, launch.',
  calibratedFor: 'a 4.0 m by 1.5 m open sailing boat, built from plans by first-timers: about 200 hours, give or take 40 %',
  measurements: [
    { key: 'length', label: 'Length overall', unit: 'm', calibrated: 4, min: 2, max: 7, guess: null, help: 'Stem to transom, along the centre line' },
    { key: 'beam', label: 'Beam', unit: 'm', calibrated: 1.5, min: 0.6, max: 2.6, guess: null, help: 'Widest, outside the rails' },
    { key: 'areaBottom', label: 'Bottom, outside', unit: 'm2', calibrated: 4.2, min: 0.5, max: 15, guess: { times: 0.7, of: ['length', 'beam'] }, help: 'What will be sheathed' },
    { key: 'areaSides', label: 'Topsides, outside', unit: 'm2', calibrated: 3.4, min: 0.5, max: 15, guess: { times: 0.85, of: ['length'] }, help: 'Both sides and transom' },
    { key: 'areaOutside', label: 'Whole outside', unit: 'm2', calibrated: 7.6, min: 1, max: 30, guess: { times: 1.267, of: ['length', 'beam'] }, help: 'Bottom and topsides' },
    { key: 'areaInside', label: 'Inside', unit: 'm2', calibrated: 7.5, min: 1, max: 30, guess: { times: 1.25, of: ['length', 'beam'] }, help: 'All that is painted inside' },
    { key: 'areaTanks', label: 'Inside of tanks and undersides', unit: 'm2', calibrated: 4, min: 0.2, max: 20, guess: { times: 0.667, of: ['length', 'beam'] }, help: 'What closes up for good' },
    { key: 'areaDeck', label: 'Foredeck', unit: 'm2', calibrated: 0.9, min: 0, max: 8, guess: { times: 0.15, of: ['length', 'beam'] }, help: '0 for an open boat' },
    { key: 'seams', label: 'Seams to fillet and tape', unit: 'm', calibrated: 12, min: 3, max: 50, guess: { times: 3, of: ['length'] }, help: 'Centre seam and both chines' },
    { key: 'clothWeight', label: 'Cloth on the bottom', unit: 'g/m2', calibrated: 200, min: 40, max: 600, guess: { times: 0, of: [], plus: 200 }, help: 'As the plans say: a lighter or heavier cloth needs the designer’s yes' },
    { key: 'fillCoats', label: 'Fill coats on glass', unit: 'count', calibrated: 3, min: 1, max: 5, guess: null, byGrade: { workboat: 2, good: 3, show: 4 }, help: 'Until the weave is gone' },
    { key: 'sideCoats', label: 'Further coats on the topsides', unit: 'count', calibrated: 1, min: 1, max: 4, guess: null, byGrade: { workboat: 1, good: 1, show: 2 }, help: 'After the first' },
    { key: 'primerCoats', label: 'Primer coats outside', unit: 'count', calibrated: 2, min: 1, max: 4, guess: null, byGrade: { workboat: 1, good: 2, show: 3 }, help: '' },
    { key: 'paintCoats', label: 'Topcoats', unit: 'count', calibrated: 2, min: 1, max: 5, guess: null, byGrade: { workboat: 2, good: 2, show: 3 }, help: 'Outside and inside each' },
    { key: 'varnishCoats', label: 'Varnish coats', unit: 'count', calibrated: 3, min: 1, max: 8, guess: null, byGrade: { workboat: 2, good: 3, show: 6 }, help: 'Rails and spars' },
    { key: 'centreboard', label: 'Centreboard and rudder (1 yes, 0 no)', unit: 'count', calibrated: 1, min: 0, max: 1, guess: { times: 0, of: [], plus: 1 }, help: '0 for a rowing boat' },
  ],
  phases: [
    { key: 'panels', name: 'Panels' },
    { key: 'joints', name: 'Joints' },
    { key: 'precoat', name: 'Sealing flat' },
    { key: 'shell', name: 'Stitching' },
    { key: 'seams', name: 'Seams inside' },
    { key: 'outside', name: 'Turned over' },
    { key: 'glassing', name: 'Glass and coats outside' },
    { key: 'interior', name: 'Interior' },
    { key: 'rails', name: 'Rails' },
    { key: 'decks', name: 'Decks' },
    { key: 'foils', name: 'Foils' },
    { key: 'spars', name: 'Spars' },
    { key: 'fairing', name: 'Fairing' },
    { key: 'paint', name: 'Paint and varnish' },
    { key: 'fitting', name: 'Fitting-out and launch' },
  ],
  tasks: [...hullTasks, ...outsideTasks, ...insideTasks, ...foilAndSparTasks, ...finishTasks],
  links: [...hullLinks, ...outsideLinks, ...insideLinks, ...foilAndSparLinks, ...finishLinks],
  // Her place in the shed is taken from the stitching to the launch.
  holds: [{ tool: null, from: 'stitch-hull', to: 'launch' }],
}
