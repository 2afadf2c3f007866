import { describe, expect, test } from 'vitest'
import { testClub } from '../../support/app.ts'
import { askForPlan, day, landed, planned, planNow, smallClub, textOf } from './club.ts'

// Saturday 30 May 2026, 08:00 in Berlin (UTC+2): the session begins at 10:00.
const club = await testClub({ now: '2026-05-30T06:00:00Z' })
const small = await smallClub(club)
const ann = await club.as(small.ann.id)
const at = (local: string) => new Date(`${local}:00+02:00`)
const bare = (pieces: string[]) => pieces.map((p) => p.replace(/ by .*/, ''))
const saturday = await small.session('2026-05-30', '10:00', '13:00')
await small.session('2026-05-31', '10:00', '16:00')
const closeOut = `/sessions/${saturday.id}/close-out`

/** One hand each, in one go, so that the plan has one way only: both at ten, one by each. */
const keel = await small.task('Plane the keel', { workLikelyMin: 120, handsTo: 1, smallestMin: null })
const rudder = await small.task('Sand the rudder', { workLikelyMin: 150, handsTo: 1, smallestMin: null })

describe('a session that has begun', () => {
  test('before it begins the plan is free', async () => {
    expect(await planNow(club)).toBe('planned')
    expect(bare(await planned(club)).sort()).toEqual(['Plane the keel Sat 10:00–12:00', 'Sand the rudder Sat 10:00–12:30'])
  })

  test('keeps its pieces, whatever else would be better now', async () => {
    club.clock.set(at('2026-05-30T10:30'))
    // Somebody states that little is left of the rudder, and something urgent comes in: free, the plan would move.
    const before = await club.db.planPiece.findMany({ where: { plan: { status: { not: 'failed' } } }, orderBy: [{ planId: 'desc' }, { taskId: 'asc' }], take: 2 })
    await club.db.build.update({ where: { id: small.build.id }, data: { launchTarget: day('2026-05-30') } })
    await small.task('Find the leak', { workLikelyMin: 30, handsTo: 1, smallestMin: null })
    await askForPlan(club)
    expect(await planNow(club)).toBe('planned')
    const now = await club.db.planPiece.findMany({ where: { plan: { id: { gt: before[0]!.planId } } }, orderBy: { taskId: 'asc' } })
    for (const piece of before) {
      expect(now.find((p) => p.taskId === piece.taskId)).toMatchObject({ startsAt: piece.startsAt, endsAt: piece.endsAt, people: piece.people, placeId: piece.placeId, fixed: 'frozen' })
    }
    // 12:00 is when the first of the two is free again.
    expect(bare(await planned(club))).toContain('Find the leak Sat 12:00–12:30')
  })

  test('says on the plan that its work stays as agreed', async () => {
    const page = textOf((await ann.get(`/builds/${small.build.id}/plan`)).body)
    expect(page).toContain('The session has begun, and its work stays as it was agreed.')
  })

  test('shows its sheet with people, boxes for first aid and fire, and the way to close out', async () => {
    const sheet = textOf((await ann.get(`/sessions/${saturday.id}/sheet`)).body)
    for (const text of ['Opens up: Ann', 'Expected: Ben', 'Plane the keel', 'Sand the rudder', 'First aid today', 'Fire:', 'Close out']) expect(sheet).toContain(text)
  })

  test('is closed out by a keyholder only', async () => {
    const ben = await club.as(small.ben.id)
    expect((await ben.get(closeOut)).statusCode).toBe(403)
    expect((await ben.post(closeOut)).statusCode).toBe(403)
  })
})

