/**
 * The main job as a club does it, in a real browser on the example club: sign in, start a dinghy with own measurements, say who comes to
 * three sessions, read the plan, work a session from its sheet, close it out, see what moved.
 */
import { expect, test } from 'vitest'
import { loadDemo } from '../../prisma/demo/index.ts'
import { testClub } from '../support/app.ts'
import { DESK, testBrowser } from '../support/browser.ts'
import { signIn, text, until } from '../support/demo-pages.ts'

// A Thursday: the next session is Saturday 28 November, 09:30–16:30 (Amsterdam, UTC+1).
const club = await testClub({ now: '2026-11-26T09:00:00Z', isSetUp: false })
await loadDemo(club.db, club.clock, club.app.log)
const browser = await testBrowser(club.app)

test.each([['with script', true], ['without script', false]])('from a list to a session that moved the plan, %s', async (how, javaScript) => {
  club.clock.set('2026-11-26T09:00:00Z')
  const context = await browser.visit({ width: DESK, javaScript })
  const page = await context.newPage()
  await signIn(page, 'inge')

  // Start a dinghy with its own measurements.
  const name = `Sanderling ${how}`
  await page.goto('/builds')
  await page.getByRole('link', { name: 'Start a build' }).click()
  await page.getByRole('link', { name: 'Measure and start' }).first().click()
  await page.getByLabel('Length overall').fill('3.9')
  await page.getByLabel('Beam').fill('1.45')
  await page.getByRole('button', { name: 'Work out the rest' }).click()
  await page.getByLabel(/^Bottom, outside/).fill('4.1')
  await page.getByLabel(/^Seams to fillet/).fill('11.5')
  await page.getByLabel('Her name').fill(name)
  await page.getByLabel('Where she stands', { exact: true }).selectOption({ label: 'Main floor (The shed, 2 bays)' })
  for (const hand of ['Luis Ferrant', 'Oona Marsh', 'Marten Vosk']) await page.getByLabel(hand).check()
  await page.getByRole('button', { name: 'Start her' }).click()
  await page.waitForURL(/\/builds\/[0-9a-f-]{36}\/started/)
  const buildId = /builds\/([0-9a-f-]{36})/.exec(page.url())?.[1] ?? ''
  const measured = await club.db.build.findUniqueOrThrow({ where: { id: buildId }, select: { name: true, measurements: true, _count: { select: { tasks: true } } } })
  expect(measured.name).toBe(name)
  expect(measured.measurements).toMatchObject({ length: 3.9, beam: 1.45, areaBottom: 4.1, seams: 11.5 })
  expect(measured._count.tasks).toBeGreaterThanOrEqual(60)

  // Two people say for three sessions that they come.
  const sessions = await club.db.session.findMany({ where: { date: { gte: new Date('2026-11-28T00:00:00Z') }, state: 'planned' }, orderBy: [{ date: 'asc' }, { starts: 'asc' }], take: 3, select: { id: true } })
  for (const { id } of sessions) {
    for (const person of ['Nadia Brook', 'Oona Marsh']) {
      await page.goto(`/sessions/${id}`)
      const row = page.getByRole('row', { name: new RegExp(person) })
      await row.getByText(/^Answer/).click()
      const answered = page.waitForResponse((r) => r.request().method() === 'POST')
      await row.getByRole('button', { name: /Comes for/ }).first().click()
      await answered
      await page.waitForLoadState('load')
    }
  }
  const answers = await club.db.attendance.count({ where: { sessionId: { in: sessions.map((s) => s.id) }, answer: 'coming', member: { name: { in: ['Nadia Brook', 'Oona Marsh'] } } } })
  expect(answers).toBe(6)

  // Read a plan with windows, reasons and a launch.
  const plan = await until(page, `/builds/${buildId}/plan`, /no plan launches her before/i)
  expect(plan).toMatch(/window/i)
  expect(plan).toMatch(/Nobody is here|waits|behind|is finished|opens/i)

  // Work the session from its sheet: Saturday afternoon.
  const session = sessions[0]?.id ?? ''
  club.clock.set('2026-11-28T15:20:00Z')
  await page.goto(`/sessions/${session}/sheet`)
  expect(await text(page)).toContain('Expected')
  await page.goto(`/sessions/${session}/close-out`)
  const pieces = page.getByRole('group', { name: 'How did it go?' })
  const n = await pieces.count()
  expect(n).toBeGreaterThan(0)
  const before = await club.db.workLog.count()
  for (let i = 0; i < n; i++) await pieces.nth(i).getByLabel(i === 0 ? 'Done' : 'Not done', { exact: true }).check()
  await page.getByLabel(/Waste dealt with/).check()
  await page.getByLabel(/shed locked/).check()
  await page.getByRole('button', { name: 'Close out' }).click()
  await page.waitForURL((url) => !url.pathname.endsWith('/close-out') || url.search !== '')
  expect(await club.db.closeOut.count({ where: { sessionId: session, shedLocked: true, wasteSafe: true } })).toBe(1)
  expect(await club.db.workLog.count()).toBe(before + 1)

  // See what moved: what was not done has a new time, in words.
  const moved = await club.db.planRequest.findFirstOrThrow({ orderBy: { id: 'desc' } })
  for (let tries = 0; tries < 60; tries++) {
    const row = await club.db.planRequest.findUniqueOrThrow({ where: { id: moved.id } })
    if (row.planId !== null) break
    await page.waitForTimeout(500)
  }
  const { planId } = await club.db.planRequest.findUniqueOrThrow({ where: { id: moved.id } })
  await page.goto(`/moved/${planId}`)
  expect(await text(page)).toMatch(/moves from .* to /)
  await context.close()
  // The other run needs the session open again.
  await club.db.closeOut.deleteMany({ where: { sessionId: session } })
  await club.db.session.update({ where: { id: session }, data: { state: 'planned' } })
}, 180_000)
