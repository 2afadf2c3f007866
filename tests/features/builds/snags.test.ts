import { randomUUID } from 'node:crypto'
import { beforeEach, describe, expect, test } from 'vitest'
import { closeSnag, finishTask, makeRework, reopenTask, snagsOf, type ReworkInput, type SnagLine } from '../../../src/features/builds/public.ts'
import { FAULTS } from '../../../src/features/builds/snags/catalogue.ts'
import { reworkPlace } from '../../../src/features/builds/snags/queries/follow.ts'
import type { Tx } from '../../../src/platform/database.ts'
import { transact } from '../../../src/platform/database.ts'
import type { Ctx } from '../../../src/platform/write.ts'
import { sinceWords } from '../../../views/builds/snag-words.ts'
import { testClub, type Person } from '../../support/app.ts'
import { picture } from '../../support/pictures.ts'
import { words } from './support.ts'

// 10:00 in Berlin.
const club = await testClub({ now: '2026-05-30T08:00:00Z' })
const { db, make } = club
const placeId = (await make.place()).id
const epoxy = await db.cureProduct.create({
  data: { name: 'Slow epoxy', kind: 'epoxy', referenceTemp: 20, dustFreeMin: 240, opensMin: 300, closesMin: 1440, sandableMin: 720, handleableMin: 720, fullCureMin: 7200, cureFloor: 8, source: 'made up for this test' },
})
const builder: Person & { memberId: string } = await club.signedIn(['builder'], { name: 'Ann Tern' })
const helper = await club.signedIn(['helper'], { name: 'Ben Knot' })

/**
 * glass (a coat) → fair → paint → launch, and rails → launch; glass and fair are of one phase, the others of the next. Each test has a boat of its own.
 */
let buildId: string
let tasks: Record<'glass' | 'fair' | 'rails' | 'paint' | 'launch', string>

beforeEach(async () => {
  buildId = (await make.build({ placeId, startedOn: new Date('2026-05-01') }, [builder.memberId, helper.memberId])).id
  const [hull, finish] = [randomUUID(), randomUUID()]
  await db.phase.createMany({ data: [{ id: hull, buildId, name: 'Hull', position: 1 }, { id: finish, buildId, name: 'Finish', position: 2 }] })
  tasks = { glass: randomUUID(), fair: randomUUID(), rails: randomUUID(), paint: randomUUID(), launch: randomUUID() }
  const task = (id: string, name: string, phaseId: string, position: number, over: { productId?: string } = {}) => (
    { id, buildId, phaseId, position, name, kind: 'shared' as const, workLowMin: 60, workLikelyMin: 60, workHighMin: 60, handsTo: 2, smallestMin: over.productId ? null : 30, ...over })
  await db.task.createMany({
    data: [
      task(tasks.glass, 'Glass', hull, 1, { productId: epoxy.id }), task(tasks.fair, 'Fair', hull, 2),
      task(tasks.rails, 'Rails', finish, 3), task(tasks.paint, 'Paint', finish, 4), task(tasks.launch, 'Launch', finish, 5),
    ],
  })
  const links = [[tasks.glass, tasks.fair], [tasks.fair, tasks.paint], [tasks.rails, tasks.launch], [tasks.paint, tasks.launch]] as const
  await db.link.createMany({ data: links.map(([fromId, toId]) => ({ buildId, fromId, toId, kind: 'finish' as const })) })
  await db.build.update({ where: { id: buildId }, data: { launchTaskId: tasks.launch } })
})

const url = (path = '') => `/builds/${buildId}/snags${path}`
const nameOf = (id: string) => Object.entries(tasks).find(([, taskId]) => taskId === id)?.[0] ?? 'another'
const run = <T>(work: (tx: Tx, ctx: Ctx) => Promise<T>) => transact(db, (tx) => work(tx, make.ctx(builder.memberId, { now: club.clock.now(), clubZone: 'Europe/Berlin' })))
async function found(over: Record<string, string> = {}): Promise<SnagLine> {
  const answer = await builder.post(url('/new'), { kind: 'dry-spot', whereAt: 'port bow', bad: 'before_next', taskId: tasks.glass, ...over })
  expect(answer.statusCode, words(answer.body).slice(0, 600)).toBe(303)
  return (await snagsOf(db, buildId)).toSorted((a, b) => b.no - a.no)[0]!
}
const line = async (id: string) => (await snagsOf(db, buildId)).find((s) => s.id === id)

