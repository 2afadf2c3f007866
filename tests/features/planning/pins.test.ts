import { expect, test } from 'vitest'
import { testClub } from '../../support/app.ts'
import { askForPlan, landed, planned, planNow, smallClub, textOf } from './club.ts'

// Saturday 30 May 2026, 08:00 in Berlin.
const club = await testClub({ now: '2026-05-30T06:00:00Z' })
const small = await smallClub(club)
const ann = await club.as(small.ann.id)
const ben = await club.as(small.ben.id)
const at = (local: string) => new Date(`${local}:00+02:00`)
const bare = async () => (await planned(club)).map((p) => p.replace(/ by .*/, '')).sort()
const plan = `/builds/${small.build.id}/plan`
await small.session('2026-05-30', '10:00', '14:00')
await small.session('2026-05-31', '10:00', '14:00')
// Both are needed for each, so one comes after the other; the second is wanted only from Sunday on at first.
const first = await small.task('Turn her over', { kind: 'together', handsFrom: 2, handsTo: 2, workLikelyMin: 60, smallestMin: null })
const second = await small.task('Carry her out', { kind: 'together', handsFrom: 2, handsTo: 2, workLikelyMin: 60, smallestMin: null })

test('a piece is pinned where the plan has it, stays there when the plan would move it, and is free again without the pin', async () => {
  await small.link(first.id, second.id, { kind: 'finish', lagMin: 180 })
  await planNow(club)
  expect(await bare()).toEqual(['Carry her out Sun 10:00–11:00', 'Turn her over Sat 10:00–11:00'])
  const piece = await club.db.planPiece.findFirstOrThrow({ where: { taskId: second.id }, orderBy: { planId: 'desc' } })
  expect((await ann.get(plan)).body).toContain(`value="${piece.pieceId}"`)
  const pinned = await ann.post(`${plan}/pin`, { piece: piece.pieceId })
  expect([pinned.statusCode, pinned.headers.location]).toEqual([303, plan])

  // Without the wait it could follow at once, at 11:00; the pin holds it.
  await club.db.link.deleteMany({})
  await askForPlan(club)
  await planNow(club)
  expect(await bare()).toContain('Carry her out Sun 10:00–11:00')
  expect(textOf((await ann.get(plan)).body)).toContain('Somebody pinned it to this time.')

  const pin = await club.db.pin.findFirstOrThrow()
  expect((await ann.post(`${plan}/unpin`, { pin: pin.id })).headers.location).toBe(plan)
  await planNow(club)
  expect(await bare()).toContain('Carry her out Sat 11:00–12:00')
  expect(await landed(club, ann, plan)).toContain('Skua: Carry her out comes forward from Sun 10:00 to Sat 11:00.')
})

test('a piece or a pin that is not there any more is said, and the plan is shown as it is', async () => {
  for (const [path, fields] of [['pin', { piece: 'nothing/1' }], ['take', { task: first.id, start: 1, end: 2 }]] as const) {
    const gone = await ann.post(`${plan}/${path}`, fields)
    expect(gone.statusCode).toBe(409)
    expect(gone.body).toContain('The plan has changed meanwhile')
  }
  expect((await ann.post(`${plan}/unpin`, { pin: first.id })).statusCode).toBe(404)
  const stranger = await club.signedIn(['builder'])
  expect((await stranger.post(`${plan}/pin`, { piece: 'x' })).statusCode).toBe(403)
})

test('in a session that has begun a better way is offered, not taken; who takes it pins it', async () => {
  // Only Carry her out keeps her from her launch; agreed is Turn her over at 10:00, then Carry her out at 11:00.
  club.clock.set(at('2026-05-30T10:05'))
  const urgent = await club.make.build({ name: 'Tern', placeId: small.place.id, priority: 50 }, [small.ann.id, small.ben.id])
  const phase = await club.make.phase(urgent.id)
  await club.db.task.create({
    data: { buildId: urgent.id, phaseId: phase.id, position: 1, name: 'Drop the centreboard', kind: 'together', workLowMin: 60, workLikelyMin: 60, workHighMin: 60, handsFrom: 2, handsTo: 2 },
  })
  await askForPlan(club)
  await planNow(club)
  // What was agreed for the session stays; the urgent one comes after it.
  expect(await bare()).toEqual(['Carry her out Sat 11:00–12:00', 'Drop the centreboard Sat 12:00–13:00', 'Turn her over Sat 10:00–11:00'])
  const board = await ben.get('/')
  expect(textOf(board.body)).toContain('It could also go like this')
  expect(textOf(board.body)).toContain('Tern: Drop the centreboard 11:00–12:00, Ann and Ben, Main floor (now planned Sat 12:00)')
  const offer = await club.db.plan.findFirstOrThrow({ orderBy: { id: 'desc' }, select: { suggestions: true } })
  const taken = (offer.suggestions as { taskId: string; buildId: string; start: number; end: number }[]).find((s) => s.buildId === urgent.id)!
  const answer = await ben.post(`/builds/${urgent.id}/plan/take`, { task: taken.taskId, start: taken.start, end: taken.end, back: '/' })
  expect([answer.statusCode, answer.headers.location]).toEqual([303, '/'])
  await planNow(club)
  expect(await bare()).toEqual(['Carry her out Sat 12:00–13:00', 'Drop the centreboard Sat 11:00–12:00', 'Turn her over Sat 10:00–11:00'])
})
