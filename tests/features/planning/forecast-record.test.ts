import { expect, test } from 'vitest'
import { transact } from '../../../src/platform/database.ts'
import { loadEvidence } from '../../../src/features/planning/forecast/queries/evidence.ts'
import { loadProblem } from '../../../src/features/planning/queries/problem.ts'
import { testClub } from '../../support/app.ts'
import { day, smallClub } from './club.ts'

// Mon 15 June 2026, 10:00 in Berlin: two whole weeks lie behind.
const club = await testClub({ now: '2026-06-15T08:00:00Z' })
const { db, clock } = club
const skua = await smallClub(club)
const { build, ann, ben } = skua

const evidence = () => transact(db, async (tx) => loadEvidence(tx, (await loadProblem(tx, clock.now())).problem))
const log = (taskId: string, iso: string, minutes: number, people: string[], over: { reversesId?: string; linkId?: string; sessionId?: string; setUp?: number } = {}) => {
  const { setUp = 0, ...rest } = over
  return db.workLog.create({
    data: {
      buildId: build.id, taskId, startedAt: new Date(iso), elapsedMin: minutes, workedMin: minutes - setUp, loggedBy: ann.id, loggedAt: new Date(iso), people: { create: people.map((memberId) => ({ memberId })) }, ...rest,
    },
  })
}

test('pace comes from hours of all hands without set-up, less what was taken back, of washes too', async () => {
  const rail = await skua.task('Rail', { workLowMin: 60, workLikelyMin: 120, workHighMin: 240, finishedAt: new Date('2026-06-06T11:00:00Z') })
  // Two people for 75 min, 15 of them set-up: 2 x 60 = 120 min; and 100 min that were logged by mistake and taken back.
  await log(rail.id, '2026-06-06T07:00:00Z', 75, [ann.id, ben.id], { setUp: 15 })
  const wrong = await log(rail.id, '2026-06-06T09:00:00Z', 100, [ann.id])
  await log(rail.id, '2026-06-06T09:00:00Z', 100, [ann.id], { reversesId: wrong.id })
  const one = await skua.coat('Coat 1', { finishedAt: new Date('2026-06-06T12:00:00Z') })
  const two = await skua.coat('Coat 2')
  await db.link.create({ data: { buildId: build.id, fromId: one.id, toId: two.id, kind: 'window', washMin: 60, washLoggedMin: 90, missedAt: clock.now(), washStartedAt: clock.now(), washDoneAt: clock.now() } })
  const e = await evidence()
  expect(e.pace).toEqual([
    { buildId: build.id, craft: 'wood', estimated: 130, worked: 120, sd: 30 },
    { buildId: build.id, craft: 'sanding', estimated: 60, worked: 90, sd: 0 },
  ])
})

test('a finished task whose snag was mended counts as done again, and the mending is no task of its own there', async () => {
  const rail = await db.task.findFirstOrThrow({ where: { name: 'Rail' } })
  const mend = await skua.task('Fill the void', { finishedAt: new Date('2026-06-07T11:00:00Z') })
  await db.snag.create({ data: { buildId: build.id, no: 1, what: 'Void', whereAt: 'rail', bad: 'before_next', foundOn: day('2026-06-06'), foundById: ann.id, taskId: rail.id, reworkTaskId: mend.id, createdAt: clock.now() } })
  const e = await evidence()
  // The rail (done again) and the first coat; “Fill the void” mends.
  expect([...e.finished].sort((a, b) => (a.craft < b.craft ? -1 : 1))).toEqual([{ craft: 'resin', reworked: false }, { craft: 'wood', reworked: true }])
})

test('attendance: hours the week began with beside those ticked; grace at the beginning, early leaving and home hours count', async () => {
  const week = (monday: string, availableMin: number) => db.buildWeek.create({ data: { buildId: build.id, monday: day(monday), availableMin, plannedMin: 300, leftMin: 1000 } })
  await week('2026-06-01', 480)
  await week('2026-06-08', 480)
  // Sat 6 June 09:00-13:00: Ann ticked at 09:40 counts from 09:00, 240 min; Ben came at 11:00 and left at 12:30, 90 min.
  const first = await skua.session('2026-06-06', '09:00', '13:00')
  const tick = (memberId: string, cameAt: string, leftAt: string | null) =>
    db.attendance.update({ where: { sessionId_memberId: { sessionId: first.id, memberId } }, data: { cameAt: new Date(cameAt), leftAt: leftAt && new Date(leftAt) } })
  await tick(ann.id, '2026-06-06T07:40:00Z', null)
  await tick(ben.id, '2026-06-06T09:00:00Z', '2026-06-06T10:30:00Z')
  // At home on the Wednesday: 30 min.
  const rail = await db.task.findFirstOrThrow({ where: { name: 'Rail' } })
  await log(rail.id, '2026-06-03T17:00:00Z', 30, [ben.id])
  // The week after nobody was ticked at all: hours planned on her, 300, beside hours logged on her, 2 x 60.
  const second = await skua.session('2026-06-13', '09:00', '13:00')
  await log(rail.id, '2026-06-13T08:00:00Z', 60, [ann.id, ben.id], { sessionId: second.id })
  const e = await evidence()
  // The 75 min of Sat 6 June name no session, and lie within the one that both were ticked in: not counted twice.
  expect(e.attendance.get(build.id)).toEqual([{ planned: 480, came: 240 + 90 + 30 }, { planned: 300, came: 120 }])
})

test('a week in which she was paused or taken up again is no evidence', async () => {
  await db.auditRow.create({ data: { at: new Date('2026-06-10T10:00:00Z'), memberId: ann.id, what: 'paused', entity: 'build', entityId: build.id, buildId: build.id } })
  expect((await evidence()).attendance.get(build.id)).toHaveLength(1)
})

test('readings of an unheated place say how far months are off its climate', async () => {
  // 18 °C all year by the climate; three readings of May at 24: the month is 6 off. sqrt((4 x 4 + 36) / 5)
  for (const at of ['2026-05-05', '2026-05-12', '2026-05-19']) await db.placeReading.create({ data: { placeId: skua.place.id, at: new Date(`${at}T10:00:00Z`), air: 24 } })
  // Two of June are too few to tell.
  for (const at of ['2026-06-05', '2026-06-06']) await db.placeReading.create({ data: { placeId: skua.place.id, at: new Date(`${at}T10:00:00Z`), air: 10 } })
  expect((await evidence()).temperatureSd).toBeCloseTo(Math.sqrt(52 / 5), 6)
})
