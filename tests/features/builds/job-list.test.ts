import { describe, expect, test } from 'vitest'
import { jobLists, sailingDinghy } from '../../../src/features/builds/job-lists/index.ts'
import { boatOf } from '../../../src/features/builds/job-lists/boat.ts'
import { figuresOf } from '../../../src/features/builds/job-lists/figures.ts'
import type { BoatState } from '../../../src/features/builds/job-lists/geometry.ts'
import { instantiate } from '../../../src/features/builds/job-lists/instantiate.ts'
import { draftOf, settingsFor, stateOf } from './list-support.ts'

describe('starting from a standard job list', () => {
  test.each(jobLists.map((l) => [l.name, l] as const))('%s refers only to what it defines', (_n, list) => {
    const tasks = new Set(list.tasks.map((t) => t.key))
    expect(tasks.size).toBe(list.tasks.length)
    for (const l of [...list.links, ...list.holds]) { expect(tasks).toContain(l.from); expect(tasks).toContain(l.to) }
    const phases = new Set(list.phases.map((p) => p.key))
    for (const t of list.tasks) expect(phases).toContain(t.phase)
    for (const l of list.links) if (l.kind === 'window' || l.kind === 'stage') expect(list.tasks.find((t) => t.key === l.from)?.product, l.from).toBeTruthy()
  })

  test('what is not measured is guessed from length and beam, and says so', () => {
    const m = figuresOf(sailingDinghy, stateOf({ length: 4, beam: 1.5, areaBottom: 5 }))
    expect(m['areaBottom']).toEqual({ value: 5, origin: 'measured' })
    expect(m['seams']).toEqual({ value: 12, origin: 'guess' }) // 3 x 4.0 m
  })

  test('coats in a row are linked by their windows, and links meet the first and the last', () => {
    const d = draftOf({ length: 4, beam: 1.5, fillCoats: 3 })
    const windows = d.links.filter((l) => l.kind === 'window').map((l) => `${l.fromKey}>${l.toKey}`)
    expect(windows).toContain('sheath-bottom-starboard>fill-bottom-1')
    expect(windows).toContain('fill-bottom-1>fill-bottom-2')
    expect(windows).toContain('fill-bottom-2>fill-bottom-3')
    expect(d.links).toContainEqual(expect.objectContaining({ fromKey: 'fill-bottom-3', toKey: 'glue-skeg', stage: 'sandable' }))
  })

  test('a rowing boat leaves out case and foils, and what they joined stays joined', () => {
    const d = draftOf({ length: 4, beam: 1.4, centreboard: 0, areaDeck: 0 })
    const keys = new Set(d.tasks.map((t) => t.listKey))
    for (const gone of ['make-case', 'open-slot', 'shape-foils', 'hang-rudder', 'glue-deck']) expect(keys).not.toContain(gone)
    for (const l of d.links) { expect(keys).toContain(l.fromKey); expect(keys).toContain(l.toKey) }
    // rails -> (deck) -> last sealing coat
    const next = new Map<string, string[]>()
    for (const l of d.links) next.set(l.fromKey, [...(next.get(l.fromKey) ?? []), l.toKey])
    const reached = new Set<string>()
    const walk = (k: string): void => { for (const n of next.get(k) ?? []) if (!reached.has(n)) { reached.add(n); walk(n) } }
    walk('shape-rails')
    expect(reached).toContain('seal-inside')
  })

  test('a finer finish has more coats and more fairing', () => {
    const work = (grade: 'workboat' | 'good' | 'show'): number => draftOf({ length: 4, beam: 1.5 }, grade).tasks.reduce((s, t) => s + t.workLikelyMin, 0)
    expect(work('workboat')).toBeLessThan(work('good'))
    expect(work('good')).toBeLessThan(work('show'))
  })

  test('a length of 40 m or half a coat is refused beside its name', () => {
    const r = instantiate(sailingDinghy, stateOf({ length: 40, beam: 1.5, fillCoats: 2.5 }), settingsFor())
    expect(r).toEqual({ ok: false, refusal: { length: expect.stringContaining('between 2 and 7'), fillCoats: expect.stringContaining('whole number') } })
  })

  test('nothing waits in a circle', () => {
    const d = draftOf({ length: 4, beam: 1.5 }, 'show')
    const waits = new Map(d.tasks.map((t) => [t.listKey, d.links.filter((l) => l.toKey === t.listKey).map((l) => l.fromKey)]))
    expect(waits.size).toBe(d.tasks.length) // every task of the build has a key of its own
    const done = new Set<string>()
    for (let moved = true; moved; ) {
      moved = false
      for (const [k, from] of waits) if (!done.has(k) && from.every((f) => done.has(f))) { done.add(k); moved = true }
    }
    expect(done.size).toBe(d.tasks.length)
  })

  test('a cloth of 20 g/m², or one of no choice, is refused; none at all, or 40 g/m², is not', () => {
    const refusal = (measured: Record<string, number>) => {
      const r = instantiate(sailingDinghy, stateOf({ length: 4, beam: 1.5, ...measured }), settingsFor())
      return r.ok ? {} : r.refusal
    }
    expect(refusal({ clothWeight: 20 })).toEqual({ clothWeight: 'Cloth on the bottom: 0 for none, or from 40 to 600 for this list, not 20' })
    expect(refusal({ clothWeight: 39 })).not.toEqual({})
    expect(refusal({ kit: 2 })).toEqual({ kit: expect.stringContaining('choose one of') })
    expect(refusal({ clothWeight: 0, clothInside: 40, kit: 1 })).toEqual({})
  })
})

