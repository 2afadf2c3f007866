import { expect, test } from 'vitest'
import { testClub } from '../../support/app.ts'
import { planNow, smallClub, textOf } from './club.ts'

// Saturday 30 May 2026, 10:00 in Berlin.
const club = await testClub({ now: '2026-05-30T08:00:00Z' })

test('a club that has just begun is shown the way forward, by everybody who is signed in', async () => {
  const officer = await club.signedIn(['officer'])
  const page = await officer.get('/')
  expect(page.statusCode).toBe(200)
  for (const href of ['/workshop/places/new', '/sessions/new', '/builds/new']) expect(page.body).toContain(`href="${href}"`)
  expect((await officer.get('/weeks-ahead')).statusCode).toBe(200)
  expect(textOf((await officer.get('/overnight')).body)).toContain('It takes a cure product')
  expect((await club.signedOut.get('/')).headers.location).toBe('/sign-in?then=%2F')
})

test('every page of a planned build answers and names its pieces, windows and launch', async () => {
  const small = await smallClub(club)
  const first = await small.coat('First fill coat')
  const second = await small.coat('Second fill coat')
  await small.link(first.id, second.id, { kind: 'window', washMin: 60 })
  const today = await small.session('2026-05-30', '11:00', '17:00')
  await small.session('2026-05-31', '10:00', '16:00')
  expect(await planNow(club)).toBe('planned')
  const ann = await club.as(small.ann.id)

  const board = textOf((await ann.get('/')).body)
  expect(board).toContain('Next: session Sat 11:00–17:00')
  expect(board).toContain('Ann opens up. Expected: Ann and Ben.')
  expect(board).toMatch(/Skua: Second fill coat over First fill coat: opens Sat \d\d:\d\d, shuts Sun 11:00/)

  const weeks = textOf((await ann.get('/weeks-ahead')).body)
  expect(weeks).toContain('2 pieces on Skua up to Sun')
  expect(weeks).toContain('1 recoat window in between is met.')

  const sheet = textOf((await ann.get(`/sessions/${today.id}/sheet`)).body)
  expect(sheet).toContain('First fill coat')
  expect(sheet).toContain('First aid today')
  expect(sheet).toContain('Slow epoxy')

  // For free hands: nothing holds it up, and no piece of the session is about it.
  const spare = await small.task('Sweep the floor', { releaseOn: null })
  const free = textOf((await ann.get(`/sessions/${today.id}/sheet`)).body)
  expect(free).toContain('If hands are free: Sweep the floor')
  expect(free).not.toContain('If hands are free: First fill coat')
  await club.db.task.delete({ where: { id: spare.id } })

  const plan = textOf((await ann.get(`/builds/${small.build.id}/plan`)).body)
  expect(plan).toContain('Launch')
  expect(plan).toMatch(/Second fill coat.*the window opens|The window on First fill coat|The window opens/)
  const weekly = textOf((await ann.get(`/builds/${small.build.id}/weeks`)).body)
  expect(weekly).toContain('2026-W22')

  const check = textOf((await ann.get(`/overnight?product=${small.epoxy.id}&place=${small.place.id}`)).body)
  expect(check).toContain('Go ahead')
  for (const bad of [`/sessions/${small.build.id}/sheet`, '/sessions/nothing/sheet', '/moved/99999', '/moved/x']) expect((await ann.get(bad)).statusCode).toBe(404)
})
