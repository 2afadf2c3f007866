/**
 * A stitch-and-glue open sailing dinghy. Hours: planning table of a 4 m boat by a first-timer from plans, phase by phase, whose shares come
 * from two published build logs (a 3.5 m pram in 99.5 h, a 4.6 m double-ender in 165.5 h); lofting and cutting from memory.
 */
import type { JobList } from '../types.ts'
import { dinghyBoat } from './boat.ts'
import { finishLinks, finishTasks } from './finish.ts'
import { foilAndSparLinks, foilAndSparTasks } from './foils-and-spars.ts'
import { hullLinks, hullTasks } from './hull.ts'
import { insideLinks, insideTasks } from './inside.ts'
import { dinghyMeasurements } from './measurements.ts'
import { outsideLinks, outsideTasks } from './outside.ts'

export const sailingDinghy: JobList = {
  key: 'sailing-dinghy',
  version: 2,
  name: 'Stitch-and-glue sailing dinghy',
  about: 'An open plywood dinghy with centreboard, foredeck and one mast: hull, glass on the bottom, interior, foils, spars, fairing, paint, launch.',
  calibratedFor: 'a 4.0 m by 1.5 m open sailing boat, built from plans by first-timers: about 200 hours, give or take 40 %',
  measurements: dinghyMeasurements,
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
  boat: dinghyBoat,
}
