import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { boatOf } from '../../../src/features/builds/job-lists/boat.ts'
import { jobListByKey } from '../../../src/features/builds/job-lists/index.ts'
import { CUTTING, layoutOf } from '../../../src/features/builds/layout/layout.ts'
import { nest } from '../../../src/features/builds/layout/nest.ts'
import type { Part, Stock } from '../../../src/features/builds/layout/sheet.ts'
import type { LayoutModel, Rect, Sizes } from '../../../src/features/builds/layout/types.ts'
import { layoutSentence, partWords } from '../../../views/builds/layout-words.ts'
import type { Panel } from '../../../src/core/estimate/types.ts'
import { testClub } from '../../support/app.ts'
import { started, words } from './support.ts'

const NONE: Sizes = { sheets: new Map(), rolls: new Map() }
const measured = (value: number) => ({ value, origin: 'measured' as const })
const panel = (over: Partial<Panel> & { mm: readonly [number, number] }): Panel => {
  const { mm: [lengthMm, widthMm], ...rest } = over
  return {
    key: 'side', name: 'Side panel', count: 1, areaM2: measured((lengthMm * widthMm) / 1e6), lengthMm: measured(lengthMm), widthMm: measured(widthMm),
    ply: { species: 'okoume', thicknessMm: 6 }, grain: 'along', joint: 'scarf', ...rest,
  }
}
const layout = (panels: readonly Panel[], sizes = NONE, cutting = CUTTING): LayoutModel => layoutOf({ boat: { panels, surfaces: [] }, panels }, sizes, cutting)

/** Apart by at least the saw cut, in one direction or the other. */
const apart = (a: Rect, b: Rect, kerf: number): boolean =>
  a.x + a.alongMm + kerf <= b.x || b.x + b.alongMm + kerf <= a.x || a.y + a.acrossMm + kerf <= b.y || b.y + b.acrossMm + kerf <= a.y

function faults(parts: readonly Rect[], { lengthMm, widthMm, kerfMm, trimMm }: Stock): string[] {
  const out = parts.flatMap((p) => (p.x >= trimMm && p.y >= trimMm && p.x + p.alongMm <= lengthMm - trimMm && p.y + p.acrossMm <= widthMm - trimMm ? [] : [`${JSON.stringify(p)} is off its sheet`]))
  for (const [i, a] of parts.entries()) for (const b of parts.slice(i + 1)) if (!apart(a, b, kerfMm)) out.push(`${JSON.stringify(a)} lies on ${JSON.stringify(b)}`)
  return out
}

const partList = fc.array(fc.record({ lengthMm: fc.integer({ min: 20, max: 2430 }), widthMm: fc.integer({ min: 20, max: 1210 }), mayTurn: fc.boolean() }), { maxLength: 30 })
  .map((list) => list.map((p, i): Part => ({ ...p, id: String(i) })))
const stockOf = fc.record({ lengthMm: fc.constant(2440), widthMm: fc.constant(1220), kerfMm: fc.integer({ min: 0, max: 10 }), trimMm: fc.integer({ min: 0, max: 5 }) })

describe('nesting', () => {
  test('places every part once, none over another, inside the sheet, and turns only what may be turned', () => {
    fc.assert(fc.property(partList, stockOf, (parts, stock) => {
      const { sheets, bound, tooLarge } = nest(parts, stock, { steps: 3000 })
      expect(tooLarge).toEqual([])
      expect(sheets.flat().map((p) => p.part.id).sort()).toEqual(parts.map((p) => p.id).sort())
      expect(sheets.length).toBeGreaterThanOrEqual(bound.strong)
      for (const sheet of sheets) {
        expect(sheet.length).toBeGreaterThan(0)
        for (const p of sheet) expect(p.isTurned && !p.part.mayTurn).toBe(false)
        expect(faults(sheet.map(({ part, x, y, isTurned }) => ({ x, y, alongMm: isTurned ? part.widthMm : part.lengthMm, acrossMm: isTurned ? part.lengthMm : part.widthMm })), stock)).toEqual([])
      }
    }), { numRuns: 60 })
  })

  test('gives the same layout for the same parts, and tells what fits no sheet', () => {
    const parts = [[1300, 700], [900, 800], [2400, 300], [500, 500], [1200, 600], [1000, 1000], [3000, 100]].map(([lengthMm, widthMm], i): Part => ({ id: String(i), lengthMm: lengthMm!, widthMm: widthMm!, mayTurn: i % 2 === 0 }))
    const stock = { lengthMm: 2440, widthMm: 1220, kerfMm: 4, trimMm: 5 }
    expect(nest(parts, stock)).toEqual(nest(parts, stock))
    expect(nest(parts, stock).tooLarge.map((p) => p.id)).toEqual(['6'])
  })

  test('finds the whole sheets that parts were sawn from, however their order', () => {
    // Three sheets of 2440 × 1220, each sawn in four: 1500 + 940 by 700 + 520.
    const parts = [0, 1, 2].flatMap((s) => [[1500, 700], [1500, 520], [940, 700], [940, 520]].map(([lengthMm, widthMm], i): Part => ({ id: `${s}${i}`, lengthMm: lengthMm!, widthMm: widthMm!, mayTurn: false })))
    expect(nest(parts.reverse(), { lengthMm: 2440, widthMm: 1220, kerfMm: 0, trimMm: 0 }).sheets.length).toBe(3)
    // With a saw cut they no longer fit: twelve parts of more than their share.
    expect(nest(parts, { lengthMm: 2440, widthMm: 1220, kerfMm: 4, trimMm: 0 }).sheets.length).toBeGreaterThan(3)
  })
})

