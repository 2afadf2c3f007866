import { beforeAll, describe, expect, test } from 'vitest'
import type { Geometry } from '../../../src/features/builds/job-lists/geometry.ts'
import { testClub, type Person } from '../../support/app.ts'
import { started, words } from './support.ts'

const club = await testClub({ now: '2026-06-06T09:00:00Z' })
type Fields = Record<string, string>
let builder: Person & { memberId: string }
let reader: Person & { memberId: string }
let id: string
beforeAll(async () => {
  builder = await club.signedIn(['builder'], { name: 'Ann Tern' })
  reader = await club.signedIn(['helper'], { name: 'Ben Knot' })
  id = await started(club, builder, { 'm.length': '3.6', 'm.beam': '1.5' })
})
const build = (buildId = id) => club.db.build.findUniqueOrThrow({ where: { id: buildId } })
const geometry = async (buildId = id) => (await build(buildId)).geometry as Geometry
const page = async (path: string) => (await builder.get(`/builds/${id}/${path}`)).body
const post = async (path: string, fields: Fields, version?: number) => builder.post(`/builds/${id}/${path}`, { ...fields, version: String(version ?? (await build()).version) })
const value = (html: string, name: string): string | undefined => new RegExp(`name="${name.replace('.', '[.]')}"[^>]*?value="([^"]*)"`).exec(html)?.[1]
const flash = (answer: Awaited<ReturnType<typeof post>>): string => Buffer.from(/garboard_flash=([^;]*)/.exec(String(answer.headers['set-cookie']))![1]!, 'base64url').toString()
/** The fields of a form as the page shows them. */
function shown(html: string): Fields {
  const form = /<form class="form form-stack"[\s\S]*?<\/form>/.exec(html)![0]
  const inputs = [...form.matchAll(/<input ([^>]*)>/g)].filter((m) => !/type="(radio|checkbox)"/.test(m[1]!) || / checked/.test(m[1]!))
    .map((m) => [/name="([^"]+)"/.exec(m[1]!)?.[1] ?? '', /value="([^"]*)"/.exec(m[1]!)?.[1] ?? ''])
  const selects = [...form.matchAll(/<select [^>]*name="([^"]+)"[\s\S]*?<\/select>/g)].map((m) => [m[1]!, /<option value="([^"]*)" selected/.exec(m[0])?.[1] ?? ''])
  const { once: _once, ...fields } = Object.fromEntries([...inputs, ...selects]) as Fields
  return fields
}

