import { beforeAll, describe, expect, test } from 'vitest'
import { solveHere } from '../../../src/features/planning/jobs/solve.ts'
import { workOut } from '../../../src/features/planning/jobs/work-out.ts'
import type { OptionResult, Results, SheetOption } from '../../../src/features/planning/option-sheets/model.ts'
import { changeFor, leversOf } from '../../../src/features/planning/option-sheets/queries/levers.ts'
import { estimateOf } from '../../../src/features/builds/public.ts'
import { seedCureProducts, seedUsualItems } from '../../../src/features/stores/public.ts'
import { transact } from '../../../src/platform/database.ts'
import { testClub, type Person } from '../../support/app.ts'
import { started } from '../builds/support.ts'
import { day, planNow, textOf } from './club.ts'
import { stores } from './stock.ts'

// Saturday 30 May 2026, 10:00 in Berlin.
const club = await testClub({ now: '2026-05-30T08:00:00Z' })
const { db, make } = club
let ann: Person & { memberId: string }
let helper: Person & { memberId: string }
let buildId: string
let other: string

/** A club of five with 40 weekends before it, priced stores, a dinghy of 6 mm with glass on the bottom, and a second build at work. */
beforeAll(async () => {
  ann = await club.signedIn(['keyholder', 'builder'], { name: 'Ann' })
  helper = await club.signedIn(['helper'], { name: 'Bo' })
  const team = [ann.memberId, helper.memberId]
  for (const name of ['Cai', 'Dee', 'Eli']) team.push((await make.member(['builder'], { name })).id)
  const site = await make.site({ name: 'The shed' })
  const place = await make.place({ siteId: site.id, name: 'Main floor', bays: 3, settleMin: 60 })
  const monday = Date.parse('2026-05-25T00:00:00Z')
  for (let week = 0; week < 40; week++) {
    for (const at of [5, 6]) {
      const date = new Date(monday + (week * 7 + at) * 86_400_000)
      await db.session.create({
        data: { siteId: site.id, date, starts: '10:00', ends: '18:00', keyholderId: ann.memberId, attendance: { create: team.map((memberId) => ({ memberId, answer: 'coming' as const })) } },
      })
    }
  }
  await transact(db, async (tx) => {
    await seedCureProducts(tx)
    await seedUsualItems(tx)
  })
  const shelf = stores(club, ann.memberId)
  /** Whether or not it is among the usual items, it is sold by the unit at this price. */
  const sold = async (name: string, kind: 'ply' | 'cloth' | 'timber', unit: 'pcs' | 'm2' | 'm', cents: number, over = {}) => {
    const item = (await db.item.findUnique({ where: { name } })) ?? (await shelf.item(name, { kind, unit, leadDays: 14, ...over }))
    await db.itemPack.deleteMany({ where: { itemId: item.id } })
    await shelf.pack(item.id, 'one', 1000, cents)
  }
  const sheet = { widthMm: 1220, lengthMm: 2440 }
  await sold('Okoume plywood 4 mm', 'ply', 'pcs', 52_00, { ...sheet, thicknessMm: 4 })
  await sold('Okoume plywood 6 mm', 'ply', 'pcs', 64_00, { ...sheet, thicknessMm: 6 })
  await sold('Okoume plywood 5 mm', 'ply', 'pcs', 58_00, { ...sheet, thicknessMm: 5 })
  await sold('Glass cloth 80 g/m²', 'cloth', 'm2', 7_00, { widthMm: 1000, arealMass: 80 })
  // A gram of resin 2 cents, of hardener 3; the rest by a plain price for what a pack holds.
  for (const p of await db.itemPack.findMany({ include: { item: true }, where: { priceCents: 0 } })) {
    const each = p.item.kind === 'resin' ? 2 : p.item.kind === 'hardener' ? 3 : p.item.unit === 'g' || p.item.unit === 'ml' ? 2 : 100
    await db.itemPack.update({ where: { id: p.id }, data: { priceCents: Math.round((Number(p.qtyMilli) / 1000) * each) } })
  }
  for (const i of await db.item.findMany({ where: { unit: { in: ['g', 'ml'] } } })) await shelf.lot(i.id, 12_000_000)
  for (const size of ['20 × 45', '30 × 60']) await sold(`Timber ${size} mm`, 'timber', 'm', 4_00)
  await db.cureProduct.updateMany({ where: { name: { in: ['Epoxy, slow hardener', 'Wood-epoxy glue, thickened'] } }, data: { ratioA: 100, ratioB: 44, ratioBy: 'mass' } })
  // What the club has said that the list's names stand for.
  const items = new Map((await db.item.findMany()).map((i) => [i.name, i.id]))
  const same = ['Okoume plywood 6 mm', 'Glass tape 75 mm, 200 g/m²', 'Wood flour', 'Silica thickener', 'Fairing compound', 'Primer', 'Topcoat', 'Varnish', 'Sanding discs', 'Copper wire or cable ties', 'Timber 20 × 45 mm', 'Timber 30 × 60 mm']
  await db.materialName.createMany({
    data: [{ name: 'Mixed epoxy', mixed: true }, { name: 'Glass cloth 200 g/m²', itemId: (items.get('Glass cloth 200 g/m²') ?? items.get('Glass cloth'))! }, ...same.map((name) => ({ name, itemId: items.get(name)! }))],
  })
  buildId = await started(club, ann, { name: 'Sanderling', placeId: place.id, team, launchTarget: '', 'competence.Bandsaw': '' })
  other = (await make.build({ name: 'Tern', placeId: place.id, startedOn: day('2026-05-01') }, [helper.memberId])).id
  const phase = await make.phase(other)
  await db.task.create({ data: { buildId: other, phaseId: phase.id, position: 1, name: 'Plane the mast', kind: 'shared', workLowMin: 3000, workLikelyMin: 3000, workHighMin: 3000, smallestMin: 60 } })
  await planNow(club)
}, 120_000)