describe('panels on sheets', () => {
  test('a panel longer than the sheet is cut with its scarf, and the pieces say so', () => {
    // 3600 mm of 6 mm: a whole sheet's 2440 and 1208, of which 48 lie over each other.
    const { plies, sheets } = layout([panel({ mm: [3600, 500], count: 2 })])
    expect(sheets).toBe(2)
    expect(plies[0]!.sheets.flatMap((s) => s.parts.map((p) => p.lengthMm)).sort((a, b) => b - a)).toEqual([2440, 2440, 1208, 1208])
    expect(plies[0]!.joints).toEqual([{ panelKey: 'side', name: 'Side panel', count: 2, joint: 'scarf', joints: 1, allowanceMm: 48, isWide: false }])
    expect(plies[0]!.sheets[0]!.parts.map(partWords).join('; ')).toContain('Side panel 1 of 2, piece')
    // 3.6 m² of 2.9768 m² sheets is 1.2.
    expect(layoutSentence(layout([panel({ mm: [3600, 500], count: 2 })]), 'Sanderling', null)).toBe('2 sheets of okoume plywood 6 mm; 1.2 by area; one scarf in each side panel.')
  })

  test('edges that are taken off leave less of a sheet', () => {
    // 2440 − 2 × 10 = 2420, and 3600 + 48 − 2420 = 1228.
    const { plies } = layout([panel({ mm: [3600, 500] })], NONE, { ...CUTTING, trimMm: 10 })
    expect(plies[0]!.sheets.flatMap((s) => s.parts.map((p) => p.lengthMm))).toEqual([2420, 1228])
    expect(plies[0]!.sheets.flatMap((s) => s.parts.map((p) => [p.x, p.y]))).toEqual([[10, 10], [10, 514]])
  })

  test('a butted one gets a strap of its own', () => {
    const { plies } = layout([panel({ mm: [3600, 500], joint: 'butt' })])
    const parts = plies[0]!.sheets.flatMap((s) => s.parts)
    expect(parts.filter((p) => p.isStrap).map((p) => [p.lengthMm, p.widthMm])).toEqual([[120, 500]])
    expect(parts.filter((p) => !p.isStrap).reduce((sum, p) => sum + p.lengthMm, 0)).toBe(3600)
  })

  test('face grain lies as it is asked: along the sheet, or across it', () => {
    const [along] = layout([panel({ mm: [1000, 400] })]).plies[0]!.sheets[0]!.parts
    expect([along!.alongMm, along!.acrossMm]).toEqual([1000, 400])
    const [across] = layout([panel({ mm: [1000, 400], grain: 'across' })]).plies[0]!.sheets[0]!.parts
    expect([across!.alongMm, across!.acrossMm]).toEqual([400, 1000])
    // Across a sheet there are 1220 mm: longer needs a joint that it would not need along.
    expect(layout([panel({ mm: [2000, 400], grain: 'across' })]).plies[0]!.joints.length).toBe(1)
    expect(layout([panel({ mm: [2000, 400], grain: 'any' })]).plies[0]!.joints.length).toBe(0)
  })

  test('each thickness and species has sheets of its own', () => {
    const thin = panel({ mm: [1000, 400], key: 'deck', ply: { species: 'okoume', thicknessMm: 4 } })
    const birch = panel({ mm: [1000, 400], key: 'seat', ply: { species: 'birch', thicknessMm: 6 } })
    expect([...layout([panel({ mm: [1000, 400] }), thin, birch]).counts]).toEqual([['ply-okoume-6', 1], ['ply-okoume-4', 1], ['ply-birch-6', 1]])
  })

  test('sheets are of the size that the stores have; one too small to cut from is told', () => {
    const sheets = (lengthMm: number, widthMm: number) => ({ ...NONE, sheets: new Map([['Okoume plywood 6 mm', { lengthMm, widthMm, item: { id: 'x', name: 'Okoume 6' } }]]) })
    expect(layout([panel({ mm: [3000, 1500] })], sheets(3050, 1525)).plies[0]).toMatchObject({ joints: [], source: { lengthMm: 3050 }, isSizeLeftOut: false })
    expect(layout([panel({ mm: [1000, 400] })], sheets(300, 200)).plies[0]).toMatchObject({ source: { lengthMm: 2440, item: null }, isSizeLeftOut: true })
  })

  test('whatever the panels, parts make them up, lie free of each other and of the offcuts, and offcuts are free wood', () => {
    const size = fc.tuple(fc.integer({ min: 60, max: 6000 }), fc.integer({ min: 60, max: 2600 }))
    const any = fc.array(fc.record({ mm: size, count: fc.integer({ min: 1, max: 3 }), grain: fc.constantFrom<Panel['grain']>('along', 'across', 'any'), joint: fc.constantFrom<Panel['joint']>('scarf', 'butt') }), { minLength: 1, maxLength: 5 })
    fc.assert(fc.property(any, fc.record({ kerfMm: fc.integer({ min: 0, max: 10 }), trimMm: fc.integer({ min: 0, max: 50 }), scarfSlope: fc.integer({ min: 6, max: 12 }) }), (list, cutting) => {
      const panels = list.map((p, i) => panel({ ...p, key: `p${i}` }))
      const [ply] = layout(panels, NONE, cutting).plies
      const stock = { lengthMm: 2440, widthMm: 1220, ...cutting }
      const parts = ply!.sheets.flatMap((s) => s.parts)
      expect(parts.map((p) => p.number)).toEqual(parts.map((_, i) => i + 1))
      for (const s of ply!.sheets) expect(faults([...s.parts, ...s.offcuts], stock)).toEqual([])
      for (const p of panels) {
        const own = parts.filter((x) => x.panelKey === p.key)
        const area = own.filter((x) => !x.isStrap).reduce((sum, x) => sum + x.lengthMm * x.widthMm, 0)
        expect(area).toBeGreaterThanOrEqual(p.count * p.lengthMm.value * p.widthMm.value - 1e-6)
        for (const x of own) if (p.grain !== 'any') expect([x.alongMm, x.acrossMm]).toEqual(p.grain === 'along' ? [x.lengthMm, x.widthMm] : [x.widthMm, x.lengthMm])
      }
      expect(ply!.sheets.length).toBeGreaterThanOrEqual(ply!.fewest)
    }), { numRuns: 25 })
  })

  test('a boat of which nothing is cut has no sheets; a kit has none to buy', () => {
    expect(layout([])).toMatchObject({ plies: [], sheets: 0, isKit: false })
    const kit = layoutOf({ boat: { panels: [], surfaces: [] }, panels: [panel({ mm: [1000, 400] })] }, NONE)
    expect(kit.isKit).toBe(true)
    expect(layoutSentence(kit, 'Sanderling', null)).toContain('a kit: no sheets to buy')
  })
})

