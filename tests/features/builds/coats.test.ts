import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { instant } from '../../../src/core/units/index.ts'
import { loadBuildsForPlanning, taskStates } from '../../../src/features/builds/public.ts'
import { toInstant } from '../../../src/platform/times.ts'
import { testClub, type Person } from '../../support/app.ts'
import { started, words } from './support.ts'

// 10:00 in Berlin. The place is 20 °C day and night and the slow epoxy is stated for 20 °C, so its own figures hold to the minute.
const NOW = '2026-06-06T08:00:00Z'
const club = await testClub({ now: NOW })
let builder: Person & { memberId: string }
let buildId: string
const taskOf = (listKey: string) => club.db.task.findFirstOrThrow({ where: { buildId, listKey } })
const post = async (listKey: string, path: string, fields: Record<string, string> = {}) => builder.post(`/builds/${buildId}/tasks/${(await taskOf(listKey)).id}/${path}`, fields)
const stateOf = async (listKey: string) => (await taskStates(club.db, [buildId], club.clock.now())).get((await taskOf(listKey)).id)!
const window = () => club.db.link.findFirstOrThrow({ where: { buildId, kind: 'window', from: { listKey: 'precoat-1' }, to: { listKey: 'precoat-2' } } })
const at = (iso: string) => Date.parse(iso) / 60_000

beforeAll(async () => {
  builder = await club.signedIn(['builder'], { name: 'Ann Tern' })
  const place = await club.make.place({ bays: 2, monthlyAir: Array<number>(12).fill(20), halfSwing: 0 })
  buildId = await started(club, builder, { placeId: place.id })
  // Everything before the first coat is done.
  const before = ['check-plans', 'loft-panels', 'cut-panels', 'plane-panels', 'cut-bulkheads', 'cut-scarfs', 'clean-scarfs']
  await club.db.task.updateMany({ where: { buildId, listKey: { in: before } }, data: { startedAt: new Date(NOW), finishedAt: new Date(NOW) } })
})

beforeEach(async () => {
  club.clock.set(NOW)
  await club.db.coat.deleteMany()
  await club.db.task.updateMany({ where: { buildId, listKey: { startsWith: 'precoat' } }, data: { startedAt: null, finishedAt: null, finishedBy: null } })
  await club.db.link.updateMany({ where: { kind: 'window' }, data: { missedAt: null, washStartedAt: null, washDoneAt: null, washLoggedMin: 0 } })
})

