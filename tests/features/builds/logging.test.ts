import { randomUUID } from 'node:crypto'
import { beforeAll, describe, expect, test } from 'vitest'
import { loadBuildsForPlanning } from '../../../src/features/builds/public.ts'
import { instant } from '../../../src/core/units/index.ts'
import { testClub, type Person } from '../../support/app.ts'
import { started, words } from './support.ts'

// 11:00 in Berlin.
const NOW = '2026-06-06T09:00:00Z'
const club = await testClub({ now: NOW })
let builder: Person & { memberId: string }
let mate: Person & { memberId: string }
let buildId: string
const taskOf = (listKey: string) => club.db.task.findFirstOrThrow({ where: { buildId, listKey } })
const url = (taskId: string, path = '') => `/builds/${buildId}/tasks/${taskId}${path}`
const logsOf = (taskId: string) => club.db.workLog.findMany({ where: { taskId }, include: { people: true }, orderBy: { loggedAt: 'asc' } })
const leftOf = async (taskId: string) => {
  const at = instant(Math.floor(club.clock.now().getTime() / 60_000))
  const { tasks } = await loadBuildsForPlanning(club.db, { now: at, from: at, until: instant(at + 14 * 1440) })
  const work = tasks.find((t) => t.id === taskId)!.work
  return work.kind === 'shared' ? work.work : work.minutes
}

beforeAll(async () => {
  builder = await club.signedIn(['builder'], { name: 'Ann Tern' })
  mate = await club.signedIn(['builder'], { name: 'Ben Knot' })
  buildId = await started(club, builder, { team: [builder.memberId, mate.memberId] })
})

describe('hours', () => {
  test('one tap logs an hour of mine until now, and set-up and clear-up are worked but no progress', async () => {
    const task = await taskOf('loft-panels')
    const before = await leftOf(task.id)
    const answer = await builder.post(url(task.id, '/hours'), { hours: '1' })
    expect(answer.statusCode).toBe(303)
    const [log] = await logsOf(task.id)
    expect(log!.startedAt.toISOString()).toBe('2026-06-06T08:00:00.000Z')
    expect(log!.elapsedMin).toBe(60)
    // Set-up 10 and clear-up 10 of each piece: 60 - 20 = 40 count.
    expect(task.setUpMin + task.clearUpMin).toBe(20)
    expect(log!.workedMin).toBe(40)
    expect(log!.people.map((p) => p.memberId)).toEqual([builder.memberId])
    expect(before - (await leftOf(task.id))).toBe(40)
    expect((await taskOf('loft-panels')).startedAt).toEqual(log!.startedAt)
  })

  test.each([
    ['abc', '“abc” is not a number of hours'],
    ['-3', '“-3” is less than nothing'],
    ['0', 'More than nothing'],
    ['30', 'more than one stretch of work'],
    ['', 'Say how long'],
  ])('hours of “%s” are refused at the field, what was typed stays, nothing is logged', async (hours, message) => {
    const task = await taskOf('cut-panels')
    const answer = await builder.post(url(task.id, '/hours'), { hours, note: 'cut by eye' })
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain(message)
    expect(answer.body).toContain('value="cut by eye"')
    expect(await logsOf(task.id)).toEqual([])
  })

  test('hours that end in the future are refused', async () => {
    const task = await taskOf('cut-panels')
    const answer = await builder.post(url(task.id, '/hours'), { hours: '2', day: '2026-06-06', from: '10:00' })
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain('end in the future')
  })

  test('a wrong entry is taken back by one of its own: both stay, their sum is nothing, and it goes once', async () => {
    const task = await taskOf('plane-panels')
    const whole = await leftOf(task.id)
    await builder.post(url(task.id, '/hours'), { hours: '1:30', for: [builder.memberId, mate.memberId] })
    // 90 - 5 - 10 = 75 minutes by two: 150 person-minutes; never below a tenth of likely.
    expect(await leftOf(task.id)).toBe(Math.max(Math.ceil(task.workLikelyMin / 10), whole - 150))
    const [entry] = await logsOf(task.id)
    expect((await mate.post(url(task.id, `/hours/${entry!.id}/reverse`))).statusCode).toBe(303)
    expect(await leftOf(task.id)).toBe(whole)
    expect(await logsOf(task.id)).toHaveLength(2)
    const again = await builder.post(url(task.id, `/hours/${entry!.id}/reverse`))
    expect(again.statusCode).toBe(409)
    expect(await logsOf(task.id)).toHaveLength(2)
    expect((await taskOf('plane-panels')).startedAt).toBeNull()
    const page = words((await builder.get(url(task.id))).body)
    expect(page).toContain('taken back by Ben Knot')
  })

  test('two people who log at once are both kept; the same form sent twice books once', async () => {
    const task = await taskOf('cut-bulkheads')
    const answers = await Promise.all([builder.post(url(task.id, '/hours'), { hours: '1' }), mate.post(url(task.id, '/hours'), { hours: '2' })])
    expect(answers.map((a) => a.statusCode)).toEqual([303, 303])
    const logs = await logsOf(task.id)
    expect(logs.map((l) => l.elapsedMin).sort()).toEqual([120, 60].sort())
    const once = randomUUID()
    const twice = await Promise.all([builder.post(url(task.id, '/hours'), { hours: '0.5', once }), builder.post(url(task.id, '/hours'), { hours: '0.5', once })])
    expect(twice.map((a) => a.statusCode)).toEqual([303, 303])
    expect(await logsOf(task.id)).toHaveLength(3)
  })

  test('a session that was on is guessed', async () => {
    const site = await club.make.site()
    const session = await club.db.session.create({ data: { siteId: site.id, date: new Date('2026-06-06T00:00:00Z'), starts: '09:00', ends: '16:00' } })
    const task = await taskOf('cut-scarfs')
    await builder.post(url(task.id, '/hours'), { hours: '1' })
    expect((await logsOf(task.id))[0]!.sessionId).toBe(session.id)
  })

  test('somebody outside the team may not log on her, a keyholder may', async () => {
    const task = await taskOf('cut-scarfs')
    const stranger = await club.signedIn(['builder'])
    expect((await stranger.post(url(task.id, '/hours'), { hours: '1' })).statusCode).toBe(403)
    const keyholder = await club.signedIn(['keyholder'])
    expect((await keyholder.post(url(task.id, '/hours'), { hours: '1', for: builder.memberId })).statusCode).toBe(303)
    const last = (await logsOf(task.id)).find((l) => l.loggedBy === keyholder.memberId)
    expect(last!.people.map((p) => p.memberId)).toEqual([builder.memberId])
  })

  test('a task of another build is not reached through this one', async () => {
    const other = await club.make.build({}, [builder.memberId])
    const task = await taskOf('cut-scarfs')
    expect((await builder.get(`/builds/${other.id}/tasks/${task.id}`)).statusCode).toBe(404)
    expect((await builder.post(`/builds/${other.id}/tasks/${task.id}/hours`, { hours: '1' })).statusCode).toBe(404)
  })
})

