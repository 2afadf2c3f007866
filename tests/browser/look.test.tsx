import { describe, expect, test } from 'vitest'
import { LIVE_CHANNEL } from '../../src/platform/events.ts'
import { testClub } from '../support/app.ts'
import { axe, DESK, LOOKS, PHONE, shot, testBrowser, tooWide } from '../support/browser.ts'
import { specimenFeature } from './specimen.tsx'

const club = await testClub({ features: [specimenFeature] })
const browser = await testBrowser(club.app)
const ann = await club.signedIn(['officer'], { name: 'Ann' })

describe.each(LOOKS)('the parts at $width px, $scheme', (look) => {
  test('have nothing that axe finds, and scroll only downwards', async () => {
    const page = await browser.open('/specimen', { ...look, secret: ann.secret, forAxe: true })
    expect(await axe(page)).toEqual([])
    expect(await tooWide(page)).toEqual([])
    await shot(page, `parts-${look.width}-${look.scheme}`)
  })

  test('stay so when a form is refused', async () => {
    const page = await browser.open('/specimen', { ...look, secret: ann.secret, forAxe: true })
    await page.getByLabel('Mixed').fill('abc')
    await page.getByRole('button', { name: 'Save' }).click()
    await page.getByRole('alert').waitFor()
    expect(await axe(page)).toEqual([])
    await shot(page, `refused-${look.width}-${look.scheme}`)
  })
})

test('axe does find what is wrong: a picture without words and pale text', async () => {
  const page = await browser.open('/specimen', { width: DESK, forAxe: true })
  await page.evaluate(`document.querySelector('main').insertAdjacentHTML('beforeend', '<img src="/static/icon.svg"><p style="color: #999; background: #fff">pale</p>')`)
  const found = await axe(page)
  expect(found.map((line) => line.split(':')[0]).sort()).toEqual(['color-contrast', 'image-alt'])
})

test('pages keep to the content policy: nothing is blocked, htmx and the little script run', async () => {
  const page = await (await browser.visit({ width: DESK, secret: ann.secret })).newPage()
  const said: string[] = []
  page.on('console', (message) => message.type() === 'error' && said.push(message.text()))
  page.on('pageerror', (error) => said.push(error.message))
  page.on('requestfailed', (request) => said.push(`${request.url()} failed`))
  await page.goto('/specimen')
  expect(await page.evaluate('typeof htmx')).toBe('object')
  expect(await page.getByRole('button', { name: 'Print' }).isVisible()).toBe(true)
  await page.getByRole('button', { name: 'Save' }).click()
  await page.getByText('First fill coat is logged: 650 g.').waitFor()
  expect(said).toEqual([])
})

describe.each([true, false])('a form, with script: %s', (javaScript) => {
  test('keeps what was typed, and takes you to the field that is wrong', async () => {
    const page = await browser.open('/specimen', { width: PHONE, secret: ann.secret, javaScript })
    await page.getByLabel('Mixed').fill('a cupful')
    await page.getByLabel('Note').fill('Left the heater on.')
    await page.getByText('hard', { exact: true }).click()
    await page.getByLabel('The weave is full').uncheck()
    await page.getByRole('button', { name: 'Save' }).click()
    await page.getByRole('alert').waitFor()
    const mixed = page.getByLabel('Mixed')
    expect(await mixed.inputValue()).toBe('a cupful')
    expect(await mixed.getAttribute('aria-invalid')).toBe('true')
    const described = (await mixed.getAttribute('aria-describedby'))?.split(' ') ?? []
    expect(await page.locator(`#${described.at(-1) ?? ''}`).innerText()).toBe('Mixed is a number of grams, such as 650.')
    expect(await page.getByLabel('Note').inputValue()).toBe('Left the heater on.')
    expect(await page.getByLabel('hard', { exact: true }).isChecked()).toBe(true)
    expect(await page.getByLabel('The weave is full').isChecked()).toBe(false)
    await page.getByRole('alert').getByRole('link').click()
    expect(await page.evaluate('document.activeElement.name')).toBe('mixed')
  })

  test('from a stale page shows both values', async () => {
    const page = await browser.open('/specimen', { width: PHONE, secret: ann.secret, javaScript })
    await page.getByLabel('Name of the coat').fill('stale')
    await page.getByRole('button', { name: 'Save' }).click()
    await page.getByText('Ben changed this coat meanwhile.').waitFor()
    expect(await page.getByLabel('Name of the coat').inputValue()).toBe('stale')
    const stored = await page.locator('.field-stored').allInnerTexts()
    expect(stored).toEqual(['Stored meanwhile: Second fill coat', 'Stored meanwhile: 700', 'Stored meanwhile: Slow hardener', 'Stored meanwhile: hard'])
  })
})

test('the small page has its navigation without script, and every target in it is 44 px high', async () => {
  const page = await browser.open('/specimen', { width: PHONE, secret: ann.secret, javaScript: false })
  expect(await page.getByRole('link', { name: 'Weeks ahead' }).isVisible()).toBe(false)
  await page.getByText('Menu', { exact: true }).click()
  const links = page.getByRole('navigation', { name: 'Club' }).getByRole('link')
  expect(await links.allInnerTexts()).toEqual(['Noticeboard', 'Weeks ahead', 'Builds', 'Sessions', 'Workshop', 'Stores', 'Members', 'Me'])
  for (const box of await Promise.all((await links.all()).map((link) => link.boundingBox()))) expect(box?.height).toBeGreaterThanOrEqual(44)
  expect(await page.locator('.nav-small [aria-current]').innerText()).toBe('Builds')
})

test('a page that others changed offers to look again', async () => {
  const page = await browser.open('/specimen', { width: DESK, secret: ann.secret })
  expect(await page.getByText('This page has news.').isVisible()).toBe(false)
  await expect
    .poll(async () => {
      await club.db.$executeRaw`select pg_notify(${LIVE_CHANNEL}, 'plan')`
      return page.getByText('This page has news.').isVisible()
    }, { timeout: 10_000 })
    .toBe(true)
  await page.getByRole('link', { name: 'Look again' }).click()
  await page.waitForFunction("document.querySelector('[data-live]').hidden")
})

test('buttons, fields and ticks are large enough for gloves', async () => {
  const page = await browser.open('/specimen', { width: PHONE, secret: ann.secret })
  for (const part of await page.locator('main .button:visible, main .input:visible, main .tick:visible, main .radio:visible, main summary:visible').all()) {
    expect((await part.boundingBox())?.height, await part.innerText()).toBeGreaterThanOrEqual(44)
  }
})

test('printed, a page is black on white and leaves out what is for a screen', async () => {
  const page = await browser.open('/specimen', { width: DESK, scheme: 'dark', secret: ann.secret })
  await page.emulateMedia({ media: 'print', colorScheme: 'dark' })
  expect(await page.evaluate('getComputedStyle(document.body).backgroundColor')).toBe('rgb(255, 255, 255)')
  expect(await page.evaluate('getComputedStyle(document.querySelector("h1")).color')).toBe('rgb(0, 0, 0)')
  expect(await page.locator('header, footer, .button').filter({ visible: true }).count()).toBe(0)
  await shot(page, 'parts-print')
})