describe('a panel', () => {
  test('is a guess until it is measured, and what stands stays one', async () => {
    const html = await page('panels/bottom')
    // Guessed: bottom 0.7 × 3.6 × 1.5 = 3.78, to a tenth 3.8 m², two pieces of 1.9 m².
    expect(words(html)).toContain('Area of one piece 1.9 m² a guess until measured')
    const answer = await post('panels/bottom', shown(html))
    expect(answer.statusCode, words(answer.body).slice(0, 800)).toBe(303)
    expect((await geometry()).panels ?? {}).toEqual({})
  })

  test('takes twelve rows, more without a script, and shows the area before it is saved', async () => {
    const rows = (html: string) => html.match(/name="w[.]\d+"/g)?.length
    expect(rows(await page('panels/bottom?to=widths'))).toBe(12)
    expect(rows(await page('panels/bottom?to=widths&rows=24'))).toBe(24)
    expect(rows(await page('panels/bottom?to=widths&rows=900'))).toBe(40)
    const typed = new URLSearchParams({ ...shown(await page('panels/bottom?to=widths')), 'at.0': '0', 'w.0': '0', 'at.1': '1750', 'w.1': '560', 'at.2': '3500', 'w.2': '0' })
    const more = await page(`panels/bottom?${typed.toString()}&rows=24`)
    expect([rows(more), value(more, 'w.1')]).toEqual([24, '560'])
    // A parabola of 3500 by 560: two thirds of 1.96 m² is 1.307 m².
    const preview = await page(`panels/bottom?${typed.toString()}&show=area`)
    expect(words(preview)).toContain('Area of one piece 1.31 m² as typed, not saved')
    expect(words(preview)).toContain('Together 2.61 m²')
    expect((await geometry()).panels ?? {}).toEqual({})
  })

  test('measured by stations moves the areas that follow from it, and the tasks', async () => {
    const cloth = () => club.db.taskMaterial.findMany({ where: { task: { buildId: id }, line: 'bottom.cloth' }, orderBy: { id: 'asc' } })
    const before = await cloth()
    const fields = { ...shown(await page('panels/bottom?to=widths')), 'at.0': '0', 'w.0': '0', 'at.1': '1750', 'w.1': '560', 'at.2': '3500', 'w.2': '0' }
    const answer = await post('panels/bottom', fields)
    expect(answer.statusCode, words(answer.body).slice(0, 800)).toBe(303)
    const saved = await builder.get(String(answer.headers.location), {})
    expect((await geometry()).panels?.['bottom']).toEqual({ outline: { how: 'widths', stations: [{ atMm: 0, widthMm: 0 }, { atMm: 1750, widthMm: 560 }, { atMm: 3500, widthMm: 0 }] } })
    expect(words(saved.body)).toContain('Area of one piece 1.31 m² measured')
    expect(saved.body).toContain('<svg viewBox')
    // Both pieces: 2 × 1.3067 = 2.613 m².
    const measured = await page('measurements')
    expect(value(measured, 'm.areaBottom')).toBe('2.613')
    expect(words(measured)).toContain('from the panels')
    const after = await cloth()
    // Cloth goes with the area, which was guessed at 3.8 m², and laps of 50 mm along 10.8 m of seams, 0.54 m²; amounts of tasks are kept to two decimals.
    expect(before.length).toBeGreaterThan(0)
    for (const [i, m] of after.entries()) expect(m.likely).toBeCloseTo((before[i]!.likely * (2.6133 + 0.54)) / (3.8 + 0.54), 1)
  })

  test('what can’t be is refused beside its field, kept as typed, and changes nothing', async () => {
    const was = await build()
    const area = { ...shown(await page('panels/side')), how: 'area' }
    for (const [over, message] of [
      [{ area: '-1.2' }, 'An area can’t be negative: -1.2 m²'],
      [{ long: '144' }, '144 mm is short for a panel of a 3.6 m boat: is it inches (3657.6 mm)?'],
      [{ long: '5\' 6"' }, 'is in feet and inches, and this club measures in millimetres: that is 1676.4 mm'],
      [{ long: '6000' }, '6000 mm is longer than one and a half times the boat (3.6 m)'],
      [{ wide: '2300' }, '2300 mm is wider than one and a half times her beam (1.5 m)'],
      [{ thickness: '0.25' }, '6 mm? 0.25 looks like inches'],
      [{ count: 'two' }, 'How many: “two” is not a number'],
    ] as const) {
      const answer = await post('panels/side', { ...area, ...over })
      expect(answer.statusCode, message).toBe(422)
      expect(words(answer.body)).toContain(message)
      const [[name, typed]] = Object.entries(over) as [[string, string]]
      expect(value(answer.body, name)).toBe(typed.replace('"', '&quot;'))
      expect(answer.body).toMatch(new RegExp(`name="${name}"[^>]*aria-invalid="true"`))
    }
    const turned = await post('panels/side', { ...area, how: 'widths', 'at.0': '0', 'w.0': '300', 'at.1': '1200', 'w.1': '450', 'at.2': '900', 'w.2': '400' })
    expect(words(turned.body)).toContain('Position 3: 900 is not beyond 1200 before it')
    expect(await build()).toEqual(was)
  })

  test('an unlikely one is taken when the person insists', async () => {
    const small = { name: 'Breasthook', count: '1', thickness: '6', grain: 'any', joint: 'scarf', how: 'area', area: '0.012', long: '150', wide: '160' }
    const asked = await post('panels/new', small)
    expect(asked.statusCode).toBe(422)
    expect(words(asked.body)).toContain('I looked again: it is so')
    const answer = await post('panels/new', { ...small, sure: 'yes' })
    expect(answer.headers.location).toBe(`/builds/${id}/panels/own-1`)
    expect((await geometry()).panels?.['own-1']).toMatchObject({ name: 'Breasthook', count: 1, outline: { areaM2: 0.012 } })
    expect(words(await page('panels'))).toContain('Breasthook 1 0.01 m²')
  })

  test('back to the guess, left out, taken in again, taken off', async () => {
    await post('panels/bottom/guess', {})
    expect((await geometry()).panels?.['bottom']).toBeUndefined()
    await post('panels/own-1/leave-out', {})
    expect(words(await page('panels'))).toContain('Left out')
    await post('panels/own-1/take-in', {})
    expect(words(await page('panels'))).not.toContain('Left out')
    await post('panels/own-1/remove', {})
    expect((await geometry()).panels?.['own-1']).toBeUndefined()
    expect((await post('panels/own-1/remove', {})).statusCode).toBe(404)
    const out = await post('panels/thwart/leave-out', {})
    expect(out.statusCode).toBe(303)
    expect(words((await builder.get(`/builds/${id}/panels/thwart`)).body)).toContain('It is left out')
    await post('panels/thwart/take-in', {})
    expect((await geometry()).panels ?? {}).toEqual({})
    for (const place of ['panels/thwart', 'panels/side', 'seams/keel', 'measurements']) expect(words(await page(place)), place).toContain('ask the designer')
    // What the list has is left out, not taken off; what is one's own has no guess.
    expect((await post('panels/thwart/remove', {})).statusCode).toBe(422)
  })

  test('a stale page shows what is stored now, and takes yours when it is sent again', async () => {
    const old = (await build()).version
    const form = shown(await page('panels/transom'))
    await post('panels/transom', { ...form, area: '0.5', long: '1000', wide: '600' })
    const stale = await post('panels/transom', { ...form, area: '0.45', long: '1000', wide: '600' }, old)
    expect(stale.statusCode).toBe(409)
    expect(words(stale.body)).toContain('Stored meanwhile: 0.5')
    expect(value(stale.body, 'area')).toBe('0.45')
    const again = await builder.post(`/builds/${id}/panels/transom`, shown(stale.body))
    expect(again.statusCode).toBe(303)
    expect((await geometry()).panels?.['transom']?.outline).toMatchObject({ areaM2: 0.45 })
    expect((await post('panels/transom/guess', {}, old)).statusCode).toBe(409)
  })

  test('whoever may only look sees it without a form', async () => {
    for (const path of ['measurements', 'panels', 'panels/side', 'seams', 'seams/keel']) {
      const got = await reader.get(`/builds/${id}/${path}`)
      expect(got.statusCode, path).toBe(200)
      expect(/<main[\s\S]*<\/main>/.exec(got.body)![0], path).not.toContain('<form')
    }
    expect((await reader.post(`/builds/${id}/panels/side`, {})).statusCode).toBe(403)
    expect((await builder.get(`/builds/${id}/panels/constructor`)).statusCode).toBe(404)
    expect((await builder.get(`/builds/${id}/seams/none`)).statusCode).toBe(404)
  })
})