describe('ticks, what is left, finished', () => {
  test('a tick keeps who and when of the first, and can be taken off', async () => {
    const task = await taskOf('check-plans')
    const [step] = await club.db.step.findMany({ where: { taskId: task.id }, orderBy: { position: 'asc' } })
    await builder.post(url(task.id, `/steps/${step!.id}`), { ticked: 'yes' })
    await mate.post(url(task.id, `/steps/${step!.id}`), { ticked: 'yes' })
    expect((await club.db.step.findUniqueOrThrow({ where: { id: step!.id } })).tickedBy).toBe(builder.memberId)
    expect(words((await builder.get(url(task.id))).body)).toContain('(Ann Tern,')
    await mate.post(url(task.id, `/steps/${step!.id}`), { ticked: 'no' })
    expect((await club.db.step.findUniqueOrThrow({ where: { id: step!.id } })).tickedAt).toBeNull()
    expect((await taskOf('check-plans')).startedAt).toBeNull()
  })

  test('work left as stated counts, less what is logged later', async () => {
    const task = await taskOf('glue-scarfs-bottom')
    expect((await builder.post(url(task.id, '/left'), { left: '3' })).statusCode).toBe(303)
    expect(await leftOf(task.id)).toBe(180)
    club.clock.moveMinutes(1)
    await builder.post(url(task.id, '/hours'), { hours: '1' })
    // Together: 60 - 10 - 10 = 40 elapsed minutes of progress; 180 - 40 = 140.
    expect(await leftOf(task.id)).toBe(140)
    const nothing = await builder.post(url(task.id, '/left'), { left: '0' })
    expect(nothing.statusCode).toBe(422)
    expect(words(nothing.body)).toContain('mark it finished')
    club.clock.set(NOW)
  })

  test('finished and reopened; the launch launches her', async () => {
    const task = await taskOf('check-plans')
    expect((await builder.post(url(task.id, '/finish'))).statusCode).toBe(303)
    expect((await taskOf('check-plans')).finishedAt).toEqual(new Date(NOW))
    await builder.post(url(task.id, '/reopen'))
    expect((await taskOf('check-plans')).finishedAt).toBeNull()
    const launch = await taskOf('launch')
    await builder.post(url(launch.id, '/finish'))
    expect((await club.db.build.findUniqueOrThrow({ where: { id: buildId } })).state).toBe('launched')
    await builder.post(url(launch.id, '/reopen'))
    expect((await club.db.build.findUniqueOrThrow({ where: { id: buildId } })).state).toBe('active')
  })

  test('what changes the plan asks for one', async () => {
    const before = await club.db.planRequest.count()
    const task = await taskOf('check-plans')
    await builder.post(url(task.id, '/hours'), { hours: '0.5' })
    const rows = await club.db.planRequest.findMany({ orderBy: { id: 'asc' }, skip: before })
    expect(rows.map((r) => r.cause)).toEqual(['30 min logged on “Read the plans through, check sheets and offcuts” (Sanderling)'])
  })
})
