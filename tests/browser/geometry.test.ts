import { expect, test } from 'vitest'
import { started } from '../features/builds/support.ts'
import { testClub } from '../support/app.ts'
import { PHONE, testBrowser } from '../support/browser.ts'

const club = await testClub({ now: '2026-06-06T09:00:00Z' })
const browser = await testBrowser(club.app)

for (const javaScript of [true, false]) {
  test(`a panel is measured by stations on a phone, ${javaScript ? 'with' : 'without'} scripts`, { timeout: 60_000 }, async () => {
    const builder = await club.signedIn(['builder'])
    const id = await started(club, builder, { name: javaScript ? 'Sanderling' : 'Dunlin', 'm.length': '3.6', 'm.beam': '1.5' })
    const page = await browser.open(`/builds/${id}/panels/side`, { width: PHONE, javaScript, secret: builder.secret })
    await page.getByRole('button', { name: 'Measure it by widths at stations' }).click()
    await page.waitForURL(/to=widths/)
    for (const [row, at, width] of [[1, '0', '300'], [2, '1800', '420'], [3, '3600', '360']] as const) {
      await page.getByLabel(`Position ${row}, in mm`, { exact: true }).fill(at)
      await page.getByLabel(`Width ${row}, in mm`, { exact: true }).fill(width)
    }
    await page.getByRole('button', { name: 'More rows' }).click()
    await page.waitForURL(/rows=24/)
    expect(await page.getByLabel('Width 2, in mm', { exact: true }).inputValue()).toBe('420')
    expect(await page.getByLabel('Position 24, in mm').count()).toBe(1)
    await page.getByRole('button', { name: 'Show the area first' }).click()
    await page.waitForURL(/show=area/)
    // Simpson: 3600 ÷ 6 × (300 + 4 × 420 + 360) = 1.404 m².
    expect(await page.locator('main').innerText()).toContain('1.4 m² as typed, not saved')
    expect(await page.locator('svg .outline-station').count()).toBe(3)
    // The key that ends a line saves, it does not ask for rows.
    await page.getByLabel('Width 3, in mm', { exact: true }).press('Enter')
    await page.getByText('“Side panel” is saved.').waitFor()
    expect(await page.locator('main').innerText()).toMatch(/1.4 m²\s+measured/)

    await page.getByLabel('Position 3, in mm', { exact: true }).fill('144')
    await page.getByLabel('Position 2, in mm', { exact: true }).fill('72')
    await page.getByRole('button', { name: 'Save and work out anew' }).click()
    await page.locator('.error-summary').waitFor()
    expect(await page.locator('.field-error').innerText()).toContain('144 mm is short for a panel of a 3.6 m boat: is it inches (3657.6 mm)?')
    await page.getByLabel('I looked again: it is so').check()
    await page.getByRole('button', { name: 'Save and work out anew' }).click()
    await page.getByText('“Side panel” is saved.').waitFor()
  })
}