const VARY = ['plyBottom', 'clothWeight', 'bottomCoats']
const THREE = {
  question: 'Bottom: thin ply and glass, or the next thickness?', vary: VARY,
  'o0.name': '6 mm bare', 'o0.plyBottom': '6', 'o0.clothWeight': '0', 'o0.bottomCoats': '0',
  'o1.name': '4 mm with glass', 'o1.plyBottom': '4', 'o1.clothWeight': '80', 'o1.bottomCoats': '3',
  'o2.name': '6 mm coated', 'o2.plyBottom': '6', 'o2.clothWeight': '0', 'o2.bottomCoats': '3',
}
const at = (of = buildId) => `/builds/${of}/options`
const asked = async (fields: Record<string, string | readonly string[]> = THREE, of = buildId): Promise<string> => {
  const answer = await ann.post(at(of), fields)
  expect(answer.statusCode, textOf(answer.body).slice(0, 1500)).toBe(303)
  return String(answer.headers.location).split('/').at(-1)!
}
const rowOf = async (id: string) => db.optionSheet.findUniqueOrThrow({ where: { id } })
const ctx = () => make.ctx(ann.memberId)
/** Planned in this very thread. */
const worked = async (options: readonly SheetOption[], of = buildId): Promise<Results> => {
  const done = await workOut({ db, solver: solveHere, log: { error: () => undefined }, club: null }, ctx(), of, options)
  if (!done.ok) throw new Error(JSON.stringify(done.refusal))
  return done.value
}

/** Every row of what an option could change, with its version. */
async function everything(): Promise<unknown> {
  const counts = await db.$queryRaw<unknown[]>`
    select (select count(*) from task)::int as tasks, (select count(*) from link)::int as links, (select count(*) from task_material)::int as materials, (select count(*) from audit_row)::int as audits,
      (select count(*) from plan_request)::int as requests, (select count(*) from plan)::int as plans, (select count(*) from hold)::int as holds, (select count(*) from step)::int as steps`
  const versions = await db.task.findMany({ select: { id: true, version: true, workLikelyMin: true, position: true }, orderBy: { id: 'asc' } })
  const materials = await db.taskMaterial.findMany({ select: { id: true, name: true, likely: true, itemId: true, productId: true }, orderBy: { id: 'asc' } })
  const builds = await db.build.findMany({ orderBy: { id: 'asc' } })
  return { counts, versions, materials, builds }
}