describe('the standard dinghy of 4.0 by 1.5 m', () => {
  const { boat, panels } = boatOf(jobListByKey('sailing-dinghy')!, { measured: { length: 4, beam: 1.5 }, geometry: {}, skill: 'first', grade: 'good' })
  const model = layoutOf({ boat, panels }, NONE)

  test('takes all her panels out of as many sheets as their area, offcuts and joints allow', () => {
    const [ply] = model.plies
    expect(ply!.areaM2).toBeCloseTo(panels.reduce((sum, p) => sum + p.areaM2.value * p.count, 0), 9)
    expect(model.sheets).toBeGreaterThanOrEqual(Math.ceil(ply!.byArea))
    // Bounding rectangles of curved panels waste more than the saw does; twice the area would be a bad layout.
    expect(model.sheets).toBeLessThan(2 * ply!.byArea)
  })

  test('has her bottom’s cloth in lengths off the roll that cover it', () => {
    const bottom = model.cloths.find((c) => c.surfaceKey === 'bottom')!
    const two = panels.find((p) => p.key === 'bottom')!
    expect(bottom.face).toEqual({ lengthMm: two.lengthMm.value, girthMm: 2 * two.widthMm.value })
    expect(bottom.totalMm * bottom.roll.widthMm).toBeGreaterThanOrEqual(bottom.face!.lengthMm * bottom.face!.girthMm)
    // Board and rudder are no panels: by area and laps, 0.4 × 4 m², laps of 50 mm along 4 m, 6 % on 1.27 m wide cloth.
    expect(model.cloths.find((c) => c.surfaceKey === 'foils')!.totalMm).toBeCloseTo((1.8 * 1.06 * 1000) / 1.27, 6)
  })
})

