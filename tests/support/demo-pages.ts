/** The example club as somebody at a browser meets it. */
import type { Page } from 'playwright-core'
import { DEMO_PASSWORD } from '../../prisma/demo/scenario.ts'

/** @param who a member's key in the scenario: the first part of their e-mail */
export async function signIn(page: Page, who: string): Promise<void> {
  await page.goto('/sign-in')
  await page.getByLabel('E-mail').fill(`${who}@reedwater.example`)
  await page.getByLabel('Password').fill(DEMO_PASSWORD)
  await page.getByRole('main').getByRole('button', { name: 'Sign in' }).click()
  await page.getByRole('heading', { level: 1, name: 'Noticeboard' }).waitFor()
}

export const text = async (page: Page): Promise<string> => (await page.getByRole('main').innerText()).replaceAll(/\s+/g, ' ')

/** The plan is made off the request; the page is asked until it shows it, as a person would. */
export async function until(page: Page, path: string, shows: RegExp): Promise<string> {
  for (let tries = 0; ; tries++) {
    await page.goto(path)
    const seen = await text(page)
    if (shows.test(seen)) return seen
    if (tries >= 40) throw new Error(`${path} never showed ${shows}: ${seen.slice(0, 600)}`)
    await page.waitForTimeout(500)
  }
}