describe('starting a sheet', () => {
  test('presets are filled from her own figures, and anything else is chosen from her list', async () => {
    const list = textOf((await ann.get(at())).body)
    expect(list).toContain('Thin ply with glass, or the next thickness?')
    expect(list).toContain('Paint or varnish inside?')
    const form = (await ann.get(`${at()}/new?preset=ply`)).body
    expect(form).toMatch(/name="o0\.name"[^>]*value="6 mm with 200 g\/m² glass"/)
    expect(form).toMatch(/name="o1\.plyBottom"[^>]*value="4"/)
    expect(form).toMatch(/name="o2\.clothWeight"[^>]*value="0"/)
    expect(textOf(form)).toContain('ask the designer')
    expect(textOf((await ann.get(`${at()}/new`)).body)).toContain('Ply of the bottom 6 mm')
    const none = await ann.get(`${at()}/new?choose=1`)
    expect(none.statusCode).toBe(422)
    expect(textOf(none.body)).toContain('Choose at least one measurement that the options differ in')
    expect((await ann.get(`${at()}/new?vary=frameSpan&vary=plyBottom`)).body).toMatch(/name="o3\.frameSpan"/)
  })

  test('what can’t be is told at its field, what was typed stays, and nothing is kept', async () => {
    const before = await db.optionSheet.count()
    for (const [over, field, message] of [
      [{ question: '' }, 'question', 'Ask a question'],
      [{ 'o1.plyBottom': '60' }, 'o1.plyBottom', 'between 3 and 15 mm, not 60'],
      [{ 'o1.plyBottom': '0.25' }, 'o1.plyBottom', '0.25 looks like inches'],
      [{ 'o1.clothWeight': '6' }, 'o1.clothWeight', '6 looks like oz/yd²: 200 g/m²'],
      [{ 'o2.bottomCoats': '0' }, 'o2.name', '“6 mm coated” is the same as “6 mm bare”'],
      [{ 'o1.name': '6 mm bare' }, 'o1.name', 'Two options are called “6 mm bare”'],
    ] as const) {
      const answer = await ann.post(at(), { ...THREE, ...over })
      expect(answer.statusCode, field).toBe(422)
      expect(textOf(answer.body)).toContain(message)
      const typed = (over as Record<string, string>)[field]
      if (typed) expect(answer.body).toContain(`value="${typed}"`)
      expect(answer.body).toMatch(new RegExp(`name="${field.replace('.', '\\.')}"[^>]*aria-invalid="true"`))
    }
    const one = await ann.post(at(), { question: 'One?', vary: ['plyBottom'], 'o0.name': 'Only', 'o0.plyBottom': '4' })
    expect(textOf(one.body)).toContain('Name a second option')
    expect((await ann.post(at(), { question: 'None?', vary: ['gold'], 'o0.name': 'A', 'o1.name': 'B' })).statusCode).toBe(422)
    expect(await db.optionSheet.count()).toBe(before)
  })

  test('a kit has a price: the stores’, or one that is typed', async () => {
    const kit = { question: 'Kit?', vary: ['kit'], 'o0.name': 'Sheets', 'o0.kit': '0', 'o1.name': 'Kit', 'o1.kit': '1' }
    const without = await ann.post(at(), kit)
    expect(without.statusCode).toBe(422)
    expect(textOf(without.body)).toContain('What does the kit cost?')
    expect(textOf((await ann.post(at(), { ...kit, 'price.Kit of cut panels': 'dear' })).body)).toContain('“dear” is no sum')
    const id = await asked({ ...kit, 'price.Kit of cut panels': '890' })
    expect(((await rowOf(id)).options as unknown as SheetOption[])[1]).toEqual({ name: 'Kit', values: { kit: 1 }, prices: { 'Kit of cut panels': { cents: 890_00, unit: 'pcs' } } })
  })

  test('a build without a list has nothing to vary, and a launched one nothing left to choose', async () => {
    expect(textOf((await ann.get(at(other))).body)).toContain('She was not started from a standard job list')
    const officer = await club.signedIn(['officer'])
    const refusedIt = await officer.post(at(other), THREE)
    expect(refusedIt.statusCode).toBe(422)
    expect(textOf(refusedIt.body)).toContain('not started from a standard job list')
    const gone = await make.build({ name: 'Away', state: 'launched' }, [])
    const launched = await officer.post(at(gone.id), THREE)
    expect(launched.statusCode).toBe(422)
    expect(textOf(launched.body)).toContain('She is launched')
  })

  test('whoever is not on her team may read, not change; no other build’s sheet is reached through hers', async () => {
    const id = await asked()
    const visitor = await club.signedIn(['helper'])
    expect((await visitor.get(`${at()}/${id}`)).statusCode).toBe(200)
    for (const what of ['work', 'take', 'remove', 'edit']) expect((await visitor.post(`${at()}/${id}/${what}`, { version: '1' })).statusCode).toBe(403)
    expect((await visitor.post(at(), THREE)).statusCode).toBe(403)
    expect((await ann.get(`${at(other)}/${id}`)).statusCode).toBe(404)
    const removed = await ann.post(`${at()}/${id}/remove`, { version: '1' })
    expect(removed.statusCode).toBe(303)
    expect((await ann.get(`${at()}/${id}`)).statusCode).toBe(404)
  })

  test('options changed are no longer worked out; a stale page is told', async () => {
    const id = await asked()
    await db.optionSheet.update({ where: { id }, data: { results: { buildVersion: 1, planId: null, now: 0, options: [] }, workedAt: club.clock.now(), version: 2 } })
    expect((await ann.post(`${at()}/${id}/edit`, { ...THREE, version: '1' })).statusCode).toBe(409)
    expect((await ann.post(`${at()}/${id}/edit`, { ...THREE, 'o2.bottomCoats': '2', version: '2' })).statusCode).toBe(303)
    expect(await rowOf(id)).toMatchObject({ results: null, workedAt: null, version: 3 })
  })
})

