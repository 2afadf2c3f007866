import { randomUUID } from 'node:crypto'
import { beforeAll, describe, expect, test } from 'vitest'
import { testClub, type Person } from '../../support/app.ts'

const club = await testClub({ now: '2026-05-30T08:00:00Z' })
let officer: Person & { memberId: string }
let builder: Person & { memberId: string }
let siteId: string

beforeAll(async () => {
  officer = await club.signedIn(['officer'], { name: 'Odile' })
  builder = await club.signedIn(['builder'], { name: 'Bram' })
  siteId = (await club.make.site({ name: 'Boathouse' })).id
})

const AIR = [5, 5, 7, 10, 14, 17, 19, 19, 16, 12, 8, 6]
const months = (kind: string, values: readonly number[]) => Object.fromEntries(values.map((v, i) => [`${kind}${i + 1}`, v]))
const place = (over: Record<string, string | number> = {}) => ({
  name: `Place ${randomUUID()}`, siteId, bays: 2, ...months('air', AIR), ...months('dew', AIR.map((t) => t - 4)), halfSwing: 3, heatTo: '', heatBefore: 2, settle: 2, ...over,
})
const places = () => club.db.place.count()

describe('places', () => {
  test('an officer adds a place with its climate; a request for a new plan names it', async () => {
    const answer = await officer.post('/workshop/places/new', place({ name: 'Main floor', heatTo: '16', heatBefore: '1.5', settle: '2' }))
    expect(answer.statusCode).toBe(303)
    const row = await club.db.place.findUniqueOrThrow({ where: { name: 'Main floor' } })
    expect(row).toMatchObject({ bays: 2, monthlyAir: AIR, halfSwing: 3, heatTo: 16, heatBeforeMin: 90, settleMin: 120 })
    expect(await club.db.planRequest.findFirst({ where: { cause: 'Main floor is a new place' } })).toMatchObject({ memberId: officer.memberId })
    const page = await builder.get(String(answer.headers.location))
    expect(page.statusCode).toBe(200)
    expect(page.body).toContain('at least 16 °C from 1.5 h before a session')
  })

  test('the new page offers presets, each with all its figures', async () => {
    const page = await officer.get('/workshop/places/new?like=tent')
    expect(page.statusCode).toBe(200)
    expect(page.body).toMatch(/name="heatTo"[^>]*value="18"/)
    expect(page.body).toMatch(/name="bays"[^>]*value="0"/)
  })

  test('a missing month, a count of −1 and a dew point above the air are said at their fields; what was typed stays', async () => {
    const before = await places()
    const answer = await officer.post('/workshop/places/new', place({ name: 'Loft', air3: '', bays: '−1', dew7: 'damp' }))
    expect(answer.statusCode).toBe(422)
    expect(answer.body).toContain('Air in March: fill this in')
    expect(answer.body).toContain('Bays: a whole number from 0 to 50, not “−1”')
    expect(answer.body).toContain('not “damp”')
    expect(answer.body).toMatch(/name="name"[^>]*value="Loft"/)
    expect(answer.body).toMatch(/name="dew7"[^>]*value="damp"/)
    const wet = await officer.post('/workshop/places/new', place({ dew7: 25 }))
    expect(wet.statusCode).toBe(422)
    expect(wet.body).toContain('Dew point in July: above the warmest air of the day')
    expect(await places()).toBe(before)
  })

  test('two places can’t have one name, and a builder may add none', async () => {
    await club.make.place({ name: 'Bench room', siteId })
    const twice = await officer.post('/workshop/places/new', place({ name: 'Bench room' }))
    expect(twice.statusCode).toBe(422)
    expect(twice.body).toContain('there is a place of this name already')
    expect((await builder.post('/workshop/places/new', place())).statusCode).toBe(403)
  })

  test('the same form sent twice, even at once, adds one place', async () => {
    const before = await places()
    const form = { ...place(), once: randomUUID() }
    const [one, two] = await Promise.all([officer.post('/workshop/places/new', form), officer.post('/workshop/places/new', form)])
    expect([one.statusCode, two.statusCode]).toEqual([303, 303])
    expect(one.headers.location).toBe(two.headers.location)
    expect(await places()).toBe(before + 1)
  })

  test('an edit from a stale page is refused and shows both values; sent again it is saved', async () => {
    const row = await club.make.place({ name: 'Sail loft', siteId, halfSwing: 2 })
    const stale = place({ name: 'Sail loft', halfSwing: '4', version: 1 })
    expect((await officer.post(`/workshop/places/${row.id}`, place({ name: 'Sail loft', halfSwing: '3', version: 1 }))).statusCode).toBe(303)
    const answer = await officer.post(`/workshop/places/${row.id}`, stale)
    expect(answer.statusCode).toBe(409)
    expect(answer.body).toMatch(/name="halfSwing"[^>]*value="4"/)
    expect(answer.body).toMatch(/Stored meanwhile: <b>3<\/b>/)
    expect((await club.db.place.findUniqueOrThrow({ where: { id: row.id } })).halfSwing).toBe(3)
    expect(answer.body).toMatch(/name="version" value="2"/)
    expect((await officer.post(`/workshop/places/${row.id}`, { ...stale, version: 2 })).statusCode).toBe(303)
    expect((await club.db.place.findUniqueOrThrow({ where: { id: row.id } })).halfSwing).toBe(4)
  })

  test('an imperial club types and sees °F; the database keeps °C', async () => {
    await club.db.club.update({ where: { id: 1 }, data: { units: 'imperial' } })
    const fahrenheit = (t: number) => t * 1.8 + 32
    // 68 °F = 20 °C; a swing of 9 °F is one of 5 °C.
    const typed = place({ name: 'Ropewalk', ...months('air', Array<number>(12).fill(68)), ...months('dew', Array<number>(12).fill(fahrenheit(10))), halfSwing: 9, heatTo: 68 })
    const answer = await officer.post('/workshop/places/new', typed)
    const row = await club.db.place.findUniqueOrThrow({ where: { name: 'Ropewalk' } })
    const page = await officer.get(String(answer.headers.location))
    await club.db.club.update({ where: { id: 1 }, data: { units: 'metric' } })
    expect(row.monthlyAir[0]).toBeCloseTo(20, 9)
    expect(row.monthlyDew[0]).toBeCloseTo(10, 9)
    expect(row.halfSwing).toBeCloseTo(5, 9)
    expect(row.heatTo).toBeCloseTo(20, 9)
    expect(page.body).toMatch(/name="air1"[^>]*value="68"/)
    expect(page.body).toContain('at least 68 °F')
  })

  test('a place is shut for a while; an end before its beginning is refused', async () => {
    const row = await club.make.place({ name: 'Spray corner', siteId })
    const url = `/workshop/places/${row.id}/closures`
    const wrong = await officer.post(url, { fromDate: '2026-06-10', fromTime: '10:00', toDate: '2026-06-09', toTime: '10:00', why: 'Floor painted' })
    expect(wrong.statusCode).toBe(422)
    expect(wrong.body).toContain('it ends before it begins')
    expect(wrong.body).toMatch(/name="why"[^>]*value="Floor painted"/)
    expect(await club.db.placeClosure.count({ where: { placeId: row.id } })).toBe(0)
    expect((await officer.post(url, { fromDate: '2026-06-10', fromTime: '10:00', toDate: '2026-06-12', toTime: '00:00', why: 'Floor painted' })).statusCode).toBe(303)
    const [closure] = await club.db.placeClosure.findMany({ where: { placeId: row.id } })
    // Berlin in summer is UTC+2; 00:00 at "until" is the midnight that ends 12 June.
    expect(closure).toMatchObject({ starts: new Date('2026-06-10T08:00:00Z'), ends: new Date('2026-06-12T22:00:00Z') })
    expect((await officer.post(`${url}/${closure!.id}/delete`)).statusCode).toBe(303)
    expect(await club.db.placeClosure.count({ where: { placeId: row.id } })).toBe(0)
  })
})

