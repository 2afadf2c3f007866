import { parse } from 'csv-parse/sync'
import { expect, test } from 'vitest'
import { testClub } from '../../support/app.ts'

const club = await testClub({ now: '2026-05-30T08:00:00Z' })
const { db, make } = club
const builder = await club.signedIn(['builder'], { name: 'Ann Baker' })
const helper = await club.signedIn(['helper'], { name: 'Ben Cole' })
const boat = await make.build({ name: 'Teal', design: 'Marsh dinghy', startedOn: new Date('2026-03-02') }, [builder.memberId, helper.memberId])
const AT = `/builds/${boat.id}`
const hull = await make.phase(boat.id, { name: 'Hull' })
const paint = await make.phase(boat.id, { name: 'Paint' })
const task = (name: string, phaseId: string, more: object = {}) =>
  db.task.create({ data: { buildId: boat.id, phaseId, position: 1, name, kind: 'shared', workLowMin: 60, workLikelyMin: 120, workHighMin: 240, ...more } })
const planks = await task('Fit the bottom', hull.id, { craft: 'wood' })
const sand = await task('Sand the bottom', hull.id, { craft: 'sanding' })
const launch = await task('Launch her', paint.id, { craft: 'handling' })
await db.build.update({ where: { id: boat.id }, data: { launchTaskId: launch.id } })

const work = (taskId: string, startedAt: string, elapsedMin: number, people: string[], note = '') =>
  db.workLog.create({
    data: { buildId: boat.id, taskId, startedAt: new Date(startedAt), elapsedMin, workedMin: elapsedMin, note, loggedBy: builder.memberId, loggedAt: new Date(startedAt), people: { create: people.map((memberId) => ({ memberId })) } },
  })
// 120 × 2 + 90 × 1 = 330 min of wood, 45 × 2 = 90 min of sanding; the stretch that was taken back counts nowhere.
await work(planks.id, '2026-03-07T09:00:00Z', 120, [builder.memberId, helper.memberId], '=HYPERLINK("x")')
await work(planks.id, '2026-03-14T09:00:00Z', 90, [builder.memberId])
await work(sand.id, '2026-03-21T09:00:00Z', 45, [builder.memberId, helper.memberId])
const wrong = await work(sand.id, '2026-03-22T09:00:00Z', 600, [helper.memberId])
await db.workLog.create({
  data: { buildId: boat.id, taskId: sand.id, startedAt: wrong.startedAt, elapsedMin: 600, workedMin: 600, loggedBy: builder.memberId, loggedAt: new Date('2026-03-23T09:00:00Z'), reversesId: wrong.id },
})

const keeper = await club.signedIn(['storekeeper'])
const supplier = await db.supplier.create({ data: { name: 'Marsh Chandlery' } })
const epoxy = await make.item({ name: 'Epoxy resin', kind: 'resin', unit: 'g' })
// 4 kg for 80.00 are 2 cents a gram: 650 g are 13.00.
await make.lot({ itemId: epoxy.id, qty: 4_000_000, cents: 8000, on: '2026-03-03', by: keeper.memberId, code: 'B-7741', supplierId: supplier.id })
const drawn = await builder.post(`${AT}/tasks/${planks.id}/draw`, { otherItem: epoxy.id, otherAmount: '650', otherUse: 'any' })
if (drawn.statusCode !== 303) throw new Error(`the draw was answered ${drawn.statusCode}`)

/** The text of the page's main part, tags out. */
const textOf = (html: string): string => html.slice(html.indexOf('<main'), html.indexOf('</main>')).replaceAll(/<[^>]+>/g, ' ').replaceAll(/\s+/g, ' ')

test('the record adds hours up by phase and kind of work, and names who worked on her without how much', async () => {
  const text = textOf((await helper.get(`${AT}/record`)).body)
  expect(text).toContain('7 h of all hands together, from 7 Mar 2026 to 21 Mar 2026')
  expect(text).toMatch(/Hull 5\.5 h 1\.5 h 7 h/)
  expect(text).toContain('Everybody who worked on her Ann Baker and Ben Cole')
  expect(text).toContain('Begun 2 Mar 2026')
  expect(text).toContain('Launched not yet')
})

test('lots are told with supplier, code and day to everybody, with money to those who may see it', async () => {
  const [mine, theirs] = [textOf((await builder.get(`${AT}/record`)).body), textOf((await helper.get(`${AT}/record`)).body)]
  for (const text of [mine, theirs]) {
    expect(text).toContain('Epoxy resin')
    expect(text).toContain('(B-7741)')
    expect(text).toContain('Marsh Chandlery 3 Mar 2026 650 g')
  }
  expect(mine).toContain('€80.00 for 4 kg')
  expect(mine).toContain('€13.00')
  expect(theirs).not.toContain('€')
})