describe('working it out', () => {
  const options = async (id: string) => (await rowOf(id)).options as unknown as SheetOption[]
  let results: Results
  let of: OptionResult[]
  beforeAll(async () => {
    const id = await asked()
    const before = await everything()
    results = await worked(await options(id))
    of = [...results.options]
    expect(await everything()).toEqual(before)
  }, 60_000)

  test('nothing of hers is changed by it: rows, versions, requests and what was written down are as before', () => {
    // Looked at around the working out, above.
    expect(of).toHaveLength(3)
    expect(of.every((o) => o.isAsSheIs)).toBe(false)
  })

  test('money, weight, stiffness, hours, launch and resin move together', () => {
    const [bare, glass, coated] = of as [OptionResult, OptionResult, OptionResult]
    expect(new Set(of.map((o) => Math.round(o.cents.likely))).size).toBe(3)
    expect(new Set(of.map((o) => Math.round(o.kg.likely * 1000))).size).toBe(3)
    for (const o of of) expect(o.launch, o.whyNot ?? '').not.toBeNull()
    // Coats take resin, hours and weight that bare ply doesn't.
    expect(coated.epoxyG.likely).toBeGreaterThan(bare.epoxyG.likely)
    expect(coated.kg.likely).toBeGreaterThan(bare.kg.likely)
    expect(coated.hours.likely).toBeGreaterThan(bare.hours.likely)
    expect(coated.leftMin - bare.leftMin).toBeGreaterThan(0)
    // Three coats more, each with its wait, on weekends: she is launched later.
    expect(coated.launch!.start).toBeGreaterThan(bare.launch!.start)
    expect(coated.missed).toBeGreaterThanOrEqual(bare.missed)
    expect(glass.epoxyG.likely).toBeGreaterThan(bare.epoxyG.likely)
    const resin = (o: OptionResult) => o.resin.find((r) => r.name === 'Epoxy resin')!.milli
    // What more she takes is what less is left: the plan takes all of it before the launch.
    expect(resin(bare)).toBeGreaterThan(resin(coated))
    // Bare and coated ply are as stiff; 4 mm with one thin skin is softer than 6 mm: stiffness goes with the cube.
    expect(bare.panel!.along).toBe(coated.panel!.along)
    expect(glass.panel!.along).toBeLessThan(bare.panel!.along)
    expect(glass.panel!.deflectionMm / bare.panel!.deflectionMm).toBeCloseTo(bare.panel!.along / glass.panel!.along, 9)
    expect(glass.tasks.kept).toEqual([])
    expect(bare.tasks.removed.length).toBeGreaterThan(0)
  })

  test('glassing the next thinner ply costs more than the thickness itself and saves about half a kilo (common practice, no source)', async () => {
    const of = (name: string, plyBottom: number, clothWeight: number): SheetOption => ({ name, values: { plyBottom, clothWeight, bottomCoats: 0 }, prices: {} })
    const [six, five] = (await worked([of('6 mm bare', 6, 0), of('5 mm with glass', 5, 80)])).options as [OptionResult, OptionResult]
    expect(five.cents.likely).toBeGreaterThan(six.cents.likely)
    expect(five.hours.likely).toBeGreaterThan(six.hours.likely)
    expect(six.kg.likely - five.kg.likely).toBeGreaterThan(0.2)
    expect(six.kg.likely - five.kg.likely).toBeLessThan(1)
  }, 60_000)

  test('a figure that an option names stays as it is said, also where its guess would follow another change', async () => {
    const levers = await leversOf(db, buildId)
    // A good finish guesses 3 fill coats on 200 g/m² and 2 below 100 g/m².
    expect(levers.find((l) => l.key === 'fillCoats')).toMatchObject({ now: 3, isGuess: true })
    expect(await changeFor(db, buildId, { clothWeight: 80, fillCoats: 3 }, levers)).toEqual({ clothWeight: 80, fillCoats: 3 })
    expect(await changeFor(db, buildId, { clothWeight: 80, fillCoats: 2 }, levers)).toEqual({ clothWeight: 80, fillCoats: 2 })
    expect(await changeFor(db, buildId, { clothWeight: 80, plyBottom: 6 }, levers)).toEqual({ clothWeight: 80 })
    expect(await changeFor(db, buildId, { clothWeight: 200, fillCoats: 3 }, levers)).toEqual({})
  })

  test('the same question gives the same answer', async () => {
    const again = await worked(await options(await asked()))
    expect(again.options).toEqual(of)
  })
})