describe('the page', async () => {
  const club = await testClub({ now: '2026-06-06T09:00:00Z' })

  test('shows sheets to scale with their parts, in the sizes of the stores, and takes other saw cuts', async () => {
    const builder = await club.signedIn(['builder'], { name: 'Ann Tern' })
    const item = await club.db.item.create({ data: { name: 'Okoume plywood 6 mm', kind: 'ply', unit: 'pcs', thicknessMm: 6, lengthMm: 2500, widthMm: 1220 } })
    const buildId = await started(club, builder)
    const page = await builder.get(`/builds/${buildId}/layout`)
    expect(page.statusCode).toBe(200)
    const text = words(page.body)
    expect(text).toMatch(/\d sheets of okoume plywood 6 mm/)
    expect(text).toContain('one scarf in each bottom panel')
    expect(text).toContain('Bottom panel 2 of 2, piece 2 of 2')
    expect(text).toContain('Off the roll')
    expect(page.body).toContain(`/stores/items/${item.id}`)
    expect(text).toContain('2500 × 1220 mm'.replace('2500', '2,500').replace('1220', '1,220'))
    // As many drawings as sheets.
    const count = Number(/(\d+) sheets of okoume/.exec(text)![1])
    expect(page.body.match(/role="img"/g)!.length).toBe(count)

    const flatter = await builder.get(`/builds/${buildId}/layout?kerf=2&trim=0&scarf=12`)
    expect(words(flatter.body)).toContain('72 mm long')
    expect(words(page.body)).toContain('48 mm long')
  })

  test('refuses a saw cut that is none beside its field, keeps what was typed, and still shows the layout', async () => {
    const builder = await club.signedIn(['builder'], { name: 'Bo Plover' })
    const buildId = await started(club, builder, { name: 'Plover' })
    const page = await builder.get(`/builds/${buildId}/layout?kerf=-3&trim=90&scarf=1`)
    expect(page.statusCode).toBe(422)
    const text = words(page.body)
    expect(text).toContain('Saw cut: from 0 to 10 mm, not “-3”')
    expect(text).toContain('Edges: from 0 to 50 mm, not “90”')
    expect(text).toContain('Scarf: a number from 4 to 16, not “1”')
    expect(page.body).toContain('value="-3"')
    expect(text).toMatch(/\d sheets of okoume plywood 6 mm/)
  })

  test('is not shown of a build that is its team’s alone', async () => {
    const builder = await club.signedIn(['builder'], { name: 'Cy Dunlin' })
    const buildId = await started(club, builder, { name: 'Dunlin', visibility: 'team' })
    const other = await club.signedIn(['builder'], { name: 'Di Knot' })
    expect((await other.get(`/builds/${buildId}/layout`)).statusCode).toBe(404)
    expect((await builder.get(`/builds/${buildId}/layout`)).statusCode).toBe(200)
  })

  test('says where to begin for a boat without panels, and measures in inches where the club does', async () => {
    const builder = await club.signedIn(['officer'], { name: 'Ed Ruff' })
    const bare = await club.make.build({ name: 'Bare' })
    expect(words((await builder.get(`/builds/${bare.id}/layout`)).body)).toContain('No panel of her is cut from sheets yet.')
    await club.db.club.update({ where: { id: 1 }, data: { units: 'imperial' } })
    // A panel of her own, 96 × 24 in as typed: 2438.4 × 609.6 mm, two of them on the stores' sheet of 2500 × 1220 mm with a saw cut of 0.
    const outline = { how: 'area', areaM2: 1.2, lengthMm: 2438.4, widthMm: 609.6 }
    await club.db.build.update({ where: { id: bare.id }, data: { geometry: { panels: { 'own-1': { name: 'Floor', count: 2, outline } } } } })
    const text = words((await builder.get(`/builds/${bare.id}/layout?kerf=0`)).body)
    expect(text).toContain('1 sheet of okoume plywood 6 mm')
    // 2439 and 610 mm, to the next whole millimetre: 2 × 2439 × 610 / (2500 × 1220) = 0.976.
    expect(text).toContain('2 parts on 98 % of it')
    expect(text).toContain('96.02 × 24.02 in')
    await club.db.club.update({ where: { id: 1 }, data: { units: 'metric' } })
  })
})