describe('a seam', () => {
  test('its course of angles, its fillet and its tapes', async () => {
    const form = shown(await page('seams/chine-port'))
    const answer = await post('seams/chine-port', { ...form, length: '3.5', radius: '20', 'angle.0': '90', 'angle.1': '', 'angle.2': '', 'angle.3': '', 'angle.4': '' })
    expect(answer.statusCode, words(answer.body).slice(0, 600)).toBe(303)
    expect((await geometry()).seams?.['chine-port']).toEqual({ lengthM: 3.5, radiusMm: 20, anglesDeg: [90] })
    // (1 − π/4) × 20² = 85.84 mm²; by 3.5 m: 300 ml.
    const saved = words(await page('seams/chine-port'))
    expect(saved).toContain('300 ml before gaps and waste, 86 ml a metre')
    // One layer of 3.5 m and 100 mm of overlap: 3.6 m.
    expect(saved).toContain('3.6 m (inside, 75 mm of 200 g/m²)')
    expect(saved).toContain('90° all along')
  })

  test('bad figures are refused beside the field', async () => {
    const was = await build()
    const form = shown(await page('seams/keel'))
    for (const [over, message] of [
      [{ 'angle.2': '200' }, '200° can’t be: between 1° and 180°: the inside angle between the two panels'],
      [{ radius: '0.7' }, '18 mm? 0.7 looks like inches'],
      [{ 'mass.0': '6' }, '6 looks like oz/yd²: 200 g/m²'],
      [{ length: '-3' }, 'A length is above 0'],
      [{ 'layers.0': '0' }, 'Tape 1, layers: a whole number from 1 to 8'],
    ] as const) {
      const answer = await post('seams/keel', { ...form, ...over })
      expect([answer.statusCode, words(answer.body).includes(message)], message).toEqual([422, true])
      const [[name, typed]] = Object.entries(over) as [[string, string]]
      expect(value(answer.body, name)).toBe(typed)
    }
    expect(await build()).toEqual(was)
  })

  test('one of her own, and more tapes without a script', async () => {
    const more = await page('seams/new?rows=6')
    expect(more.match(/name="tape[.]\d"/g)).toHaveLength(6)
    const answer = await post('seams/new', { name: 'Skeg', length: '0.8', radius: '0', 'angle.0': '90', 'side.0': 'outside', 'tape.0': '50', 'mass.0': '160', 'layers.0': '2', 'overlap.0': '0' })
    expect(answer.statusCode, words(answer.body).slice(0, 600)).toBe(303)
    // Two layers of 0.8 m.
    expect(words(await page('seams/own-1'))).toContain('1.6 m (outside, 50 mm of 160 g/m², 2 layers)')
    expect((await post('seams/own-1/remove', {})).statusCode).toBe(303)
  })
})

