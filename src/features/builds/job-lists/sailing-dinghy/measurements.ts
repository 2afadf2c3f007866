/** What is measured or chosen of a dinghy, in the order in which one guess is made from those before it. */
import type { MeasurementDef, Quantity } from '../types.ts'

const always = (plus: number): Quantity => ({ times: 0, of: [], plus })
const ASK = 'as the plans say: another one needs the designer’s yes'
const ply = (key: string, label: string): MeasurementDef => (
  { key, label, group: 'layers', unit: 'mm', calibrated: 6, min: 3, max: 15, guess: always(6), isStructural: true, help: `Thickness, ${ASK}` })
const yesNo = (yes: string, no: string) => [{ value: 1, label: yes }, { value: 0, label: no }]

export const dinghyMeasurements: MeasurementDef[] = [
  { key: 'length', label: 'Length overall', group: 'size', unit: 'm', calibrated: 4, min: 2, max: 7, guess: null, help: 'Stem to transom, along the centre line' },
  { key: 'beam', label: 'Beam', group: 'size', unit: 'm', calibrated: 1.5, min: 0.6, max: 2.6, guess: null, help: 'Widest, outside the rails' },
  { key: 'seams', label: 'Seams to fillet and tape', group: 'size', unit: 'm', calibrated: 12, min: 3, max: 50, guess: { times: 3, of: ['length'] }, fromSeams: ['keel', 'chine-port', 'chine-starboard'], help: 'Centre seam and both chines' },
  { key: 'frameSpan', label: 'Bottom between frames', group: 'size', unit: 'mm', calibrated: 600, min: 100, max: 2000, guess: always(600), isStructural: true, help: 'Longest stretch of bottom without a frame, bulkhead or stringer under it' },

  { key: 'areaBottom', label: 'Bottom, outside', group: 'areas', unit: 'm2', calibrated: 4.2, min: 0.5, max: 15, guess: { times: 0.7, of: ['length', 'beam'] }, fromPanels: ['bottom'], help: 'What is sheathed or coated' },
  { key: 'areaSides', label: 'Topsides, outside', group: 'areas', unit: 'm2', calibrated: 3.4, min: 0.5, max: 15, guess: { times: 0.85, of: ['length'] }, fromPanels: ['side', 'transom'], help: 'Both sides and transom' },
  { key: 'areaOutside', label: 'Whole outside', group: 'areas', unit: 'm2', calibrated: 7.6, min: 1, max: 30, guess: { times: 1.8, of: ['areaBottom'] }, sumOf: ['areaBottom', 'areaSides'], help: 'Bottom and topsides' },
  { key: 'areaInside', label: 'Inside', group: 'areas', unit: 'm2', calibrated: 7.5, min: 1, max: 30, guess: { times: 1.25, of: ['length', 'beam'] }, help: 'All that is painted or varnished inside' },
  { key: 'areaTanks', label: 'Inside of tanks and undersides', group: 'areas', unit: 'm2', calibrated: 4, min: 0.2, max: 20, guess: { times: 0.667, of: ['length', 'beam'] }, help: 'What closes up for good' },
  { key: 'areaDeck', label: 'Foredeck', group: 'areas', unit: 'm2', calibrated: 0.9, min: 0, max: 8, guess: { times: 0.15, of: ['length', 'beam'] }, fromPanels: ['deck'], help: '0 for an open boat' },

  ply('plyBottom', 'Ply of the bottom'),
  ply('plySides', 'Ply of the sides'),
  ply('plyRest', 'Ply of the rest'),
  { key: 'clothWeight', label: 'Cloth on the bottom', group: 'layers', unit: 'g/m2', calibrated: 200, min: 0, max: 600, leastIfAny: 40, guess: always(200), isStructural: true, help: `0 for none; ${ASK}` },
  { key: 'clothLayers', label: 'Layers of cloth on the bottom', group: 'layers', unit: 'count', calibrated: 1, min: 1, max: 4, guess: always(1), isStructural: true, help: '' },
  { key: 'clothInside', label: 'Cloth on the bottom’s inside', group: 'layers', unit: 'g/m2', calibrated: 0, min: 0, max: 600, leastIfAny: 40, guess: always(0), isStructural: true, help: '0 for none' },
  { key: 'clothRest', label: 'Cloth on deck and foils', group: 'layers', unit: 'g/m2', calibrated: 200, min: 40, max: 600, guess: always(200), isStructural: true, help: '' },
  { key: 'clothLap', label: 'Laps of cloth', group: 'layers', unit: 'mm', calibrated: 50, min: 0, max: 300, guess: always(50), isStructural: true, help: 'Over keel and chines, round the edges of deck and foils' },
  { key: 'tapeLayers', label: 'Layers of tape on the hull’s seams', group: 'layers', unit: 'count', calibrated: 1, min: 1, max: 4, guess: always(1), isStructural: true, help: 'Inside; outside too where no cloth covers them' },
  { key: 'tapeWidth', label: 'Width of the tape', group: 'layers', unit: 'mm', calibrated: 75, min: 25, max: 300, guess: always(75), isStructural: true, help: '' },
  { key: 'tapeMass', label: 'Glass of the tape', group: 'layers', unit: 'g/m2', calibrated: 200, min: 80, max: 600, guess: always(200), isStructural: true, help: '' },

  {
    key: 'fillCoats', label: 'Fill coats on the bottom’s glass', group: 'coats', unit: 'count', calibrated: 3, min: 1, max: 5, guess: null, byGrade: { workboat: 2, good: 3, show: 4 },
    unless: { when: { measurement: 'clothWeight', atLeast: 1, below: 100 }, value: 2 }, help: 'Until the weave is gone',
  },
  { key: 'bottomCoats', label: 'Epoxy coats on a bottom without glass', group: 'coats', unit: 'count', calibrated: 3, min: 0, max: 6, guess: always(3), help: '0 for paint on bare ply' },
  { key: 'sideCoats', label: 'Further coats on the topsides', group: 'coats', unit: 'count', calibrated: 1, min: 1, max: 4, guess: null, byGrade: { workboat: 1, good: 1, show: 2 }, help: 'After the first' },
  { key: 'foilCoats', label: 'Fill coats on board and rudder', group: 'coats', unit: 'count', calibrated: 3, min: 1, max: 5, guess: null, byGrade: { workboat: 2, good: 3, show: 4 }, help: '' },
  { key: 'primerCoats', label: 'Primer coats outside', group: 'coats', unit: 'count', calibrated: 2, min: 1, max: 4, guess: null, byGrade: { workboat: 1, good: 2, show: 3 }, help: '' },
  { key: 'paintCoats', label: 'Topcoats', group: 'coats', unit: 'count', calibrated: 2, min: 1, max: 5, guess: null, byGrade: { workboat: 2, good: 2, show: 3 }, help: 'Outside and inside each' },
  { key: 'varnishCoats', label: 'Varnish coats', group: 'coats', unit: 'count', calibrated: 3, min: 1, max: 8, guess: null, byGrade: { workboat: 2, good: 3, show: 6 }, help: 'Rails, spars, and the inside where it is varnished' },

  { key: 'centreboard', label: 'Centreboard and rudder', group: 'choices', unit: 'choice', choices: yesNo('With centreboard and rudder', 'Without: a rowing boat'), calibrated: 1, min: 0, max: 1, guess: always(1), help: '' },
  {
    key: 'plySpecies', label: 'Plywood', group: 'choices', unit: 'choice', calibrated: 0, min: 0, max: 3, guess: always(0), isStructural: true, help: '',
    choices: [{ value: 0, label: 'Okoume' }, { value: 1, label: 'Sapele' }, { value: 2, label: 'Birch' }, { value: 3, label: 'Fir' }],
  },
  { key: 'kit', label: 'Panels', group: 'choices', unit: 'choice', choices: [{ value: 0, label: 'Cut from sheets here' }, { value: 1, label: 'A kit, cut by machine' }], calibrated: 0, min: 0, max: 1, guess: always(0), help: '' },
  { key: 'insideFinish', label: 'Inside finish', group: 'choices', unit: 'choice', choices: [{ value: 0, label: 'Paint' }, { value: 1, label: 'Varnish' }], calibrated: 0, min: 0, max: 1, guess: always(0), help: '' },
]
