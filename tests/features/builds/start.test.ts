import { beforeAll, describe, expect, test } from 'vitest'
import { testClub, type Person } from '../../support/app.ts'
import { started, startFields, words } from './support.ts'

const NOW = '2026-06-06T09:00:00Z'
const club = await testClub({ now: NOW })
let builder: Person & { memberId: string }
beforeAll(async () => {
  builder = await club.signedIn(['builder'], { name: 'Ann Tern' })
})
const START = '/builds/new/sailing-dinghy'

describe('starting a build from the dinghy list', () => {
  test('every page of a started build shows', async () => {
    expect((await builder.get('/builds')).statusCode).toBe(200)
    expect(words((await builder.get('/builds/new')).body)).toContain('Stitch-and-glue sailing dinghy')
    const id = await started(club, builder, { name: 'All pages' })
    const task = await club.db.task.findFirstOrThrow({ where: { buildId: id, listKey: 'precoat-2' } })
    for (const path of ['', '/started', '/edit', '/team', '/pause', '/measurements', '/holds', '/tasks/new', `/tasks/${task.id}`, `/tasks/${task.id}/edit`, `/tasks/${task.id}/split`]) {
      const page = await builder.get(`/builds/${id}${path}`)
      expect(page.statusCode, path + words(page.body).slice(0, 600)).toBe(200)
      expect(page.body, path).not.toContain('[object Object]')
    }
  })

  test('length and beam are asked first, the rest is worked out from them and marked a guess', async () => {
    const first = words((await builder.get(START)).body)
    expect(first).toContain('Work out the rest')
    expect(first).not.toContain('Start her')
    const page = await builder.get(`${START}?m.length=4.2&m.beam=1.6&grade=show`)
    // Seams are guessed at 3 x length: 12.6 m. A show finish has 4 fill coats.
    expect(page.body).toMatch(/name="m\.seams"[^>]*value="12\.6"/)
    expect(page.body).toMatch(/name="g\.seams" value="12\.6"/)
    expect(page.body).toMatch(/name="m\.fillCoats"[^>]*value="4"/)
    expect(words(page.body)).toContain('A guess until you change it')
    expect(words(page.body)).toContain('Start her')
  })

  test('how practised her team is, is asked first and kept', async () => {
    expect(words((await builder.get(START)).body)).toContain('How practised is her team')
    const page = await builder.get(`${START}?m.length=4&m.beam=1.5&grade=good&skill=first`)
    expect(page.body).toMatch(/name="skill" value="first"/)
    const id = await started(club, builder, { name: 'First boat', skill: 'first' })
    expect((await club.db.build.findUniqueOrThrow({ where: { id } })).skill).toBe('first')
    // 7.5 m² x 140 g/m² with 20 % waste on a first boat: 1260 g.
    const { materials } = await club.db.task.findFirstOrThrow({ where: { buildId: id, listKey: 'precoat-1' }, include: { materials: { where: { line: 'inside.seal-first' } } } })
    expect(materials.map((m) => [m.likely, m.ruleKey, m.factor])).toEqual([[1260, 'seal-first', 1]])
  })

  test('a length that can’t be is told at its field and kept', async () => {
    for (const [typed, message] of [['40', 'between 2 and 7'], ['long', '“long” is not a number']] as const) {
      const page = await builder.get(`${START}?m.length=${typed}&m.beam=1.6&grade=good`)
      expect(words(page.body)).toContain(message)
      expect(page.body).toContain(`value="${typed}"`)
    }
  })

  test('names of the list become rows of the club: added, matched or left out, and the page says which', async () => {
    const clamps = await club.make.tool({ name: 'Clamps of the club', count: 4 })
    const tent = await club.make.place({ name: 'Paint tent', bays: 1 })
    const id = await started(club, builder, { name: 'Mapped', 'tool.Clamps': clamps.id, 'tool.Jigsaw': '', 'place.tent': tent.id })
    const glue = await club.db.task.findFirstOrThrow({ where: { buildId: id, listKey: 'glue-scarfs-bottom' }, include: { tools: true, product: true } })
    // The list asks for 8 clamps, held until handleable; the club has 4.
    expect(glue.tools.find((t) => t.toolId === clamps.id)).toMatchObject({ count: 4, heldUntil: 'handleable' })
    expect(glue.product?.name).toBe('Wood-epoxy glue, thickened')
    const bench = await club.db.tool.findUniqueOrThrow({ where: { name: 'Long bench' } })
    expect(glue.tools.some((t) => t.toolId === bench.id)).toBe(true)
    const cut = await club.db.task.findFirstOrThrow({ where: { buildId: id, listKey: 'cut-panels' }, include: { tools: { include: { tool: true } } } })
    expect(cut.tools.map((t) => t.tool.name)).not.toContain('Jigsaw')
    const paint = await club.db.task.findMany({ where: { buildId: id, product: { kind: 'paint' } }, include: { places: true } })
    expect(paint.length).toBeGreaterThan(3)
    for (const t of paint) expect(t.places.map((p) => p.placeId)).toEqual([tent.id])
    const page = words((await builder.get(`/builds/${id}/started`)).body)
    expect(page).toContain('“Jigsaw” was left out')
    expect(page).toContain('Tasks ask for')
    // Turning her over takes four, and this club has fewer members.
    expect(await club.db.member.count({ where: { isActive: true } })).toBeLessThan(4)
    expect(page).toMatch(/asks for 4 hands and the club has \d members?/)
    expect(await club.db.hold.count({ where: { buildId: id, toolId: null } })).toBe(1)
  })

  test('a product without a match, a name that is taken, a target that has passed: refused, kept, nothing started', async () => {
    const placeId = (await club.make.place({ bays: 1 })).id
    const before = await club.db.build.count()
    for (const [over, message] of [
      [{ 'product.epoxy': '' }, 'Choose a cure product'], [{ name: 'Mapped' }, 'There is a build called “Mapped” already'], [{ launchTarget: '2026-01-01' }, 'In the past'],
      [{ 'm.seams': 'twelve' }, '“twelve” is not a number'], [{ 'm.fillCoats': '2.5' }, 'a whole number'], [{ priority: '0' }, 'Priority: a number from 0.1 to 100'],
    ] as const) {
      const answer = await builder.post(START, { ...(await startFields(club, { name: 'Refused', design: 'kept as typed' })), placeId, ...over })
      expect(answer.statusCode, JSON.stringify(over)).toBe(422)
      expect(words(answer.body)).toContain(message)
      expect(answer.body).toContain('value="kept as typed"')
    }
    expect(await club.db.build.count()).toBe(before)
    // A refused start adds no tools either.
    const more = await builder.post(START, { ...(await startFields(club, { name: 'Mapped' })), placeId, 'tool.Router': 'add', 'competence.Router': 'add' })
    expect(more.statusCode).toBe(422)
    expect(await club.db.competence.count({ where: { name: 'Router' } })).toBe(0)
  })

  test('a guess that stands stays a guess; measured anew, tasks nobody touched follow', async () => {
    const id = await started(club, builder, { name: 'Measured', 'm.seams': '12', 'g.seams': '12', 'm.areaInside': '9', 'g.areaInside': '7.5' })
    const build = await club.db.build.findUniqueOrThrow({ where: { id } })
    expect(build.measurements).toEqual({ length: 4, beam: 1.5, areaInside: 9 })
    const task = (listKey: string) => club.db.task.findFirstOrThrow({ where: { buildId: id, listKey }, include: { materials: true } })
    const [coat, scuff] = [await task('precoat-1'), await task('scuff-precoat')]
    // 140 g/m² on bare ply and 15 % waste: 9 m² take 1260 g x 1.15 = 1449 g.
    const likely = (t: typeof coat) => t.materials.find((m) => m.line === 'inside.seal-first')!.likely
    expect(likely(coat)).toBe(1449)
    await club.db.task.update({ where: { id: scuff.id }, data: { workLikelyMin: 100, workHighMin: 200 } })
    const form = { 'm.length': '4', 'm.beam': '1.5', 'm.areaInside': '6', grade: 'good', version: String(build.version) }
    const answer = await builder.post(`/builds/${id}/measurements`, form)
    expect(answer.statusCode, words(answer.body)).toBe(303)
    // Smaller: 6 m² take 840 g x 1.15 = 966 g. The task that somebody changed by hand stays.
    expect(likely(await task('precoat-1'))).toBe(966)
    expect((await task('precoat-1')).workLikelyMin).toBeLessThan(coat.workLikelyMin)
    expect((await task('scuff-precoat')).workLikelyMin).toBe(100)
    const stale = await builder.post(`/builds/${id}/measurements`, form)
    expect(stale.statusCode).toBe(409)
  })
})