describe('close-out', () => {
  const say = (n: number, taskId: string, state: string, more: Record<string, string | string[]> = {}) => ({
    [`p${n}_task`]: taskId, [`p${n}_build`]: small.build.id, [`p${n}_state`]: state, ...Object.fromEntries(Object.entries(more).map(([k, v]) => [`p${n}_${k}`, v])),
  })
  const done = { from: '10:00', to: '12:00', people: [small.ann.id] }
  const facts = async () => [await club.db.workLog.count(), await club.db.closeOut.count(), await club.db.task.count({ where: { finishedAt: { not: null } } })]

  test('a wrong entry changes nothing, keeps what was typed and puts the message at its field', async () => {
    club.clock.set(at('2026-05-30T13:05'))
    const bad = await ann.post(closeOut, { ...say(0, keel.id, 'done', { ...done, to: '09:00' }), ...say(1, rudder.id, ''), shedLocked: 'on', wasteSafe: 'on', note: 'Sanding discs ran out' })
    expect(bad.statusCode).toBe(422)
    expect(bad.body).toContain('Ends before it begins')
    expect(bad.body).toContain('Say whether it is done, done in part or not done')
    expect(bad.body).toContain('Sanding discs ran out')
    expect(bad.body).toContain('value="09:00"')
    expect(await facts()).toEqual([0, 0, 0])
  })

  test('one piece that is refused takes all the others back with it', async () => {
    // The first is good by itself; the second names nobody.
    const bad = await ann.post(closeOut, { ...say(0, keel.id, 'done', done), ...say(1, rudder.id, 'part', { from: '10:00', to: '12:00', left: '1' }), shedLocked: 'on', wasteSafe: 'on' })
    expect(bad.statusCode).toBe(422)
    expect(textOf(bad.body)).toContain('Sand the rudder: Nobody is named')
    expect(await facts()).toEqual([0, 0, 0])
  })

  test('a shed left open is closed out only with a word about it', async () => {
    const bad = await ann.post(closeOut, say(0, keel.id, 'not'))
    expect(bad.statusCode).toBe(422)
    expect(bad.body).toContain('Or say in the note who locks up')
    expect(await facts()).toEqual([0, 0, 0])
  })

  test('it books what was done, in part and not, moves the plan, and the next page says what moved', async () => {
    const answer = await ann.post(closeOut, {
      ...say(0, keel.id, 'done', done), ...say(1, rudder.id, 'part', { from: '10:00', to: '11:00', people: [small.ben.id], left: '1:30' }), shedLocked: 'on', wasteSafe: 'on',
    })
    expect([answer.statusCode, answer.headers.location]).toEqual([303, '/'])
    expect(await club.db.task.findUnique({ where: { id: keel.id }, select: { finishedAt: true } })).toEqual({ finishedAt: at('2026-05-30T12:00') })
    const logs = await club.db.workLog.findMany({ orderBy: { elapsedMin: 'desc' }, include: { people: true } })
    expect(logs.map((l) => [l.taskId, l.elapsedMin, l.sessionId, l.people.map((p) => p.memberId)])).toEqual([[keel.id, 120, saturday.id, [small.ann.id]], [rudder.id, 60, saturday.id, [small.ben.id]]])
    expect((await club.db.session.findUniqueOrThrow({ where: { id: saturday.id } })).state).toBe('closed')

    expect(await planNow(club)).toBe('planned')
    // An hour and a half is left of the rudder; the leak, not looked for on Saturday, moves as well.
    expect(bare(await planned(club)).sort()).toEqual(['Find the leak Sun 10:00–10:30', 'Sand the rudder Sun 10:00–11:30'])
    const board = await landed(club, ann)
    expect(board).toContain('Find the leak moves from Sat 12:00 to Sun 10:00')
    expect(board).not.toContain('is not closed out yet')
    // The request for the plan travels in a cookie, so that any page the person lands on can tell.
    expect(String(answer.headers['set-cookie'])).toContain('garboard_after=')
  })

  test('sent again it is booked once, and the page says that it is closed', async () => {
    const again = await ann.post(closeOut, { ...say(0, keel.id, 'done', done), shedLocked: 'on', wasteSafe: 'on' })
    expect(again.statusCode).toBe(409)
    expect(await club.db.workLog.count()).toBe(2)
    expect(textOf((await ann.get(closeOut)).body)).toContain('Ann closed it out')
  })

  test('a session that is to come can’t be closed out', async () => {
    const sunday = await club.db.session.findFirstOrThrow({ where: { date: day('2026-05-31') } })
    const answer = await ann.post(`/sessions/${sunday.id}/close-out`, { shedLocked: 'on', wasteSafe: 'on' })
    expect(answer.statusCode).toBe(422)
    expect(answer.body).toContain('has not begun yet')
  })
})

test('a session nobody closed out counts as it was planned for a day, then as not done', async () => {
  await planNow(club)
  // Sunday's session, 10:00 to 16:00, with the rudder till 11:30; nobody logs anything.
  club.clock.set(at('2026-05-31T17:00'))
  await small.session('2026-06-06', '10:00', '16:00')
  await askForPlan(club)
  await planNow(club)
  expect(bare(await planned(club))).toContain('Sand the rudder Sun 10:00–11:30')
  expect(textOf((await ann.get('/')).body)).toContain('The session of Sun 10:00 is not closed out yet')
  club.clock.set(at('2026-06-01T17:00'))
  expect(await planNow(club)).toBe('planned')
  expect(bare(await planned(club))).toContain('Sand the rudder Sat 10:00–11:30')
  expect(textOf((await ann.get('/')).body)).toContain('The session of Sun 10:00 is not closed out yet')
})

test('the sheet of a closed session tells what was done in it', async () => {
  const sheet = textOf((await ann.get(`/sessions/${saturday.id}/sheet`)).body)
  // 2 h of the keel and 1 h of the rudder.
  expect(sheet).toContain('Done in this session 3 h of work')
  expect(sheet).toContain('10:00–12:00 Skua: Plane the keel , Ann')
  expect(sheet).not.toContain('First aid today')
})