describe('the boat of a list', () => {
  test('areas and lengths follow from panels and seams once all of them are measured', () => {
    const bottom = { outline: { how: 'widths' as const, stations: [{ atMm: 0, widthMm: 300 }, { atMm: 2000, widthMm: 700 }, { atMm: 4000, widthMm: 500 }] } }
    const figures = (geometry: BoatState['geometry']) => figuresOf(sailingDinghy, stateOf({ length: 4, beam: 1.5 }, 'good', { geometry }))
    // Parabola through 300, 700, 500 at steps of 2 m: (300 + 4 x 700 + 500) mm x 2 m / 3 = 2.4 m², two of them.
    expect(figures({ panels: { bottom } })['areaBottom']).toEqual({ value: expect.closeTo(4.8, 9), origin: 'panels' })
    // The whole outside is the sum of bottom and topsides: 4.8 + 3.4, and as long as the topsides are a guess, so is it.
    expect(figures({ panels: { bottom } })['areaOutside']).toEqual({ value: 8.2, origin: 'guess' })
    const sides = { side: { outline: { how: 'area' as const, areaM2: 1.6, lengthMm: 4100, widthMm: 480 } }, transom: { outline: { how: 'half-breadths' as const, stations: [{ atMm: 0, halfMm: 400 }, { atMm: 450, halfMm: 600 }] } } }
    // Two sides of 1.6 m² and a transom of (0.8 + 1.2) m x 0.45 m / 2 = 0.45 m².
    expect(figures({ panels: sides })['areaSides']).toEqual({ value: expect.closeTo(3.65, 9), origin: 'panels' })
    expect(figures({ panels: { ...sides, bottom } })['areaOutside']!.origin).toBe('panels')
    const length = (lengthM: number) => ({ lengthM })
    expect(figures({ seams: { keel: length(3.8), 'chine-port': length(4.2) } })['seams']).toEqual({ value: 12, origin: 'guess' })
    expect(figures({ seams: { keel: length(3.8), 'chine-port': length(4.2), 'chine-starboard': length(4.2) } })['seams']).toEqual({ value: expect.closeTo(12.2, 9), origin: 'panels' })
  })

  test('a measured area goes before the panels, and panels that nobody measured share it', () => {
    const { panels, boat } = boatOf(sailingDinghy, stateOf({ length: 4, beam: 1.5, areaBottom: 3.6 }))
    const bottom = panels.find((p) => p.key === 'bottom')!
    expect([bottom.count, bottom.areaM2]).toEqual([2, { value: 1.8, origin: 'guess' }])
    // 1.8 m² of a rectangle 4 m long that is filled by 78 %: 577 mm wide.
    expect([bottom.lengthMm.value, bottom.widthMm.value]).toEqual([4000, 577])
    expect(boat.surfaces.find((s) => s.key === 'bottom')!.areaM2).toEqual({ value: 3.6, origin: 'measured' })
  })

  test('a panel left out, one of people’s own, another thickness: the sheets follow', () => {
    const sheets = (geometry: BoatState['geometry'], measured = {}) => draftOf({ length: 4, beam: 1.5, ...measured }, 'good', { geometry }).lines.filter((l) => l.rule === 'ply').map((l) => [l.key, Math.round(l.net.likely * 2.9768 * 1000) / 1000])
    const own = { name: 'Locker lid', count: 2, outline: { how: 'area' as const, areaM2: 0.25, lengthMm: 600, widthMm: 450 }, thicknessMm: 9 }
    const all = sheets({})[0]![1] as number
    // A thwart of 0.19 x 1.5 = 0.285 m² less.
    expect(sheets({ panels: { thwart: { leftOut: true } } })).toEqual([['ply-okoume-6.ply', expect.closeTo(all - 0.285, 3)]])
    expect(sheets({ panels: { 'own-1': own } })).toEqual([['ply-okoume-6.ply', all], ['ply-okoume-9.ply', 0.5]])
    // Bottom panels: 4.2 m².
    expect(sheets({}, { plyBottom: 4, plySpecies: 2 })).toEqual([['ply-birch-4.ply', 4.2], ['ply-birch-6.ply', expect.closeTo(all - 4.2, 3)]])
  })

  test('a kit weighs what its panels weigh, and no sheets are cut or bought', () => {
    const [sheets, kit] = [draftOf({ length: 4, beam: 1.5 }), draftOf({ length: 4, beam: 1.5, kit: 1 })]
    const mass = (d: typeof kit, rule: string) => d.lines.filter((l) => l.rule === rule && (rule === 'ply' || l.part === 'kit')).reduce((sum, l) => sum + l.kg.likely, 0)
    expect(mass(kit, 'piece')).toBeCloseTo(mass(sheets, 'ply'), 9)
    expect(kit.lines.some((l) => l.rule === 'ply')).toBe(false)
    // Her edges are as long, whoever cut them, and are sealed all the same.
    const edges = (d: typeof kit) => d.lines.find((l) => l.key === 'edges.edge-seal')
    expect(edges(kit)!.net).toEqual(edges(sheets)!.net)
    expect(kit.tasks.flatMap((t) => t.materials.filter((m) => m.line === 'edges.edge-seal')).length).toBe(1)
    const gone = sheets.tasks.map((t) => t.listKey).filter((key) => !kit.tasks.some((t) => t.listKey === key))
    expect(gone).toEqual(['loft-panels', 'cut-panels', 'plane-panels', 'cut-bulkheads', 'cut-scarfs'])
    expect(kit.tasks.find((t) => t.listKey === 'check-kit')!.materials).toEqual([expect.objectContaining({ name: 'Kit of cut panels', likely: 1, unit: 'pcs' })])
  })

  test('tape: two layers take twice the tape and more hours; a seam left out takes its tasks with it', () => {
    const [one, two] = [draftOf({ length: 4, beam: 1.5 }), draftOf({ length: 4, beam: 1.5, tapeLayers: 2 })]
    const tape = (d: typeof one) => d.tasks.find((t) => t.listKey === 'tape-port')!
    // 1 - 0.8 + 0.8 x 2 = 1.8 times the hours: 85 min become 153, in steps of 5.
    expect([tape(one).workLikelyMin, tape(two).workLikelyMin]).toEqual([85, 155])
    expect(tape(two).materials[0]!.likely / tape(one).materials[0]!.likely).toBeCloseTo(2, 2)
    const without = draftOf({ length: 4, beam: 1.5 }, 'good', { geometry: { seams: { keel: { leftOut: true } } } })
    expect(one.tasks.filter((t) => !without.tasks.some((w) => w.listKey === t.listKey)).map((t) => t.listKey)).toEqual(['fillet-centre', 'tape-centre'])
  })
})