describe('readings', () => {
  test('two taps book one; the place then shows it and the planner is asked', async () => {
    const row = await club.make.place({ name: 'Glue room', siteId })
    const page = await builder.get(`/workshop/places/${row.id}`)
    expect(page.body).toMatch(/type="radio" name="air" value="18"/)
    expect((await builder.post(`/workshop/places/${row.id}/readings`, { air: '14', humidity: '70' })).statusCode).toBe(303)
    expect(await club.db.placeReading.findMany({ where: { placeId: row.id } })).toMatchObject([{ air: 14, humidity: 70, memberId: builder.memberId, at: club.clock.now() }])
    expect(await club.db.planRequest.count({ where: { cause: 'Bram read 14 °C in Glue room' } })).toBe(1)
    // The course says 18 °C; a reading taken now replaces it now.
    expect((await builder.get(`/workshop/places/${row.id}`)).body).toContain('it should be about 14 °C and 70 % now')
  })

  test('nothing tapped, a reading of the future and 200 degrees are refused', async () => {
    const row = await club.make.place({ siteId })
    const url = `/workshop/places/${row.id}/readings`
    expect((await builder.post(url, {})).body).toContain('tap a figure or type one')
    expect((await builder.post(url, { air: '14', at: '23:00' })).body).toContain('that time is still to come')
    const hot = await builder.post(url, { otherAir: '200' })
    expect(hot.body).toContain('a number from -40 to 60 °C, not “200”')
    expect(hot.body).toMatch(/name="otherAir"[^>]*value="200"/)
    expect(await club.db.placeReading.count({ where: { placeId: row.id } })).toBe(0)
  })

  test('one takes out one’s own slip of the finger, not another’s', async () => {
    const row = await club.make.place({ siteId })
    await builder.post(`/workshop/places/${row.id}/readings`, { air: '41' })
    const [reading] = await club.db.placeReading.findMany({ where: { placeId: row.id } })
    const other = await club.signedIn(['builder'])
    expect((await other.post(`/workshop/places/${row.id}/readings/${reading!.id}/delete`)).statusCode).toBe(403)
    expect((await builder.post(`/workshop/places/${row.id}/readings/${reading!.id}/delete`)).statusCode).toBe(303)
    expect(await club.db.placeReading.count({ where: { placeId: row.id } })).toBe(0)
  })
})

