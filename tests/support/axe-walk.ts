import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { loadDemo } from '../../prisma/demo/index.ts'
import { planOnce, presetSheet, solveHere } from '../../src/features/planning/public.ts'
import { transact } from '../../src/platform/database.ts'
import { addressesOf } from './addresses.ts'
import { testClub, type Person, type TestClub } from './app.ts'
import { axe, DESK, shot, testBrowser, tooWide, type Look } from './browser.ts'

/** Not pages: files and answers for machines. `/set-up` and `/sign-in` are looked at by whom they are for. */
const NO_PAGES = new Set(['/static/*', '/healthz', '/events', '/me/data', '/guests/:token/photos/:photoId/:size'])
/** Pictures are shown by pages; each has one that tells about it. */
const PICTURE = /\/photos\/:photoId(\/small|\/:size)?$/
const isPage = (url: string) => !NO_PAGES.has(url) && !url.endsWith('.csv') && !PICTURE.test(url)
const SIGNED_OUT = new Set(['/set-up', '/sign-in', '/invite/:token'])
/** Parts of pages, which htmx asks for. */
const FRAGMENTS = new Set(['/moved/after/:id'])
const PICTURES = process.env['PICTURES'] === '1'

/** The build whose pages are looked at has a sheet of options, worked out. */
async function workOutOptions({ db }: TestClub, officer: Person): Promise<void> {
  const [buildId] = await addressesOf(db, ':buildId')
  if (buildId === undefined) throw new Error('the example club has no build to look at')
  const id = await transact(db, (tx) => presetSheet(tx, buildId, 'ply', { by: officer.memberId ?? '', at: new Date() }))
  const answer = await officer.post(`/builds/${buildId}/options/${id}/work`, { version: '1' })
  expect(answer.statusCode).toBe(303)
}

/** Registers the tests that look at every page of the example club with axe, in each of these ways; by turns: one page of every other kind, in one way, the next in the next way. */
export async function walkWithAxe(looks: readonly { width: number; scheme: NonNullable<Look['scheme']> }[], { byTurns = false } = {}): Promise<void> {
  let pages = 0
  const looksOfNext = () => {
    const turn = pages++ % looks.length
    return byTurns ? looks.slice(turn, turn + 1) : looks
  }
  const routes = new Set<string>()
  const club = await testClub({
    isSetUp: false,
    onRoute: (route) => {
      if ([route.method].flat().includes('GET') && isPage(route.url)) routes.add(route.url)
    },
  })
  const browser = await testBrowser(club.app)

  const nameOf = (address: string) => address.replaceAll(/[0-9a-f]{8}-[0-9a-f-]{27}/g, (id) => id.slice(0, 4)).replaceAll(/[^a-z0-9-]+/gi, '_').replaceAll(/^_|_$/g, '').slice(0, 60) || 'noticeboard'

  /** Faults of a page in each way to see it. */
  async function look(page: Page, address: string): Promise<string[]> {
    const answer = await page.goto(address)
    const faults = answer?.status() === 200 ? [] : [`answers ${answer?.status()}`]
    if (new URL(page.url()).pathname !== new URL(address, browser.origin).pathname) faults.push(`leads to ${page.url()}`)
    if ((await page.locator('h1').count()) !== 1) faults.push('has not one heading')
    // What is folded away is part of the page too.
    await page.evaluate("document.querySelectorAll('main details').forEach((details) => { details.open = true })")
    for (const { width, scheme } of looksOfNext()) {
      await page.setViewportSize({ width, height: 900 })
      await page.emulateMedia({ colorScheme: scheme })
      faults.push(...[...(await axe(page)), ...(await tooWide(page))].map((fault) => `${width} px, ${scheme}: ${fault}`))
      if (PICTURES) await shot(page, `${nameOf(address)}-${width}-${scheme}`)
    }
    return faults.map((fault) => `${address} ${fault}`)
  }

  const visitor = async (secret: string | null) => (await browser.visit({ width: DESK, secret, forAxe: true })).newPage()

  test('the page a new club begins with has nothing that axe finds', { timeout: 120_000 }, async () => {
    expect(await look(await visitor(null), '/set-up')).toEqual([])
  })

  test('no page of a club at work has anything that axe finds, and each scrolls only downwards', { timeout: 1_200_000 }, async () => {
    await loadDemo(club.db, club.clock, club.app.log)
    await planOnce({ db: club.db, clock: club.clock, log: club.app.log, solver: solveHere })
    const officer = await club.db.member.findFirstOrThrow({ where: { roles: { has: 'officer' } }, orderBy: { name: 'asc' } })
    const signedIn = await club.as(officer.id)
    await workOutOptions(club, signedIn)
    const page = await visitor(signedIn.secret)
    const faults: string[] = []
    for (const [nth, route] of [...routes].entries()) {
      if (SIGNED_OUT.has(route) || FRAGMENTS.has(route) || (byTurns && nth % 2 === 1)) continue
      const all = await addressesOf(club.db, route, { ':list': ['sailing-dinghy'] })
      const addresses = byTurns ? all.slice(0, 1) : all
      if (addresses.length === 0) faults.push(`${route} has no address to look at: tests/support/addresses.ts finds one`)
      for (const address of addresses) faults.push(...(await look(page, address)))
    }
    // What is asked for in the address, or is somewhere in the middle.
    const [product, place] = [await club.db.cureProduct.findFirstOrThrow({ orderBy: { name: 'asc' } }), await club.db.place.findFirstOrThrow({ orderBy: { name: 'asc' } })]
    faults.push(...(await look(page, `/overnight?product=${product.id}&place=${place.id}&date=2026-05-30&time=14:00&minutes=60`)))
    expect(faults).toEqual([])
  })

  test('the sheet of each coming session prints on one A4 page', { timeout: 120_000 }, async () => {
    const officer = await club.db.member.findFirstOrThrow({ where: { roles: { has: 'officer' } }, orderBy: { name: 'asc' } })
    const page = await visitor((await club.as(officer.id)).secret)
    await page.goto('/weeks-ahead')
    const sheets = (await page.evaluate("[...document.querySelectorAll('thead a[href$=\"/sheet\"]')].map((a) => a.getAttribute('href'))")) as string[]
    expect(sheets.length).toBeGreaterThan(2)
    const counts: number[] = []
    for (const sheet of sheets) {
      await page.goto(sheet)
      counts.push(await page.locator('.sheet-piece').count())
      const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1')
      expect(pdf.match(/\/Type\s*\/Page\b/g), `${sheet} with ${counts.at(-1)} pieces`).toHaveLength(1)
      // 210 × 297 mm in points of 1/72 inch is 595.3 × 841.9; the browser rounds to its own pixels.
      const [width, height] = /\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf)?.slice(1).map(Number) ?? []
      expect([Math.abs((width ?? 0) - 595.3) < 1, Math.abs((height ?? 0) - 841.9) < 1]).toEqual([true, true])
    }
    expect(Math.max(...counts)).toBeGreaterThan(6)
  })

  test('nor have the pages of somebody who is signed out, or is not found', { timeout: 120_000 }, async () => {
    const page = await visitor(null)
    const member = await club.db.member.findFirstOrThrow({ where: { signInUser: null, isActive: true }, orderBy: { name: 'asc' } })
    const { token } = await transact(club.db, (tx) => club.app.deps.signIn.invite(tx, member.id))
    expect([...(await look(page, '/sign-in')), ...(await look(page, `/invite/${token}`))]).toEqual([])
    const missing = await look(page, '/no-such-page')
    expect(missing.map((fault) => fault.replace(/^\S+ /, ''))).toEqual(['answers 404'])
  })
}