/** All ways of building her that the list knows. */
const ways = (function* () {
  for (const clothWeight of [0, 80, 200]) for (const bottomCoats of clothWeight === 0 ? [0, 1, 3] : [3]) for (const clothInside of [0, 80])
    for (const kit of [0, 1]) for (const insideFinish of [0, 1]) for (const centreboard of [0, 1]) for (const areaDeck of [0, 0.9]) for (const tapeLayers of [1, 2])
      for (const grade of ['workboat', 'good', 'show'] as const) yield { grade, measured: { length: 4, beam: 1.5, clothWeight, bottomCoats, clothInside, kit, insideFinish, centreboard, areaDeck, tapeLayers } }
})()
const GEOMETRIES: BoatState['geometry'][] = [
  {},
  {
    panels: { thwart: { leftOut: true }, 'own-1': { name: 'Lid', outline: { how: 'area', areaM2: 0.3, lengthMm: 600, widthMm: 500 }, thicknessMm: 9 } },
    seams: {
      keel: { tapes: [{ side: 'inside', widthMm: 100, arealMass: 300, layers: 2, overlapMm: 50 }, { side: 'outside', widthMm: 75, arealMass: 200, layers: 1, overlapMm: 50 }, { side: 'outside', widthMm: 100, arealMass: 200, layers: 1, overlapMm: 50 }] },
      seats: { tapes: [{ side: 'inside', widthMm: 50, arealMass: 200, layers: 1, overlapMm: 0 }] }, case: { leftOut: true }, 'own-1': { name: 'Locker', lengthM: 2, anglesDeg: [90], radiusMm: 12, tapes: [{ side: 'inside', widthMm: 50, arealMass: 200, layers: 1, overlapMm: 0 }] },
    },
  },
]