describe('plain measurements', () => {
  test('changed ones are measured, emptied ones a guess again, and the flash says what followed', async () => {
    const form = shown(await page('measurements'))
    const answer = await post('measurements', { ...form, 'm.areaInside': '8', 'm.clothWeight': '80', skill: 'first' })
    expect(answer.statusCode, words(answer.body).slice(0, 800)).toBe(303)
    const row = await build()
    expect(row.measurements).toEqual({ length: 3.6, beam: 1.5, areaInside: 8, clothWeight: 80 })
    expect(row.skill).toBe('first')
    expect(flash(answer)).toMatch(/\d+ tasks were worked out anew/)
    const html = await page('measurements')
    expect(words(html)).toContain('The list has 200 g/m²: ask the designer.')
    await post('measurements', { ...shown(html), 'm.areaInside': '' })
    expect((await build()).measurements).toEqual({ length: 3.6, beam: 1.5, clothWeight: 80 })
  })

  test('a guess that turned out right is ticked as measured', async () => {
    const answer = await post('measurements', { ...shown(await page('measurements')), ok: 'areaTanks' })
    expect(answer.statusCode).toBe(303)
    // 0.667 × 3.6 × 1.5 = 3.6 m².
    expect((await build()).measurements).toMatchObject({ areaTanks: 3.6 })
    await post('measurements', { ...shown(await page('measurements')), 'm.areaTanks': '' })
    const seam = await post('seams/seats', { ...shown(await page('seams/seats')), ok: 'yes' })
    expect(seam.statusCode, words(seam.body).slice(0, 500)).toBe(303)
    // 2.2 × 3.6 = 7.92 m, twice 6 mm.
    expect((await geometry()).seams?.['seats']).toEqual({ lengthM: expect.closeTo(7.92, 9) as number, anglesDeg: [95], radiusMm: 12 })
    await post('panels/side', { ...shown(await page('panels/side')), ok: 'yes' })
    expect((await geometry()).panels?.['side']?.outline).toMatchObject({ how: 'area', lengthMm: 3816 })
    await post('panels/side/guess', {})
  })

  test('a bottom without glass: tasks come in and are taken off, and the flash names them', async () => {
    const answer = await post('measurements', { ...shown(await page('measurements')), 'm.clothWeight': '0' })
    expect(flash(answer)).toMatch(/New: .*“Seal the bottom, first coat”.*Taken off: .*“Lay out and cut the cloth dry”/)
    expect(await club.db.task.count({ where: { buildId: id, listKey: 'lay-cloth' } })).toBe(0)
    await post('measurements', { ...shown(await page('measurements')), 'm.clothWeight': '' })
    expect(await club.db.task.count({ where: { buildId: id, listKey: 'lay-cloth' } })).toBe(1)
  })

  test('what can’t be is refused beside its field and kept', async () => {
    const was = await build()
    const form = shown(await page('measurements'))
    for (const [name, typed, message] of [
      ['m.length', '12', 'Length overall: between 2 and 7 m, not 12: is it feet (3.658 m)?'], ['m.length', '', 'Length overall: fill this in'],
      ['m.areaBottom', '-4', 'Bottom, outside: between 0.5 and 15 m², not -4'], ['m.plyBottom', '0.25', 'Ply of the bottom: 6 mm? 0.25 looks like inches'],
      ['m.clothWeight', '6', 'Cloth on the bottom: 6 looks like oz/yd²: 200 g/m²'], ['m.clothWeight', '30', '0 for none, or between 40 and 600 g/m², not 30'],
      ['m.frameSpan', '24', 'is it inches (609.6 mm)?'], ['m.fillCoats', '2.5', 'a whole number'], ['m.seams', '12 ft', 'is in feet and inches, and this club measures in metres: that is 3.658 m'],
    ] as const) {
      const answer = await post('measurements', { ...form, [name]: typed })
      expect([answer.statusCode, words(answer.body).includes(message)], `${name} ${typed}: ${words(answer.body).slice(0, 900)}`).toEqual([422, true])
      expect(value(answer.body, name) ?? '').toBe(typed)
    }
    expect(await build()).toEqual(was)
  })

  test('a build without a list has panels and seams of its own only', async () => {
    const placeId = (await club.make.place({ bays: 1 })).id
    const own = { list: 'own', grade: 'good', name: 'Punt', design: '', placeId, launchTarget: '', priority: '1', visibility: 'club', team: builder.memberId }
    expect((await builder.post('/builds/new/own', own)).statusCode).toBe(303)
    const punt = await club.db.build.findUniqueOrThrow({ where: { name: 'Punt' } })
    expect(words((await builder.get(`/builds/${punt.id}/measurements`)).body)).toContain('not started from a standard list')
    expect(words((await builder.get(`/builds/${punt.id}/panels`)).body)).toContain('No panels yet')
    const bottom = { name: 'Bottom', count: '1', thickness: '9', grain: 'along', joint: 'butt', how: 'area', area: '3', long: '4000', wide: '900', version: String(punt.version) }
    const answer = await builder.post(`/builds/${punt.id}/panels/new`, bottom)
    expect(answer.statusCode, words(answer.body).slice(0, 500)).toBe(303)
    expect((await geometry(punt.id)).panels?.['own-1']).toMatchObject({ name: 'Bottom', thicknessMm: 9 })
  })
})