describe('a snag', () => {
  test('is one screen: what, where, how bad, a photo; numbers count within her', async () => {
    const answer = await builder.send(url('/new'), { kind: '', what: 'Screw stands proud', whereAt: 'keelson', bad: 'before_launch' }, [{ name: 'a.jpg', bytes: await picture() }])
    expect(answer.statusCode).toBe(303)
    const second = await found()
    const [worse, first] = await snagsOf(db, buildId)
    expect([first!.no, first!.what, first!.kind, first!.foundOn, first!.foundBy, first!.photos.length]).toEqual([1, 'Screw stands proud', null, '2026-05-30', 'Ann Tern', 1])
    // A known fault left without words is its own; the worse one stands first.
    expect([worse!.id, worse!.no, worse!.what, worse!.taskName]).toEqual([second.id, 2, 'Dry spot', 'Glass'])
    const page = words((await builder.get(url())).body)
    expect(page).toContain('2 snags are open')
    expect(page).toContain('mend before what comes over it')
    expect(words((await builder.get(`/builds/${buildId}`)).body)).toContain('Snags (2)')
    expect(words((await builder.get(`/builds/${buildId}/tasks/${tasks.glass}`)).body)).toContain('Snag 2: Dry spot')
  })

  test.each([
    [{ kind: '', what: '' }, 'Say what is wrong, or choose a common fault'],
    [{ bad: 'awful' }, 'Say how bad it is'],
    [{ foundOn: '2026-06-01' }, 'still to come'],
    [{ kind: 'rust' }, 'Choose from the list'],
    [{ taskId: '00000000-0000-4000-8000-000000000000' }, 'not there any more'],
    [{ what: 'x'.repeat(201) }, 'At most 200'],
  ])('%o is refused in words, with what was typed', async (over, message) => {
    const answer = await builder.post(url('/new'), { kind: '', what: 'Crack', whereAt: 'by the stem', bad: 'looks', ...over })
    expect([answer.statusCode, words(answer.body).includes(message), answer.body.includes('value="by the stem"')]).toEqual([422, true, true])
    expect(await snagsOf(db, buildId)).toEqual([])
  })

  test('two found at once get two numbers', async () => {
    await Promise.all(Array.from({ length: 4 }, () => builder.post(url('/new'), { kind: 'run', bad: 'looks' })))
    expect((await snagsOf(db, buildId)).map((s) => s.no).sort()).toEqual([1, 2, 3, 4])
  })

  test('says since when, in days', () => {
    expect(sinceWords({ foundOn: '2026-05-18', closedOn: null }, '2026-05-30')).toBe('12 days')
    expect(sinceWords({ foundOn: '2026-05-30', closedOn: null }, '2026-05-30')).toBe('today')
    expect(sinceWords({ foundOn: '2026-05-18', closedOn: '2026-05-19' }, '2026-05-30')).toBe('1 day')
  })

  test('is changed, and a stale page is told', async () => {
    const snag = await found()
    const fields = { kind: 'bubble', what: 'Bubble', whereAt: 'starboard', bad: 'stop', foundOn: '2026-05-28', taskId: '' }
    expect((await helper.post(url(`/${snag.id}/edit`), { ...fields, version: '1' })).statusCode).toBe(303)
    expect(await line(snag.id)).toMatchObject({ kind: 'bubble', what: 'Bubble', bad: 'stop', foundOn: '2026-05-28', taskId: null })
    expect((await builder.post(url(`/${snag.id}/edit`), { ...fields, version: '1' })).statusCode).toBe(409)
  })

  test('is closed with a word how, not before it was found, and opens again', async () => {
    const snag = await found({ foundOn: '2026-05-20' })
    const close = (fields: Record<string, string>) => builder.post(url(`/${snag.id}/close`), fields)
    expect(words((await close({ note: '' })).body)).toContain('Say in a few words how')
    expect(words((await close({ note: 'mended', on: '2026-05-19' })).body)).toContain('It was found on 2026-05-20')
    expect(words((await close({ note: 'mended', on: '2026-05-31' })).body)).toContain('still to come')
    expect((await close({ note: 'left as it is: under the seat', on: '2026-05-29' })).statusCode).toBe(303)
    expect(await line(snag.id)).toMatchObject({ closedOn: '2026-05-29', closedNote: 'left as it is: under the seat' })
    expect([(await snagsOf(db, buildId, { open: true })).length, (await snagsOf(db, buildId, { open: false })).length]).toEqual([0, 1])
    expect((await builder.post(url(`/${snag.id}/reopen`))).statusCode).toBe(303)
    expect(await line(snag.id)).toMatchObject({ closedOn: null, closedNote: '' })
  })

  test('that was none is taken back by whoever found it or may change her; its number is not used again', async () => {
    const snag = await found()
    expect((await helper.post(url(`/${snag.id}/withdraw`))).statusCode).toBe(403)
    expect((await builder.post(url(`/${snag.id}/withdraw`))).statusCode).toBe(303)
    expect(await snagsOf(db, buildId)).toEqual([])
    expect((await builder.get(url(`/${snag.id}`))).statusCode).toBe(404)
    expect((await found()).no).toBe(2)
  })

  test('of another build is not reached through this one', async () => {
    const snag = await found()
    const other = (await make.build({ placeId }, [builder.memberId])).id
    expect((await builder.get(`/builds/${other}/snags/${snag.id}`)).statusCode).toBe(404)
    expect((await builder.post(`/builds/${other}/snags/${snag.id}/close`, { note: 'gone' })).statusCode).toBe(404)
    expect(await line(snag.id)).toMatchObject({ closedOn: null })
  })
})