describe('a coat and the window over it', () => {
  test('ready, then waiting for the window, open until, and wash first, each with the time', async () => {
    expect((await stateOf('precoat-1')).state).toBe('ready')
    expect((await stateOf('precoat-2')).why).toBe('Waits for “Seal the inside faces flat, first coat”.')
    // Last stroke now, 40 minutes of application: 09:20 to 10:00 local.
    expect((await post('precoat-1', 'coat', { ended: 'now', took: '40' })).statusCode).toBe(303)
    const film = (await stateOf('precoat-1')).film!
    // Opens 6 h after the end: 16:00. Shuts 14 h after the start 09:20: 23:20. Sandable 24 h after the end.
    expect(film.times.opens).toBe(at('2026-06-06T14:00:00Z'))
    expect(film.times.closes).toBe(at('2026-06-06T21:20:00Z'))
    expect(film.times.sandable).toBe(at('2026-06-07T08:00:00Z'))
    const curing = await stateOf('precoat-2')
    expect(curing.state).toBe('curing')
    expect(curing.why).toBe('The window over “Seal the inside faces flat, first coat” opens Sat 6 Jun 16:00 and shuts Sat 6 Jun 23:20.')

    club.clock.set('2026-06-06T15:00:00Z')
    const open = await stateOf('precoat-2')
    expect(open.state).toBe('ready')
    // 70 minutes likely by two are 35, after 10 of set-up: begin by 23:20 - 45 min = 22:35.
    expect(open.why).toBe('Ready. The window is open until Sat 6 Jun 23:20; begin by Sat 6 Jun 22:35.')

    club.clock.set('2026-06-06T21:00:00Z')
    const late = await stateOf('precoat-2')
    expect(late.state).toBe('curing')
    expect(late.why).toContain('sandable Sun 7 Jun 10:00')

    club.clock.set('2026-06-07T09:00:00Z')
    const wash = await stateOf('precoat-2')
    expect(wash.state).toBe('wash')
    expect(wash.why).toContain('shut Sat 6 Jun 23:20: wash and sand first, about 1 h 15')
  })

  test('a coat that came too late marks the window missed and says so; washed before, it counts as washed', async () => {
    await post('precoat-1', 'coat', { ended: 'now', took: '40' })
    club.clock.set('2026-06-07T09:00:00Z')
    const late = await post('precoat-2', 'coat', { ended: 'now', took: '35' })
    expect(late.statusCode).toBe(303)
    const link = await window()
    expect(link.missedAt?.toISOString()).toBe('2026-06-06T21:20:00.000Z')
    expect(link.washDoneAt).toBeNull()
    // The next coat is on: nothing can be washed before it any more, so none is planned.
    const now = toInstant(club.clock.now())
    const planned = (await loadBuildsForPlanning(club.db, { now, from: instant(now - 7 * 1440), until: instant(now + 7 * 1440) })).links.find((l) => l.id === link.id)
    expect(planned).toMatchObject({ kind: 'window', wash: { state: { finished: now - 35 } } })
    await post('precoat-2', 'reopen')
    expect((await window()).missedAt).toBeNull()
    await post('precoat-2', 'coat', { ended: 'now', took: '35', washed: 'on' })
    expect((await window()).washDoneAt).not.toBeNull()
  })

  test('a coat in its window leaves the link alone', async () => {
    await post('precoat-1', 'coat', { ended: 'now', took: '40' })
    club.clock.set('2026-06-06T15:00:00Z')
    await post('precoat-2', 'coat', { ended: '30', took: '20' })
    const coat = await club.db.coat.findFirstOrThrow({ where: { task: { listKey: 'precoat-2', buildId } } })
    expect([coat.startedAt.toISOString(), coat.endedAt.toISOString()]).toEqual(['2026-06-06T14:10:00.000Z', '2026-06-06T14:30:00.000Z'])
    expect((await window()).missedAt).toBeNull()
  })

  test('a thumbnail test overrides the stage and keeps the computed time beside it', async () => {
    await post('precoat-1', 'coat', { ended: 'now', took: '40' })
    club.clock.set('2026-06-06T12:30:00Z')
    expect((await stateOf('precoat-2')).state).toBe('curing')
    expect((await post('precoat-1', 'finding', { finding: 'dents' })).statusCode).toBe(303)
    const found = await club.db.stageFinding.findFirstOrThrow()
    expect([found.stage, found.at.toISOString(), found.computedAt?.toISOString()]).toEqual(['opens', '2026-06-06T12:30:00.000Z', '2026-06-06T14:00:00.000Z'])
    expect((await stateOf('precoat-2')).state).toBe('ready')
    const page = words((await builder.get(`/builds/${buildId}/tasks/${(await taskOf('precoat-1')).id}`)).body)
    expect(page).toMatch(/Window opens .*14:30.*\(Ann Tern\).*reckoned.*16:00/)
    // Firm: too late for the next coat, whatever the clock says.
    club.clock.set('2026-06-06T13:00:00Z')
    await post('precoat-1', 'finding', { finding: 'firm' })
    expect((await stateOf('precoat-2')).state).toBe('curing')
    expect((await stateOf('precoat-2')).why).toContain('sandable')
  })

  test('a test before the coat was on, or of no coat, is refused', async () => {
    expect((await post('precoat-1', 'finding', { finding: 'dents' })).statusCode).toBe(422)
    await post('precoat-1', 'coat', { ended: 'now', took: '40' })
    const early = await post('precoat-1', 'finding', { finding: 'dents', day: '2026-06-06', at: '09:00' })
    expect(early.statusCode).toBe(422)
    expect(words(early.body)).toContain('before the end of the coat')
  })

  test('washing hours go to the wash, and done, the coat can go on', async () => {
    await post('precoat-1', 'coat', { ended: 'now', took: '40' })
    club.clock.set('2026-06-07T09:00:00Z')
    const link = await window()
    await post('precoat-2', 'hours', { hours: '1', link: link.id })
    expect((await window()).washLoggedMin).toBe(60)
    // 75 - 60 = 15 of washing left; the coat itself is not begun.
    expect((await stateOf('precoat-2')).why).toContain('about 15 min')
    expect((await taskOf('precoat-2')).startedAt).toBeNull()
    await post('precoat-2', `wash/${link.id}`, { step: 'done' })
    expect((await stateOf('precoat-2')).state).toBe('ready')
  })

  test('a coat that ends before it begins, or is still to come, is refused and keeps what was typed', async () => {
    const future = await post('precoat-1', 'coat', { ended: 'at', day: '2026-06-06', at: '18:00', took: '40', note: 'thin' })
    expect(future.statusCode).toBe(422)
    expect(words(future.body)).toContain('still to come')
    expect(future.body).toContain('value="thin"')
    await post('precoat-1', 'coat', { ended: 'now', took: '40' })
    const coat = await club.db.coat.findFirstOrThrow()
    const turned = await post('precoat-1', 'coat/correct', { version: '1', day: '2026-06-06', started: '09:50', ended: '09:10', place: coat.placeId, product: coat.productId })
    expect(turned.statusCode).toBe(422)
    expect(words(turned.body)).toContain('ends before it begins')
    expect((await club.db.coat.findFirstOrThrow()).startedAt).toEqual(coat.startedAt)
  })

  test('a coat corrected from a stale page is refused with what is stored', async () => {
    await post('precoat-1', 'coat', { ended: 'now', took: '40' })
    const coat = await club.db.coat.findFirstOrThrow()
    const fields = { version: '1', day: '2026-06-06', started: '08:30', ended: '09:30', place: coat.placeId, product: coat.productId }
    expect((await post('precoat-1', 'coat/correct', fields)).statusCode).toBe(303)
    const stale = await post('precoat-1', 'coat/correct', { ...fields, started: '08:00' })
    expect(stale.statusCode).toBe(409)
    expect(words(stale.body)).toContain('Stored now')
    expect(stale.body).toContain('value="08:00"')
    expect((await club.db.coat.findFirstOrThrow()).startedAt.toISOString()).toBe('2026-06-06T06:30:00.000Z')
  })

  test('marked finished without a time, a coat counts as put on until now', async () => {
    await post('precoat-1', 'finish')
    const coat = await club.db.coat.findFirstOrThrow()
    // 80 minutes of work by two: 40 minutes.
    expect([coat.startedAt.toISOString(), coat.endedAt.toISOString()]).toEqual(['2026-06-06T07:20:00.000Z', NOW.replace('Z', '.000Z')])
  })
})