describe('every way of building her', () => {
  const all = [...ways].flatMap((way) => GEOMETRIES.map((geometry) => ({ way, geometry, draft: draftOf(way.measured, way.grade, { geometry }) })))

  test('the tasks’ shares of each line of the estimate add up to the whole, and no task asks for a line that isn’t there', () => {
    expect(all.length).toBe(2 * 3 * 2 ** 6 * 5) // 5 bottoms, 6 choices of two, 3 finishes, 2 geometries
    for (const { way, draft } of all) {
      const shares = new Map(draft.lines.map((l) => [l.key, 0]))
      for (const m of draft.tasks.flatMap((t) => t.materials)) shares.set(m.line, (shares.get(m.line) ?? NaN) + m.share)
      const off = [...shares].filter(([, sum]) => !(Math.abs(sum - 1) < 1e-9))
      expect(off, JSON.stringify(way)).toEqual([])
    }
  })

  test('a task’s amounts are its share of net and waste together, to a hundredth', () => {
    for (const { draft } of all.slice(0, 40)) {
      for (const line of draft.lines) {
        const rows = draft.tasks.flatMap((t) => t.materials).filter((m) => m.line === line.key)
        expect(Math.abs(rows.reduce((sum, m) => sum + m.likely, 0) - line.net.likely - line.waste.likely), line.key).toBeLessThanOrEqual(0.005 * rows.length + 1e-9)
        for (const m of rows) expect([m.name, m.unit, m.ruleKey, m.low <= m.likely && m.likely <= m.high, m.rule.length <= 300]).toEqual([line.material, line.unit, line.rule, true, true])
      }
    }
  })

  test('nothing waits in a circle, nothing but what starts waits for nothing, and all comes before the launch', () => {
    for (const { way, draft } of all) {
      const keys = draft.tasks.map((t) => t.listKey)
      expect(new Set(keys).size).toBe(keys.length)
      const into = new Map(keys.map((k) => [k, draft.links.filter((l) => l.toKey === k).map((l) => l.fromKey)]))
      const done = new Set<string>()
      for (let moved = true; moved; ) {
        moved = false
        for (const [k, from] of into) if (!done.has(k) && from.every((f) => done.has(f))) { done.add(k); moved = true }
      }
      expect(done.size, JSON.stringify(way)).toBe(keys.length)
      const starts = keys.filter((k) => into.get(k)!.length === 0)
      expect(starts.filter((k) => k !== 'check-plans' && k !== 'papers'), JSON.stringify(way)).toEqual([])
      const before = new Set<string>()
      const walk = (k: string): void => { for (const f of into.get(k)!) if (!before.has(f)) { before.add(f); walk(f) } }
      walk('launch')
      expect(keys.filter((k) => k !== 'launch' && !before.has(k)), JSON.stringify(way)).toEqual([])
    }
  })

  test('windows lie between two coats, and a cure is waited for only where something cures', () => {
    for (const { way, draft } of all) {
      const cures = new Set(draft.tasks.filter((t) => t.productRole !== null).map((t) => t.listKey))
      const wrong = draft.links.filter((l) => (l.kind === 'window' && !(cures.has(l.fromKey) && cures.has(l.toKey))) || (l.kind === 'stage' && !cures.has(l.fromKey)))
      expect(wrong, JSON.stringify(way)).toEqual([])
      const pairs = draft.links.map((l) => `${l.fromKey}>${l.toKey}>${l.kind}`)
      expect(new Set(pairs).size).toBe(pairs.length)
    }
  })

  test('what came last on the bottom is sandable before the skeg is glued on it', () => {
    const skeg = (measured: Record<string, number>) => draftOf({ length: 4, beam: 1.5, ...measured }).links.filter((l) => l.toKey === 'glue-skeg').map((l) => `${l.fromKey} ${l.stage}`)
    expect(skeg({})).toEqual(['fill-bottom-3 sandable'])
    expect(skeg({ clothWeight: 80 })).toEqual(['fill-bottom-2 sandable'])
    expect(skeg({ clothWeight: 0 })).toContain('more-bottom-2 sandable')
    expect(skeg({ clothWeight: 0, bottomCoats: 1 })).toContain('seal-bottom-1 sandable')
    expect(skeg({ clothWeight: 0, bottomCoats: 0 })).toEqual(['tape-outside sandable'])
  })
})
