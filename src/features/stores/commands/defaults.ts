import type { Prisma } from '../../../platform/generated/client.ts'

/** What the club begins with; every figure is a stand-in until its data sheet is at hand. */
export type DefaultCureProduct = Omit<Prisma.CureProductCreateManyInput, 'id' | 'version' | 'isActive'> & { readonly name: string }

const h = (hours: number): number => Math.round(hours * 60)
const MEMORY = 'from memory, replace by your data sheet'
const FILM = 'film follows temperature by 18 to 55 kJ/mol because sources conflict (2 times or 1.3 times per 10 °C)'
const ISOCYANATE =
  'Hardener with isocyanates: can cause asthma, also from a single heavy exposure. Brush or roll only, never spray here; fresh air and the protection that its data sheet asks for; ' +
  'nobody with asthma or under age works with it. Follow the data sheet and local rules.'
const EPOXY =
  'Uncured epoxy sensitises skin and airways: nitrile gloves, sleeves, fresh air; never clean skin with solvent. Mixed pots heat up: spread them thin, set leftovers outside on something that can’t burn. Follow the data sheet.'
const SOLVENT = 'Solvent vapours: fresh air, no flames or sparks. Follow the data sheet.'

/** Stages at 20 °C. Epoxies: the later end of the ranges for opening and sanding, the earlier for closing. */
export const defaultCureProducts: readonly DefaultCureProduct[] = [
  {
    name: 'Epoxy, fast hardener', kind: 'epoxy', referenceTemp: 20,
    workableMin: 60, dustFreeMin: h(3), opensMin: h(3), closesMin: h(8), closesCapMin: h(24), sandableMin: h(12), handleableMin: h(10), fullCureMin: h(7 * 24),
    cureFloor: 5, minAir: 10, maxAir: 32, maxHumidity: 85, dewPointMargin: 3, potLifeMin: 10, potMassG: 100, potTemp: 20,
    ratioBy: 'mass', ratioA: 100, ratioB: 44, densityA: 1.13, densityB: 1, hazard: EPOXY,
    source: `${MEMORY}: pot 10–15 min at 100 g, open 60–70 min, opens 2–3 h, closes 8–12 h, sandable 8–12 h; full cure 7 days; ${FILM}`,
  },
  {
    name: 'Epoxy, slow hardener', kind: 'epoxy', referenceTemp: 20,
    workableMin: 90, dustFreeMin: h(6), opensMin: h(6), closesMin: h(14), closesCapMin: h(24), sandableMin: h(24), handleableMin: h(20), fullCureMin: h(7 * 24),
    cureFloor: 10, minAir: 12, maxAir: 35, maxHumidity: 85, dewPointMargin: 3, potLifeMin: 20, potMassG: 100, potTemp: 20,
    ratioBy: 'mass', ratioA: 100, ratioB: 44, densityA: 1.13, densityB: 1, hazard: EPOXY,
    source: `${MEMORY}: pot 20–30 min at 100 g, open 90–120 min, opens 4–6 h, closes 14–24 h, sandable 15–24 h; full cure 7 days; ${FILM}`,
  },
  {
    name: 'Wood-epoxy glue, thickened', kind: 'glue', referenceTemp: 20,
    workableMin: 60, dustFreeMin: null, opensMin: null, closesMin: null, closesCapMin: null, sandableMin: h(14), handleableMin: h(12), fullCureMin: h(7 * 24),
    cureFloor: 5, minAir: 10, maxAir: 32, maxHumidity: null, dewPointMargin: 3, potLifeMin: 15, potMassG: 100, potTemp: 20,
    ratioBy: 'mass', ratioA: 100, ratioB: 44, densityA: 1.13, densityB: 1, dustSensitive: false, hazard: EPOXY,
    source: `${MEMORY}: clamps off after a night at 20 °C; ${FILM}`,
  },
  {
    name: 'Epoxy fairing compound', kind: 'fairing', referenceTemp: 20,
    workableMin: 40, dustFreeMin: h(4), opensMin: h(4), closesMin: h(12), closesCapMin: h(24), sandableMin: h(18), handleableMin: h(14), fullCureMin: h(7 * 24),
    cureFloor: 8, minAir: 12, maxAir: 32, maxHumidity: 85, dewPointMargin: 3, potLifeMin: 20, potMassG: 150, potTemp: 20,
    ratioBy: 'volume', ratioA: 1, ratioB: 1, densityA: 0.8, densityB: 0.8, hazard: `${EPOXY} Sanding dust: wash first, extractor, P3 mask.`,
    source: `${MEMORY}; let it settle 1–2 days before deciding it is fair (common practice, no source)`,
  },
  {
    name: 'One-pack primer', kind: 'primer', referenceTemp: 20,
    workableMin: 15, dustFreeMin: h(1), opensMin: h(6), closesMin: null, closesCapMin: null, sandableMin: h(16), handleableMin: h(12), fullCureMin: h(7 * 24),
    cureFloor: 5, minAir: 10, maxAir: 25, maxHumidity: 85, dewPointMargin: 3, hazard: SOLVENT,
    source: `10–25 °C and at most 85 % humidity: a paint maker’s guide (second-hand); times ${MEMORY}`,
  },
  {
    name: 'Two-pack epoxy primer', kind: 'primer', referenceTemp: 20,
    workableMin: 20, dustFreeMin: h(2), opensMin: h(6), closesMin: h(7 * 24), closesCapMin: h(14 * 24), sandableMin: h(16), handleableMin: h(10), fullCureMin: h(7 * 24),
    cureFloor: 10, minAir: 15, maxAir: 25, maxHumidity: 70, dewPointMargin: 3, potLifeMin: 360, potMassG: 1000, potTemp: 20,
    ratioBy: 'volume', ratioA: 3, ratioB: 1, densityA: 1.5, densityB: 0.95, hazard: `${EPOXY} ${SOLVENT}`,
    source: `15–25 °C and at most 70 % humidity: a paint maker’s guide (second-hand); one barrier primer is overcoated from 2–3 h to 2 weeks (read); other times ${MEMORY}`,
  },
  {
    name: 'One-pack enamel', kind: 'paint', referenceTemp: 20,
    workableMin: 10, dustFreeMin: h(4), opensMin: h(16), closesMin: h(72), closesCapMin: null, sandableMin: h(48), handleableMin: h(24), fullCureMin: h(14 * 24),
    cureFloor: 5, minAir: 5, maxAir: 30, maxHumidity: 85, dewPointMargin: 3, hazard: SOLVENT,
    source: `5–30 °C and at most 85 % humidity: a paint maker’s guide (second-hand); times ${MEMORY}`,
  },
  {
    name: 'Two-pack polyurethane topcoat', kind: 'paint', referenceTemp: 20,
    workableMin: 15, dustFreeMin: h(3), opensMin: h(8), closesMin: h(48), closesCapMin: h(48), sandableMin: h(24), handleableMin: h(24), fullCureMin: h(7 * 24),
    cureFloor: 8, minAir: 12, maxAir: 25, maxHumidity: 70, dewPointMargin: 3, potLifeMin: 240, potMassG: 500, potTemp: 20,
    ratioBy: 'volume', ratioA: 2, ratioB: 1, densityA: 1.25, densityB: 1.05, hazard: ISOCYANATE,
    source: `12–25 °C and at most 70 % humidity: a paint maker’s guide (second-hand); over itself from 8 h to 48 h at 16–21 °C (a government paint specification, read); other times ${MEMORY}`,
  },
  {
    name: 'Spar varnish', kind: 'varnish', referenceTemp: 20,
    workableMin: 10, dustFreeMin: h(5), opensMin: h(18), closesMin: h(48), closesCapMin: null, sandableMin: h(36), handleableMin: h(48), fullCureMin: h(14 * 24),
    cureFloor: 8, minAir: 10, maxAir: 28, maxHumidity: 80, dewPointMargin: 3,
    hazard: `${SOLVENT} Rags with drying oil or varnish heat up by themselves: into a covered metal can, or spread flat outside.`,
    source: `still soft at 24 h in a published build log (read); times ${MEMORY}`,
  },
]
