import { mkdirSync, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join } from 'node:path'
import type { FastifyInstance } from 'fastify'
import type { Browser, BrowserContext, Page } from 'playwright-core'
import { afterAll } from 'vitest'
import { COOKIE } from '../../src/platform/sign-in.ts'
import { launchChromium } from './chromium.ts'

export const PHONE = 390
export const DESK = 1280

export type Look = {
  width: number
  scheme?: 'light' | 'dark'
  javaScript?: boolean
  /** The sign-in cookie's secret: `person.secret`. */
  secret?: string | null
  /** Lets axe in, past the content policy. Without it the policy is in force, as for a visitor. */
  forAxe?: boolean
}

export type TestBrowser = {
  origin: string
  /** A visitor of their own: cookies, width, colours. */
  visit(look: Look): Promise<BrowserContext>
  /** The same with one page open at a path. */
  open(path: string, look: Look): Promise<Page>
}

/** Every combination a page is looked at in. */
export const LOOKS = [PHONE, DESK].flatMap((width) => (['light', 'dark'] as const).map((scheme) => ({ width, scheme })))

/** Listens on a free port and starts a browser, for one test file. */
export async function testBrowser(app: FastifyInstance): Promise<TestBrowser> {
  const address = await app.listen({ port: 0, host: '127.0.0.1' })
  const browser: Browser = await launchChromium()
  afterAll(() => browser.close())
  const origin = address

  const visit = async ({ width, scheme = 'light', javaScript = true, secret, forAxe = false }: Look) => {
    const context = await browser.newContext({
      baseURL: origin,
      viewport: { width, height: width < 600 ? 844 : 900 },
      colorScheme: scheme,
      javaScriptEnabled: javaScript,
      bypassCSP: forAxe,
      locale: 'en-GB',
      reducedMotion: 'reduce',
    })
    context.setDefaultTimeout(20_000)
    if (secret) await context.addCookies([{ name: COOKIE, value: secret, url: origin }])
    return context
  }
  return {
    origin,
    visit,
    open: async (path, look) => {
      const page = await (await visit(look)).newPage()
      await page.goto(path)
      return page
    },
  }
}

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

type AxeResult = { violations: { id: string; impact: string; help: string; nodes: { target: unknown[]; html: string; failureSummary: string }[] }[] }

/** What axe finds (its rules for WCAG 2.2 A and AA and its best practices), one line each. */
export async function axe(page: Page): Promise<string[]> {
  await page.evaluate(`${AXE}; undefined`)
  const result = (await page.evaluate('axe.run(document)')) as AxeResult
  return result.violations.flatMap(({ id, help, nodes }) =>
    nodes.map((node) => `${id}: ${help} · ${node.target.join(' ')} · ${node.html.slice(0, 160)} · ${node.failureSummary.replaceAll(/\s+/g, ' ').slice(0, 200)}`),
  )
}

/** Whether the page itself, not a box in it, has to be scrolled sideways; and by what. */
export const tooWide = (page: Page): Promise<string[]> => page.evaluate(TOO_WIDE)

// As text: types of a browser's document are no part of this project's.
const TOO_WIDE = `(() => {
  const limit = document.documentElement.clientWidth
  if (document.documentElement.scrollWidth <= limit) return []
  const page = 'the page is ' + document.documentElement.scrollWidth + ' px wide'
  return [page, ...[...document.body.querySelectorAll('*')]
    .filter((element) => element.getBoundingClientRect().right > limit + 1 && !element.parentElement.closest('.table-scroll'))
    .map((element) => element.tagName.toLowerCase() + '.' + (element.getAttribute('class') || '') + ' reaches ' + Math.round(element.getBoundingClientRect().right) + ' of ' + limit + ' px')]
})()`

/** Keeps a picture in tests/browser/shots, which git leaves out. */
export async function shot(page: Page, name: string): Promise<void> {
  const folder = new URL('../browser/shots/', import.meta.url).pathname
  mkdirSync(folder, { recursive: true })
  await page.screenshot({ path: join(folder, `${name}.png`), fullPage: true })
}
