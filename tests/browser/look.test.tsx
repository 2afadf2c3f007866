import { describe, expect, test } from 'vitest'
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