describe('what waits for rework', () => {
  const before = async (bad: SnagLine['bad'], taskId: string | null) => (await reworkPlace(db, buildId, { bad, taskId })).before.map(nameOf)

  test('is what comes over it, the launch, the open work of that phase, or nothing, by how bad it is', async () => {
    expect(await before('looks', tasks.glass)).toEqual([])
    expect(await before('before_next', tasks.glass)).toEqual(['fair'])
    expect(await before('before_launch', tasks.glass)).toEqual(['launch'])
    expect(await before('stop', tasks.glass)).toEqual(['fair'])
    // Found at the fairing: what comes before that does not wait.
    expect(await before('stop', tasks.paint)).toEqual(['rails', 'launch'])
  })

  test('goes past what is begun or done to what is not', async () => {
    await db.task.update({ where: { id: tasks.fair }, data: { startedAt: club.clock.now() } })
    expect(await before('before_next', tasks.glass)).toEqual(['paint'])
    await db.task.update({ where: { id: tasks.fair }, data: { finishedAt: club.clock.now() } })
    await db.task.update({ where: { id: tasks.paint }, data: { startedAt: club.clock.now(), finishedAt: club.clock.now() } })
    expect(await before('before_next', tasks.glass)).toEqual(['launch'])
  })

  test('without a task, the first open one of the phase where work goes on', async () => {
    await db.task.update({ where: { id: tasks.glass }, data: { startedAt: club.clock.now(), finishedAt: club.clock.now() } })
    await db.task.update({ where: { id: tasks.rails }, data: { startedAt: club.clock.now() } })
    const place = await reworkPlace(db, buildId, { bad: 'before_next', taskId: null })
    expect(place.tasks.find((t) => t.phaseId === place.phaseId)?.phase).toBe('Finish')
    expect(place.before.map(nameOf)).toEqual(['rails'])
  })
})

const rework = (snag: SnagLine, over: Partial<ReworkInput> = {}): ReworkInput => ({
  buildId, snagId: snag.id, name: 'Mend the dry spot', steps: ['Wash', 'Work resin in'], afterCure: ['Sand flush'], minutes: { low: 50, likely: 100, high: 200 },
  hands: { from: 1, to: 1 }, dusty: false, productId: epoxy.id, before: [tasks.fair], ...over,
})

