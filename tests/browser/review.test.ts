/**
 * The weekly look, in a real browser on the example club: a photo and a lesson go into the log, the week's review is drafted, put into own
 * words and signed, and shared with guests who see exactly what was allowed, until the link is withdrawn.
 */
import { expect, test } from 'vitest'
import type { Locator, Page } from 'playwright-core'
import sharp from 'sharp'
import { loadDemo } from '../../prisma/demo/index.ts'
import { testClub } from '../support/app.ts'
import { DESK, PHONE, testBrowser, tooWide } from '../support/browser.ts'
import { signIn, text, until } from '../support/demo-pages.ts'

// A Sunday evening: the week's sessions are over.
const club = await testClub({ now: '2026-11-29T20:30:00Z', isSetUp: false })
await loadDemo(club.db, club.clock, club.app.log)
const browser = await testBrowser(club.app)
const MONDAY = '2026-11-23'
const NEXT_MONDAY = '2026-11-30'
const photo = await sharp({ create: { width: 900, height: 600, channels: 3, background: '#b98548' } }).jpeg().toBuffer()

async function send(page: Page, button: Locator): Promise<void> {
  const answered = page.waitForResponse((r) => r.request().method() === 'POST')
  await button.click()
  await answered
  await page.waitForLoadState('load')
}

test('a week is written down, reviewed, signed and shown to guests', async () => {
  const { id: buildId } = await club.db.build.findUniqueOrThrow({ where: { name: 'Turnstone' }, select: { id: true } })
  const at = `/builds/${buildId}`
  const page = await (await browser.visit({ width: PHONE })).newPage()
  await signIn(page, 'priya')

  // On a phone, into the log: a lesson with a photo; what is no photo is refused and the words stay.
  await page.goto(`${at}/log`)
  await page.getByLabel('What happened').fill('Luis Ferrant and Priya found that the starboard tape wants wetting out from the middle.')
  await page.getByLabel('Photos').setInputFiles({ name: 'tape.jpg', mimeType: 'image/jpeg', buffer: Buffer.from('this is no photo') })
  await send(page, page.getByRole('button', { name: 'Write it down' }))
  await page.getByText(/is no photo|can’t be read|no picture/).first().waitFor()
  expect(await page.getByLabel('What happened').inputValue()).toContain('wetting out from the middle')
  expect(await club.db.logEntry.count({ where: { text: { contains: 'wants wetting out' } } })).toBe(0)
  await page.getByLabel('Photos').setInputFiles({ name: 'tape.jpg', mimeType: 'image/jpeg', buffer: photo })
  await page.getByText('A lesson, a decision, another day').click()
  await page.getByLabel(/^Lesson/).check()
  await page.getByLabel(/[Gg]uests/).check()
  await send(page, page.getByRole('button', { name: 'Write it down' }))
  await page.getByText('wants wetting out from the middle').first().waitFor()
  expect(await tooWide(page)).toEqual([])

  club.clock.moveMinutes(5)

  // Next week can't be reviewed yet; this one can, and is drafted from the books.
  await page.goto(`${at}/reviews/${NEXT_MONDAY}`)
  expect(await text(page)).toMatch(/has not begun/)
  await page.goto(`${at}/reviews/${MONDAY}`)
  expect(await text(page)).toContain('Drafted from what was logged')
  await page.getByLabel('The week in a sentence').fill('Oona Marsh lent a hand; the tape cost €12 more than thought.')
  await page.getByLabel('About next week').fill('Priya brings the long battens.')
  await send(page, page.getByRole('button', { name: 'Save the draft' }))
  await page.getByText('saved as a draft').first().waitFor()
  // Guests never see a draft, nor does signing wait for anything but the person.
  const draft = await club.db.weekReview.findUniqueOrThrow({ where: { buildId_monday: { buildId, monday: new Date(`${MONDAY}T00:00:00Z`) } } })
  expect(draft.state).toBe('draft')
  await send(page, page.getByRole('button', { name: 'Save and sign' }))
  await page.getByText('is signed and stays as it is').first().waitFor()
  await page.goto(`${at}/reviews/${MONDAY}`)
  const signed = await text(page)
  expect(signed).toContain('Oona Marsh lent a hand')
  expect(signed).toContain('wetting out from the middle')
  expect(await page.getByRole('button', { name: 'Save and sign' }).count()).toBe(0)
  expect(await tooWide(page)).toEqual([])

  // A link for guests: money and names are off by default.
  const desk = await (await browser.visit({ width: DESK })).newPage()
  await signIn(desk, 'priya')
  await desk.goto(`${at}/guests`)
  await desk.getByLabel('For whom').fill('The aunt’s family')
  await send(desk, desk.getByRole('button', { name: 'Make the link' }))
  const address = await until(desk, desk.url().replace(browser.origin, ''), /guests\/[\w-]{43}/)
  const link = /\/guests\/[\w-]{43}/.exec(address)?.[0] ?? ''
  expect(link).not.toBe('')

  const guest = await (await browser.visit({ width: PHONE, javaScript: false })).newPage()
  await guest.goto(link)
  const board = await text(guest)
  expect(board).toContain('When will she be launched?')
  expect(await guest.getByRole('navigation').count()).toBe(0)
  expect(await guest.locator('main img').count()).toBeGreaterThan(0)
  await guest.goto(`${link}/weeks/${MONDAY}`)
  const seen = await text(guest)
  expect(seen).toContain('lent a hand')
  for (const hidden of ['Oona', 'Marsh', 'Priya', 'Luis', 'Ferrant', '€']) expect(seen, hidden).not.toContain(hidden)
  expect(await tooWide(guest)).toEqual([])
  // The photo of the log is served small to a guest, without what the camera wrote.
  const src = await guest.locator('main img').first().getAttribute('src')
  const file = await guest.request.get(src ?? '')
  expect(file.headers()['content-type']).toBe('image/jpeg')
  expect((await sharp(await file.body()).metadata()).exif).toBeUndefined()

  // Names are let in, and the link is withdrawn: each holds at once.
  await desk.goto(`${at}/guests`)
  const link1 = desk.locator('li', { has: desk.getByRole('heading', { name: 'The aunt’s family' }) })
  await link1.locator('summary').first().click()
  await link1.getByLabel(/^Names of the people/).check()
  await send(desk, link1.getByRole('button', { name: 'Save' }))
  await guest.goto(`${link}/weeks/${MONDAY}`)
  expect(await text(guest)).toContain('Oona Marsh')
  expect(await text(guest)).not.toContain('€')
  await desk.goto(`${at}/guests`)
  await desk.locator('li', { has: desk.getByRole('heading', { name: 'The aunt’s family' }) }).locator('summary').first().click()
  await send(desk, desk.getByRole('button', { name: /Withdraw/ }).first())
  await desk.getByText(/The aunt’s family: withdrawn/).waitFor()
  const gone = await guest.goto(`${link}/weeks/${MONDAY}`)
  expect(gone?.status()).toBe(410)
  expect(await text(guest)).toMatch(/withdrawn/)
})