describe('a club that measures in feet', () => {
  test('sees and types feet, inches and square feet; ply and cloth as they are sold', async () => {
    await club.db.club.update({ where: { id: 1 }, data: { units: 'imperial' } })
    try {
      const html = await page('panels/side')
      expect(html).toContain(', in in</span>')
      const form = { ...shown(html), how: 'area', area: '12', long: '11\' 6"', wide: '18 1/2', thickness: '1/4 in' }
      const answer = await post('panels/side', form)
      expect(answer.statusCode, words(answer.body).slice(0, 800)).toBe(303)
      // 12 ft² = 1.1148 m²; 11 ft 6 in = 3505.2 mm; 18.5 in = 469.9 mm; a quarter inch is sold as 6 mm, which is what the list has.
      expect((await geometry()).panels?.['side']).toEqual({ outline: { how: 'area', areaM2: 1.1148, lengthMm: 3505.2, widthMm: 469.9 } })
      const again = shown(await page('panels/side'))
      expect([again['area'], again['long'], again['wide'], again['thickness']]).toEqual(['12', '138', '18.5', '6'])
      // Sent as it stands nothing drifts.
      await post('panels/side', again)
      expect((await geometry()).panels?.['side']).toMatchObject({ outline: { areaM2: 1.1148, lengthMm: 3505.2 } })
      const big = await post('panels/side', { ...again, long: '3505' })
      expect(words(big.body)).toContain('is it millimetres (137.99 in)?')
      const start = await builder.get('/builds/new/sailing-dinghy?m.length=12&m.beam=5&grade=good')
      // 600 mm between frames are 23.62 in; 6 mm ply stays 6 mm.
      expect([value(start.body, 'm.frameSpan'), value(start.body, 'm.plyBottom'), value(start.body, 'm.tapeWidth')]).toEqual(['23.62', '6', '3'])
      const short = await builder.get('/builds/new/sailing-dinghy?m.length=3.6&m.beam=5&grade=good')
      // The list reaches from 2 to 7 m; 3.6 m are 11.811 ft.
      expect(words(short.body)).toContain('Length overall: between 6.562 and 22.966 ft, not 3.6: is it metres (11.811 ft)?')
      const measured = shown(await page('measurements'))
      // 3.6 m = 11.811 ft.
      expect(measured['m.length']).toBe('11.811')
      await post('measurements', measured)
      expect((await build()).measurements).toMatchObject({ length: 3.6, beam: 1.5 })
    } finally {
      await club.db.club.update({ where: { id: 1 }, data: { units: 'metric' } })
    }
  })
})