describe('rework', () => {
  test('of a fault in a film is two tasks with the cure between them: after the film can be sanded, before what comes over it', async () => {
    const snag = await found()
    const made = await run((tx, ctx) => makeRework(tx, ctx, rework(snag)))
    if (!made.ok) throw new Error(made.refusal.message)
    const rows = await db.task.findMany({ where: { buildId }, include: { steps: { orderBy: { position: 'asc' } }, linksTo: true }, orderBy: { position: 'asc' } })
    expect(rows.map((t) => t.name)).toEqual(['Glass', 'Mend the dry spot', 'Mend the dry spot: sand it flush', 'Fair', 'Rails', 'Paint', 'Launch'])
    const [, fill, sand, fair] = rows
    // 35 % of 50, 100, 200 is 17.5, 35, 70 after the cure (18 by rounding); the rest before it.
    expect([fill, sand].map((t) => [t!.workLowMin, t!.workLikelyMin, t!.workHighMin])).toEqual([[32, 65, 130], [18, 35, 70]])
    expect([fill!.productId, fill!.smallestMin, fill!.dusty, sand!.productId, sand!.dusty]).toEqual([epoxy.id, null, false, null, true])
    expect([fill!.steps.map((s) => s.text), sand!.steps.map((s) => s.text)]).toEqual([['Wash', 'Work resin in'], ['Sand flush']])
    expect(fill!.linksTo).toMatchObject([{ fromId: tasks.glass, kind: 'stage', stage: 'sandable' }])
    expect(sand!.linksTo).toMatchObject([{ fromId: fill!.id, kind: 'stage', stage: 'sandable' }])
    expect(fair!.linksTo.map((l) => l.fromId).sort()).toEqual([tasks.glass, sand!.id].sort())
    expect(fill!.caution).toContain('P3')
    expect(await line(snag.id)).toMatchObject({ rework: { taskId: sand!.id, finishedAt: null } })
    expect(await db.planRequest.count({ where: { cause: { contains: 'Mend the dry spot' } } })).toBe(1)
  })

  test('where nothing cures is one task, and so is resin that nobody sands, which is let harden first', async () => {
    const dry = await found({ kind: 'run' })
    await run((tx, ctx) => makeRework(tx, ctx, rework(dry, { name: 'Scrape it', productId: null, dusty: true })))
    const scrape = await db.task.findFirstOrThrow({ where: { buildId, name: 'Scrape it' }, include: { steps: true, linksFrom: true } })
    expect([scrape.dusty, scrape.steps.length, scrape.linksFrom.map((l) => l.kind)]).toEqual([true, 3, ['finish']])
    const wet = await found({ kind: 'fillet-void' })
    await run((tx, ctx) => makeRework(tx, ctx, rework(wet, { name: 'Fill it', afterCure: [] })))
    const fill = await db.task.findFirstOrThrow({ where: { buildId, name: 'Fill it' }, include: { linksFrom: true } })
    expect(fill.linksFrom).toMatchObject([{ toId: tasks.fair, kind: 'stage', stage: 'sandable' }])
  })

  test('finished, it closes the snag; reopened, it opens it; one closed by hand stays closed', async () => {
    const snag = await found()
    const made = await run((tx, ctx) => makeRework(tx, ctx, rework(snag)))
    if (!made.ok) throw new Error(made.refusal.message)
    const task = { buildId, taskId: made.value.taskId }
    expect(await run((tx, ctx) => closeSnag(tx, ctx, { buildId, snagId: snag.id, note: 'no' }))).toMatchObject({ ok: false })
    const said = await run((tx, ctx) => finishTask(tx, ctx, task))
    expect(said.ok && said.value.text).toContain(`Snag ${snag.no} is mended.`)
    expect(await line(snag.id)).toMatchObject({ closedOn: '2026-05-30', closedNote: '', rework: { finishedAt: club.clock.now().getTime() / 60_000 } })
    expect(words((await builder.get(url(`/${snag.id}`))).body)).toContain('mended')
    await run((tx, ctx) => reopenTask(tx, ctx, task))
    expect(await line(snag.id)).toMatchObject({ closedOn: null })
    await run((tx, ctx) => finishTask(tx, ctx, task))
    await builder.post(url(`/${snag.id}/reopen`))
    await builder.post(url(`/${snag.id}/close`), { note: 'it will do' })
    await run((tx, ctx) => reopenTask(tx, ctx, task))
    expect(await line(snag.id)).toMatchObject({ closedOn: '2026-05-30', closedNote: 'it will do' })
  })

  test('that was finished before the day the snag was found closes it on that day', async () => {
    const snag = await found()
    const made = await run((tx, ctx) => makeRework(tx, ctx, rework(snag)))
    if (!made.ok) throw new Error(made.refusal.message)
    const { taskId } = made.value
    await run((tx, ctx) => finishTask(tx, ctx, { buildId, taskId, at: new Date('2026-05-29T08:00:00Z') }))
    expect(await line(snag.id)).toMatchObject({ closedOn: '2026-05-30' })
  })

  test('split one after the other, it is its last part that closes the snag', async () => {
    const snag = await found({ kind: 'run' })
    const made = await run((tx, ctx) => makeRework(tx, ctx, rework(snag, { productId: null })))
    if (!made.ok) throw new Error(made.refusal.message)
    const { taskId } = made.value
    expect((await builder.post(`/builds/${buildId}/tasks/${taskId}/split`, { version: '1', firstName: 'Port half', secondName: 'Other half', share: '50', order: 'after' })).statusCode).toBe(303)
    await run((tx, ctx) => finishTask(tx, ctx, { buildId, taskId }))
    expect(await line(snag.id)).toMatchObject({ closedOn: null, rework: { name: 'Other half' } })
  })

  test('its task deleted, the snag is open and can be made rework again', async () => {
    const snag = await found({ kind: 'run' })
    const made = await run((tx, ctx) => makeRework(tx, ctx, rework(snag, { productId: null })))
    if (!made.ok) throw new Error(made.refusal.message)
    const { taskId } = made.value
    expect((await builder.post(url(`/${snag.id}/withdraw`))).statusCode).toBe(422)
    expect((await builder.post(`/builds/${buildId}/tasks/${taskId}/delete`)).statusCode).toBe(303)
    expect(await line(snag.id)).toMatchObject({ rework: null, closedOn: null })
  })

  test('is refused where it would close a circle, twice, for a closed snag, or after what is gone', async () => {
    // Found at the fairing, it comes after that; the glass, on which the fairing waits, can't wait for it.
    const snag = await found({ taskId: tasks.fair, kind: 'run' })
    const make = (over: Partial<ReworkInput>) => run((tx, ctx) => makeRework(tx, ctx, rework(snag, { productId: null, ...over })))
    const post = (over: Record<string, string | string[]>) =>
      builder.post(url(`/${snag.id}/rework`), { name: 'Scrape it', steps: 'Scrape', afterCure: '', low: '0.5', likely: '1', high: '2', handsFrom: '1', handsTo: '1', productId: '', before: [tasks.paint], ...over })
    const circle = await post({ before: [tasks.glass] })
    expect([circle.statusCode, words(circle.body).includes('That makes a circle')]).toEqual([422, true])
    expect(await db.task.count({ where: { buildId } })).toBe(5)
    expect(words((await post({ low: '3' })).body)).toContain('Low is more than likely')
    expect(words((await post({ name: '' })).body)).toContain('Name: fill this in')
    expect(words((await post({ handsTo: '0' })).body)).toContain('a whole number from 1 to 50')
    expect(await make({ before: [tasks.fair] })).toMatchObject({ ok: false, refusal: { fields: { before: expect.stringContaining('not the one it was found at') as string } } })
    expect((await post({})).statusCode).toBe(303)
    expect((await post({})).statusCode).toBe(422)
    const closed = await found({ kind: 'run' })
    await builder.post(url(`/${closed.id}/close`), { note: 'fine' })
    expect((await builder.post(url(`/${closed.id}/rework`), { name: 'x', likely: '1', low: '1', high: '1' })).statusCode).toBe(422)
  })

  test('is for who may change her: a helper sees no form and is refused', async () => {
    const snag = await found()
    expect(words((await helper.get(url(`/${snag.id}`))).body)).not.toContain('Make it rework')
    expect((await helper.post(url(`/${snag.id}/rework`), { name: 'x', likely: '1', low: '1', high: '1' })).statusCode).toBe(403)
  })

  test('its form begins with the usual steps, hours and resin, and ticks what waits', async () => {
    const snag = await found()
    const { body } = await builder.get(url(`/${snag.id}`))
    expect(body).toContain(`<option value="${epoxy.id}" selected>Slow epoxy</option>`)
    expect(body).toMatch(new RegExp(`name="before" value="${tasks.fair}" checked`))
    expect(body).not.toMatch(new RegExp(`value="${tasks.glass}"`))
    const page = words(body)
    for (const said of ['Common practice, no source', 'Uncured epoxy sensitises', 'P3', 'Nobody under age', 'what cures in it']) expect(page.toLowerCase()).toContain(said.toLowerCase())
  })
})

test('every common fault has steps, minutes in order and a caution; blush is washed with water before anything is sanded', () => {
  for (const f of FAULTS) {
    expect(f.steps.length, f.key).toBeGreaterThan(1)
    expect(0 < f.minutes.low && f.minutes.low <= f.minutes.likely && f.minutes.likely <= f.minutes.high, f.key).toBe(true)
    expect(f.caution, f.key).toContain(f.resin ? 'sensitises' : 'P3')
    expect(f.resin, f.key).toBe(f.mixed !== null)
    expect(f.afterCure.length > 0, f.key).toBe(f.afterShare > 0)
  }
  const blush = FAULTS.find((f) => f.key === 'blush')!
  expect([/water/.test(blush.steps[0]!), blush.steps.findIndex((s) => /dull|fine paper/.test(s))]).toEqual([true, blush.steps.length - 1])
  expect(blush.caution).toContain('before any sanding')
})