test('the lists say the same: minutes by stretch without names, amounts by lot, money only for those who may see it', async () => {
  const read = (body: string) => parse(body, { bom: true, columns: true }) as Record<string, string>[]
  const hours = await helper.get(`${AT}/record/hours.csv`)
  expect(hours.headers['content-type']).toContain('text/csv')
  const rows = read(hours.body)
  // The club's clock: Berlin is an hour ahead of UTC in March before the 29th.
  expect(rows[0]).toEqual({
    date: '2026-03-07', start: '10:00', phase: 'Hull', task: 'Fit the bottom', kind_of_work: 'making and fitting', minutes: '120', hands: '2', minutes_of_all_hands: '240', note: '\'=HYPERLINK("x")',
  })
  expect(rows.reduce((n, r) => n + Number(r['minutes_of_all_hands']), 0)).toBe(420)
  expect(hours.body).not.toMatch(/Ann|Ben/)
  const [mine, theirs] = [read((await builder.get(`${AT}/record/lots.csv`)).body), read((await helper.get(`${AT}/record/lots.csv`)).body)]
  expect(mine[0]).toMatchObject({ item: 'Epoxy resin', supplier_code: 'B-7741', used: '650', unit: 'g', paid: '80.00', charged_to_her: '13.00', currency: 'EUR' })
  expect(Object.keys(theirs[0] ?? {})).not.toContain('paid')
})

test('snags, decisions, lessons, weighings, agreed plans and signed reviews are in it; what was taken back is not', async () => {
  const at = new Date('2026-04-01T10:00:00Z')
  const snag = { buildId: boat.id, foundById: builder.memberId, foundOn: at, createdAt: at, bad: 'looks' as const }
  await db.snag.createMany({ data: [{ ...snag, no: 1, what: 'Bubble in the glass', whereAt: 'keel', closedOn: new Date('2026-04-08'), closedBy: builder.memberId, closedNote: 'filled' }, { ...snag, no: 2, what: 'Told by mistake', whereAt: '', withdrawnAt: at }] })
  const entry = { buildId: boat.id, byId: builder.memberId, at, loggedAt: at }
  await db.logEntry.createMany({ data: [
    { ...entry, kind: 'decision', text: 'Varnish inside' }, { ...entry, kind: 'lesson', text: 'Warm the resin first' }, { ...entry, kind: 'note', text: 'A windy day' }, { ...entry, kind: 'lesson', text: 'Taken back', withdrawnAt: at },
  ] })
  const weighed = { buildId: boat.id, weighedOn: at, loggedBy: builder.memberId, loggedAt: at }
  await db.weighIn.createMany({ data: [{ ...weighed, massG: 31_400, what: 'Hull bare' }, { ...weighed, massG: 99_000, what: 'A slip', withdrawnAt: at }] })
  await db.baseline.create({ data: { buildId: boat.id, no: 1, agreedAt: at, agreedBy: builder.memberId, reason: '', totalMin: 12_000 } })
  const text = textOf((await helper.get(`${AT}/record`)).body)
  for (const said of ['Bubble in the glass, keel', '8 Apr 2026: filled', 'Decided: Varnish inside', 'Learnt: Warm the resin first', '31.4 kg', 'Plans that were agreed', '200 h']) expect.soft(text).toContain(said)
  for (const not of ['Told by mistake', 'Taken back', 'A windy day', 'A slip']) expect.soft(text).not.toContain(not)
})

test('the day she was put into service is taken once she is launched, and neither from before she was begun nor from the future', async () => {
  const set = async (day: string) => {
    const { version } = await db.build.findUniqueOrThrow({ where: { id: boat.id } })
    return builder.post(`${AT}/record/in-service`, { version, day })
  }
  expect((await builder.get(`${AT}/record`)).body).not.toContain('id="service"')
  expect((await set('2026-05-30')).body).toContain('is not launched by her tasks')
  const done = await builder.post(`${AT}/tasks/${launch.id}/finish`, {})
  expect(done.statusCode).toBe(303)
  expect((await db.build.findUniqueOrThrow({ where: { id: boat.id } })).state).toBe('launched')
  expect((await builder.get(AT)).body).toContain(`${AT}/record#service`)
  const [early, late] = [await set('2026-03-01'), await set('2026-05-31')]
  expect([early.statusCode, early.body]).toEqual([422, expect.stringContaining('was not begun before 2026-03-02')])
  expect(early.body).toContain('value="2026-03-01"')
  expect([late.statusCode, late.body]).toEqual([422, expect.stringContaining('that is still to come')])
  expect((await set('30.5.')).statusCode).toBe(422)
  expect((await db.build.findUniqueOrThrow({ where: { id: boat.id } })).inServiceOn).toBeNull()
  expect((await set('2026-05-30')).headers.location).toBe(`${AT}/record`)
  const page = (await builder.get(`${AT}/record`)).body
  expect(textOf(page)).toContain('Put into service 30 May 2026')
  expect(page).toContain('Ask the authority where she will be kept; don’t assume.')
  // Two at once: the second is told what the first stored. Who may not edit her may not set it.
  expect((await builder.post(`${AT}/record/in-service`, { version: 1, day: '2026-05-29' })).statusCode).toBe(409)
  expect((await helper.post(`${AT}/record/in-service`, { version: 1, day: '2026-05-29' })).statusCode).toBe(403)
  expect((await builder.get(AT)).body).not.toContain('#service')
  expect((await set('')).statusCode).toBe(303)
  expect((await db.build.findUniqueOrThrow({ where: { id: boat.id } })).inServiceOn).toBeNull()
})

test('a build that only her team sees has no record for others', async () => {
  const hidden = await make.build({ visibility: 'team' }, [builder.memberId])
  for (const page of ['record', 'record/hours.csv', 'record/lots.csv']) expect((await helper.get(`/builds/${hidden.id}/${page}`)).statusCode).toBe(404)
})