describe('the page', () => {
  test('works it out in a thread, shows it side by side, and says who wins at what', async () => {
    const id = await asked()
    const before = await everything()
    expect(textOf((await ann.get(`${at()}/${id}`)).body)).toContain('Not worked out yet')
    const answer = await ann.post(`${at()}/${id}/work`, { version: '1' })
    expect(answer.statusCode, textOf(answer.body).slice(0, 800)).toBe(303)
    expect(await everything()).toEqual(before)
    const page = (await ann.get(`${at()}/${id}`)).body
    const text = textOf(page)
    expect(text).toMatch(/(6 mm bare|4 mm with glass|6 mm coated) is [a-z, ]*(cheapest|soonest|lightest|stiffest)/)
    for (const heading of ['Materials cost', 'What stays in her weighs', 'Bottom panel: stiffness along', 'Hours for the whole boat', 'Launch', 'Recoat windows let go', 'Resin left at her launch', 'Other builds']) expect(text).toContain(heading)
    expect(text).toContain('not scantlings')
    // Without the right to money there is none.
    const plain = textOf((await helper.get(`${at()}/${id}`)).body)
    expect(plain).toContain('What stays in her weighs')
    expect(plain).not.toMatch(/€|Materials cost|cheapest/)
    // Once her measurements change, it says so.
    await db.build.update({ where: { id: buildId }, data: { version: { increment: 1 } } })
    expect(textOf((await ann.get(`${at()}/${id}`)).body)).toContain('Her measurements or choices have changed since this was worked out')
  }, 60_000)

  test('two people at once: one is told that it was worked out meanwhile, and both see the same whole result; a form sent twice counts once', async () => {
    const id = await asked()
    const once = make.once()
    const [one, two, same] = await Promise.all([ann.post(`${at()}/${id}/work`, { version: '1', once }), ann.post(`${at()}/${id}/work`, { version: '1' }), ann.post(`${at()}/${id}/work`, { version: '1', once })])
    expect([one.statusCode, two.statusCode, same.statusCode].sort()).toEqual([303, 303, 409])
    expect(textOf(two.body)).toContain('or worked it out, meanwhile')
    const row = await rowOf(id)
    expect(row.version).toBe(2)
    expect((row.results as unknown as Results).options).toHaveLength(3)
  }, 60_000)

  test('a price that the stores don’t have is typed on the sheet, and then counts', async () => {
    const id = await asked({ question: 'Kit?', vary: ['kit'], 'o0.name': 'Sheets', 'o0.kit': '0', 'o1.name': 'Kit', 'o1.kit': '1', 'price.Kit of cut panels': '890' })
    expect((await ann.post(`${at()}/${id}/work`, { version: '1', 'price.Kit of cut panels': '890.00' })).statusCode).toBe(303)
    const first = (await rowOf(id)).results as unknown as Results
    const wrong = await ann.post(`${at()}/${id}/work`, { version: '2', 'price.Kit of cut panels': 'dear' })
    expect(wrong.statusCode).toBe(422)
    expect(wrong.body).toContain('value="dear"')
    expect((await ann.post(`${at()}/${id}/work`, { version: '2', 'price.Kit of cut panels': '990.00' })).statusCode).toBe(303)
    const second = (await rowOf(id)).results as unknown as Results
    // A hundred more for one kit; sheets cost what they did.
    expect(second.options[1]!.cents.likely - first.options[1]!.cents.likely).toBe(100_00)
    expect(second.options[0]!.cents).toEqual(first.options[0]!.cents)
    // Lofting and cutting fall away, and with them hours.
    expect(second.options[1]!.hours.likely).toBeLessThan(second.options[0]!.hours.likely)
  }, 60_000)
})