describe('tools', () => {
  const tool = (over: Record<string, string | number> = {}) => ({ name: `Tool ${randomUUID()}`, count: 1, siteId: '', competenceId: '', arrivesOn: '', note: '', ...over })

  test('a tool with its site, competence and day of arrival', async () => {
    const competence = await club.db.competence.create({ data: { name: 'Router' } })
    const answer = await officer.post('/workshop/tools/new', tool({ name: 'Router', siteId, competenceId: competence.id, arrivesOn: '2026-06-20' }))
    expect(answer.statusCode).toBe(303)
    expect(await club.db.tool.findUniqueOrThrow({ where: { name: 'Router' } })).toMatchObject({ count: 1, siteId, competenceId: competence.id, arrivesOn: new Date('2026-06-20T00:00:00Z') })
    const page = await builder.get(String(answer.headers.location))
    expect(page.body).toContain('Only for members checked on Router')
    const overview = await builder.get('/workshop')
    expect(overview.body).toContain('0 of 1')
    expect(overview.body).toContain('arrives Sat, 20 Jun 2026')
  })

  test('a count of −1 is refused at its field and nothing is added', async () => {
    const answer = await officer.post('/workshop/tools/new', tool({ name: 'Ghost', count: -1 }))
    expect(answer.statusCode).toBe(422)
    expect(answer.body).toContain('How many: a whole number from 0 to 1000, not “-1”')
    expect(answer.body).toMatch(/name="name"[^>]*value="Ghost"/)
    expect(await club.db.tool.count({ where: { name: 'Ghost' } })).toBe(0)
  })

  test('out of service: not more than there are, not until before it begins; back in service ends it', async () => {
    const row = await club.make.tool({ name: 'Clamps', count: 12 })
    const url = `/workshop/tools/${row.id}/outages`
    expect((await officer.post(url, { count: 13, fromOn: '2026-05-20', toOn: '', why: 'Lent' })).body).toContain('at most the 12 there are')
    expect((await officer.post(url, { count: 2, fromOn: '2026-05-20', toOn: '2026-05-19', why: 'Lent' })).body).toContain('before it begins')
    expect(await club.db.toolOutage.count({ where: { toolId: row.id } })).toBe(0)
    expect((await officer.post(url, { count: 4, fromOn: '2026-05-20', toOn: '', why: 'Lent' })).statusCode).toBe(303)
    expect((await builder.get('/workshop')).body).toContain('8 of 12')
    const [outage] = await club.db.toolOutage.findMany({ where: { toolId: row.id } })
    expect((await officer.post(`${url}/${outage!.id}/end`)).statusCode).toBe(303)
    expect(await club.db.toolOutage.findMany({ where: { toolId: row.id } })).toMatchObject([{ toOn: new Date('2026-05-29T00:00:00Z') }])
    expect((await builder.get('/workshop')).body).toContain('12 of 12')
  })

  test('a stale edit of a tool shows both values', async () => {
    const row = await club.make.tool({ name: 'Jigsaw', count: 2 })
    expect((await officer.post(`/workshop/tools/${row.id}`, tool({ name: 'Jigsaw', count: 3, version: 1 }))).statusCode).toBe(303)
    const answer = await officer.post(`/workshop/tools/${row.id}`, tool({ name: 'Jigsaw', count: 5, version: 1 }))
    expect(answer.statusCode).toBe(409)
    expect(answer.body).toMatch(/name="count"[^>]*value="5"/)
    expect(answer.body).toContain('Stored meanwhile: <b>3</b>')
    expect((await club.db.tool.findUniqueOrThrow({ where: { id: row.id } })).count).toBe(3)
  })
})

describe('sites', () => {
  test('a home needs whose it is', async () => {
    const wrong = await officer.post('/workshop/sites/new', { name: 'Barn', kind: 'home', memberId: '' })
    expect(wrong.statusCode).toBe(422)
    expect(wrong.body).toContain('Whose home: choose the member')
    expect((await officer.post('/workshop/sites/new', { name: 'Barn', kind: 'home', memberId: builder.memberId })).statusCode).toBe(303)
    expect((await builder.get('/workshop')).body).toContain('Home of Bram')
  })
})