describe('a build without a list', () => {
  test('starts empty, and takes a task with a phase of its own', async () => {
    expect(words((await builder.get('/builds/new/own')).body)).toContain('Start her')
    const placeId = (await club.make.place({ bays: 1 })).id
    const answer = await builder.post('/builds/new/own', { list: 'own', grade: 'good', name: 'Punt', design: '', placeId, launchTarget: '', priority: '1', visibility: 'club', team: builder.memberId })
    expect(answer.statusCode, words(answer.body)).toBe(303)
    const { id } = await club.db.build.findUniqueOrThrow({ where: { name: 'Punt' } })
    for (const path of ['', '/started', '/tasks/new']) expect((await builder.get(`/builds/${id}${path}`)).statusCode).toBe(200)
    const task = { name: 'Saw planks', newPhase: 'Hull', kind: 'shared', low: '1', likely: '1', high: '2', handsFrom: '1', handsTo: '1', smallest: '', where: 'boat' }
    expect((await builder.post(`/builds/${id}/tasks/new`, task)).statusCode).toBe(303)
    expect(words((await builder.get(`/builds/${id}`)).body)).toContain('Hull 0 of 1 done')
  })
})

describe('a build as a whole', () => {
  test('team, pause and going on, name and target', async () => {
    const id = await started(club, builder, { name: 'Whole' })
    const version = async () => String((await club.db.build.findUniqueOrThrow({ where: { id } })).version)
    const mate = await club.make.member(['builder'], { name: 'Ben Knot' })
    expect((await builder.post(`/builds/${id}/team`, { version: await version(), team: [builder.memberId, mate.id] })).statusCode).toBe(303)
    expect(await club.db.buildMember.count({ where: { buildId: id } })).toBe(2)
    await builder.post(`/builds/${id}/pause`, { version: await version(), note: 'Exams until July' })
    const page = words((await builder.get(`/builds/${id}`)).body)
    expect(page).toContain('Exams until July')
    expect(page).not.toMatch(/late|overdue/i)
    const again = await builder.post(`/builds/${id}/pause`, { version: await version(), note: '' })
    expect(again.statusCode).toBe(422)
    await builder.post(`/builds/${id}/resume`, { version: await version() })
    expect((await club.db.build.findUniqueOrThrow({ where: { id } })).state).toBe('active')
    const old = await version()
    const { placeId } = await club.db.build.findUniqueOrThrow({ where: { id } })
    const fields = { name: 'Whole and hale', design: '', placeId, launchTarget: '2026-12-24', priority: '2', visibility: 'team' }
    expect((await builder.post(`/builds/${id}/edit`, { ...fields, version: old })).statusCode).toBe(303)
    const stale = await builder.post(`/builds/${id}/edit`, { ...fields, name: 'Mine instead', version: old })
    expect(stale.statusCode).toBe(409)
    expect(words(stale.body)).toContain('Stored meanwhile: Whole and hale')
    expect(stale.body).toContain('value="Mine instead"')
  })

  test('one seen by her team only is not in others’ lists', async () => {
    const id = await started(club, builder, { name: 'Hidden one', visibility: 'team' })
    const stranger = await club.signedIn(['builder', 'keyholder', 'storekeeper'])
    const officer = await club.signedIn(['officer'])
    expect((await stranger.get('/builds')).body).not.toContain('Hidden one')
    expect((await stranger.get(`/builds/${id}`)).statusCode).toBe(404)
    expect((await officer.get('/builds')).body).toContain('Hidden one')
  })

  test('a hold goes from a task to a later one, of what there is', async () => {
    const id = await started(club, builder, { name: 'Holder' })
    const [a, b] = [await club.db.task.findFirstOrThrow({ where: { buildId: id, listKey: 'loft-panels' } }), await club.db.task.findFirstOrThrow({ where: { buildId: id, listKey: 'plane-panels' } })]
    const bench = await club.db.tool.findUniqueOrThrow({ where: { name: 'Long bench' } })
    const hold = (fields: Record<string, string>) => builder.post(`/builds/${id}/holds`, { tool: bench.id, amount: '1', from: a.id, to: b.id, ...fields })
    const turned = await hold({ from: b.id, to: a.id })
    expect(turned.statusCode).toBe(422)
    expect(words(turned.body)).toContain('would end before it begins')
    const many = await hold({ amount: '9' })
    expect(words(many.body)).toContain('so 9 can’t be held')
    expect((await hold({})).statusCode).toBe(303)
    const row = await club.db.hold.findFirstOrThrow({ where: { buildId: id, toolId: bench.id } })
    expect((await builder.post(`/builds/${id}/holds/${row.id}/remove`)).statusCode).toBe(303)
    expect(await club.db.hold.count({ where: { id: row.id } })).toBe(0)
  })
})