describe('what changes round her', () => {
  test('a new plan makes a sheet stale, softly; paused, she has no launch and says so', async () => {
    const id = await asked()
    const results = { ...(await worked((await rowOf(id)).options as unknown as SheetOption[])), planId: '0' }
    await db.optionSheet.update({ where: { id }, data: { results: results as unknown as object, workedAt: club.clock.now() } })
    expect(textOf((await ann.get(`${at()}/${id}`)).body)).toContain('The work plan has changed since this was worked out')
    await db.build.update({ where: { id: buildId }, data: { state: 'paused' } })
    const paused = await worked((await rowOf(id)).options as unknown as SheetOption[])
    expect(paused.options.map((o) => [o.launch, o.whyNot])).toEqual(Array(3).fill([null, 'she is paused, so nothing is planned']))
    expect(textOf((await ann.get(`${at()}/${id}`)).body)).toContain('She is paused, so nothing is planned for her')
    await db.build.update({ where: { id: buildId }, data: { state: 'active' } })
  }, 60_000)
})

describe('taking one', () => {
  test('a change that strength hangs on asks what the designer said, and nothing is changed before', async () => {
    const id = await asked()
    const before = await everything()
    const no = await ann.post(`${at()}/${id}/take`, { version: '1', option: '1', designer: '' })
    expect(no.statusCode).toBe(422)
    expect(textOf(no.body)).toContain('write what the designer said to it')
    expect((await ann.post(`${at()}/${id}/take`, { version: '1' })).statusCode).toBe(422)
    expect(await everything()).toEqual(before)
  })

  test('the option becomes the boat: tasks follow, a plan is asked for, what was begun stays and is told, and it is written down', { timeout: 60_000 }, async () => {
    const id = await asked()
    const begun = await db.task.findFirstOrThrow({ where: { buildId, listKey: { startsWith: 'sheath-' } }, orderBy: { position: 'asc' } })
    await db.task.update({ where: { id: begun.id }, data: { startedAt: club.clock.now() } })
    const foretold = (await worked((await rowOf(id)).options as unknown as SheetOption[])).options[2]!
    expect(foretold.tasks.kept).toContain(begun.name)
    const requests = await db.planRequest.count()
    const answer = await ann.post(`${at()}/${id}/take`, { version: '1', option: '2', designer: 'By letter of 12 May: 6 mm without glass is enough on this span.' })
    expect(answer.statusCode, textOf(answer.body).slice(0, 800)).toBe(303)
    expect(await db.planRequest.count()).toBeGreaterThan(requests)
    const build = await db.build.findUniqueOrThrow({ where: { id: buildId } })
    expect(build.measurements).toMatchObject({ clothWeight: 0 })
    // What she was already is not written down as measured.
    expect(build.measurements).not.toHaveProperty('plyBottom')
    expect(await db.task.count({ where: { id: begun.id } })).toBe(1)
    expect(await db.task.count({ where: { buildId, listKey: 'lay-cloth' } })).toBe(0)
    expect(await db.task.count({ where: { buildId, listKey: { startsWith: 'seal-bottom' } } })).toBeGreaterThan(0)
    expect(await rowOf(id)).toMatchObject({ takenIndex: 2, takenBy: ann.memberId, designerSaid: 'By letter of 12 May: 6 mm without glass is enough on this span.' })
    const flash = textOf((await ann.get(`${at()}/${id}`, { cookie: String(answer.headers['set-cookie']).split(';')[0]! })).body)
    expect(flash).toContain('By letter of 12 May')
    expect(await db.auditRow.findFirst({ where: { what: 'option taken', entityId: id } })).toMatchObject({ buildId, memberId: ann.memberId })
    // She has become what the sheet said: to the cent and the gram, and the plan launches her in the week it foretold.
    const now = await estimateOf(db, buildId)
    if (!now.ok) throw new Error(JSON.stringify(now.refusal))
    expect([now.value.totals.cents, now.value.totals.kg, now.value.totals.hours]).toEqual([foretold.cents, foretold.kg, foretold.hours])
    await planNow(club)
    const launch = await db.planBuild.findFirstOrThrow({ where: { buildId }, orderBy: { planId: 'desc' } })
    expect(Math.abs(launch.launchAt!.getTime() / 60_000 - foretold.launch!.start)).toBeLessThan(7 * 1440)
    // The sheet is kept as it is.
    expect((await ann.post(`${at()}/${id}/edit`, { ...THREE, version: '2' })).statusCode).toBe(422)
    expect((await ann.post(`${at()}/${id}/remove`, { version: '2' })).statusCode).toBe(422)
    expect(textOf((await ann.get(at())).body)).toContain('6 mm coated')
  })

  test('as she is now needs nobody’s yes and changes no task', async () => {
    const id = await asked()
    const before = await db.task.count({ where: { buildId } })
    const answer = await ann.post(`${at()}/${id}/take`, { version: '1', option: '2', designer: '' })
    expect(answer.statusCode).toBe(303)
    expect(await db.task.count({ where: { buildId } })).toBe(before)
  })

  test('what measured panels say by now is no choice any more: neither worked out nor taken as if it were', async () => {
    const of = await started(club, ann, { name: 'Decked', team: [ann.memberId], launchTarget: '', 'competence.Bandsaw': '' })
    const id = await asked({ question: 'A foredeck?', vary: ['areaDeck'], 'o0.name': 'Small', 'o0.areaDeck': '0.9', 'o1.name': 'Large', 'o1.areaDeck': '1.4' }, of)
    // Someone measures the deck meanwhile: 1.2 m².
    await db.build.update({ where: { id: of }, data: { geometry: { panels: { deck: { outline: { how: 'area', areaM2: 1.2, lengthMm: 1500, widthMm: 1200 } } } } } })
    const before = await db.build.findUniqueOrThrow({ where: { id: of } })
    for (const [what, fields] of [['take', { option: '1', designer: 'Yes, 2 May.' }], ['work', {}]] as const) {
      const no = await ann.post(`${at(of)}/${id}/${what}`, { version: '1', ...fields })
      expect([what, no.statusCode]).toEqual([what, 422])
      expect(textOf(no.body)).toContain('follows from her measured panels')
    }
    expect(await db.build.findUniqueOrThrow({ where: { id: of } })).toEqual(before)
    expect(await rowOf(id)).toMatchObject({ version: 1, takenIndex: null, results: null })
  })
})