test('the last eight weeks of the example club read like what happened', async () => {
  const builds = new Map((await club.db.build.findMany({ select: { id: true, name: true } })).map((b) => [b.name, b.id]))
  const page = await (await browser.visit({ width: DESK })).newPage()
  await signIn(page, 'inge')
  const week = async (name: string, monday: string) => {
    await page.goto(`/builds/${builds.get(name)}/reviews/${monday}`)
    return text(page)
  }
  for (const name of ['Dunlin', 'Turnstone']) {
    await page.goto(`/builds/${builds.get(name)}/reviews`)
    expect((await text(page)).match(/signed/gi)?.length ?? 0, name).toBeGreaterThanOrEqual(8)
  }
  // Weeks of the scenario before the one of 23 November: 5 is that of 19 October, 3 of 2 November, 2 of 9 November, 1 of 16 November.
  expect(await week('Dunlin', '2026-10-19')).toMatch(/working party made up what half-term had cost/)
  const missed = await week('Dunlin', '2026-11-02')
  expect(missed).toContain('the window was missed')
  expect(missed).toContain('we lock up at half past four')
  const late = await week('Turnstone', '2026-11-02')
  expect(late).toContain('waiting for something to come')
  expect(await week('Turnstone', '2026-11-09')).toMatch(/sheathed bottom on Saturday: the slip is made up/)
  const found = await week('Dunlin', '2026-11-09')
  expect(found).toContain('Hole in a fillet')
  expect(found).toContain('a tool was missing')
  expect(await week('Dunlin', '2026-11-16')).toMatch(/void is mended/)
  await page.goto(`/builds/${builds.get('Dunlin')}/snags`)
  await page.getByText('1 closed snag').click()
  expect(await text(page)).toMatch(/Hole in a fillet.*[Mm]ended/)
})
