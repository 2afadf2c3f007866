/**
 * A day at the shelf of the example club, on a phone: a delivery comes in, a task draws its resin, the rest is weighed back, stock is
 * taken, a mistake is taken back, a batch is mixed by the card, and the stock level moves with each; a run-out ahead is ordered away.
 */
import { expect, test } from 'vitest'
import type { Locator, Page } from 'playwright-core'
import { loadDemo } from '../../prisma/demo/index.ts'
import { testClub } from '../support/app.ts'
import { DESK, PHONE, testBrowser } from '../support/browser.ts'
import { signIn, text, until } from '../support/demo-pages.ts'

// A Thursday: the next session is Saturday 28 November.
const club = await testClub({ now: '2026-11-26T09:00:00Z', isSetUp: false })
await loadDemo(club.db, club.clock, club.app.log)
const browser = await testBrowser(club.app)

/** Sends a form and waits for what comes after. */
async function send(page: Page, button: Locator): Promise<void> {
  const answered = page.waitForResponse((r) => r.request().method() === 'POST')
  await button.click()
  await answered
  await page.waitForLoadState('load')
}

/** What the level's sentence says is there. */
const thereBy = (seen: string): string => /([\d.]+ k?g) Epoxy resin is there/.exec(seen)?.[1] ?? `nothing in: ${seen.slice(0, 200)}`

const resinLeft = async (): Promise<number> => {
  const rows = await club.db.stockAccount.findMany({ where: { item: { name: 'Epoxy resin' }, holder: { memberId: null } }, select: { qtyMilli: true } })
  return rows.reduce((sum, r) => sum + Number(r.qtyMilli), 0)
}

test.each([['with script', true, '750'], ['without script', false, '760']])('from a delivery to a level that moved, %s', async (how, javaScript, gross) => {
  const context = await browser.visit({ width: PHONE, javaScript })
  const page = await context.newPage()
  await signIn(page, 'priya')
  const item = await club.db.item.findFirstOrThrow({ where: { name: 'Epoxy resin' }, select: { id: true } })
  const level = `/stores/items/${item.id}/level`
  const before = await until(page, level, /is there/)
  const begin = await resinLeft()

  // A delivery.
  await page.goto('/stores/receive')
  await page.getByLabel('What', { exact: true }).first().selectOption({ label: 'Epoxy resin (g)' })
  await page.getByLabel('Amount', { exact: true }).first().fill('1 kg')
  await page.getByLabel(/^Cost/).first().fill('25.40')
  await page.getByLabel('Supplier’s lot code').first().fill(`E-${how}`)
  await send(page, page.getByRole('button', { name: 'Book it in' }))
  expect(await resinLeft()).toBe(begin + 1_000_000)
  const after = await until(page, level, /is there/)
  expect(thereBy(after)).not.toBe(thereBy(before))

  // Two taps at a task that needs resin: what is left of its need is filled in.
  const [need, other] = await club.db.$queryRaw<{ taskId: string; buildId: string }[]>`
    select m.task_id as "taskId", t.build_id as "buildId" from task_material m join task t on t.id = m.task_id join build b on b.id = t.build_id
    where m.product_id is not null and t.finished_at is null and b.name = 'Turnstone' and m.likely between 100 and 600
      and not exists (select from task_material o where o.task_id = t.id and o.unit in ('m', 'm2'))
      and not exists (select from stock_entry e where e.task_id = t.id) order by t.position limit 2`
  if (!need || !other) throw new Error('no task of Turnstone needs resin')
  await page.goto(`/builds/${need.buildId}/tasks/${need.taskId}`)
  await page.getByRole('link', { name: 'Draw from stores' }).click()
  const filled = page.getByLabel(/^Epoxy resin/).first()
  expect(Number(await filled.inputValue())).toBeGreaterThan(0)
  await filled.fill('120')
  await page.getByLabel(/^Epoxy hardener/).first().fill('')
  await send(page, page.getByRole('button', { name: 'Book it' }))
  expect(await resinLeft(), await text(page)).toBe(begin + 880_000)

  // The can before and after: 50 g were poured.
  await page.goto(`/builds/${need.buildId}/tasks/${need.taskId}/draw`)
  await page.getByText('The can before and after').click()
  await page.getByLabel('What was poured').selectOption({ label: 'Epoxy resin' })
  await page.getByLabel(/^Can before/).fill(gross)
  await page.getByLabel(/^Can after/).fill(String(Number(gross) - 50))
  const weighing = page.locator('form').filter({ has: page.getByLabel(/^Can before/) })
  const can = weighing.getByLabel('Can', { exact: true })
  if (await can.count()) {
    // The fullest can of resin is the newest.
    const cans = (await can.locator('option').allInnerTexts()).filter((label) => label.endsWith('Epoxy resin'))
    await can.selectOption({ label: cans.at(-1) ?? '' })
  }
  await send(page, weighing.getByRole('button'))
  expect(await resinLeft(), await text(page)).toBe(begin + 830_000)

  // A mistake is taken back; entry and reversal stand together.
  await page.goto(`/builds/${need.buildId}/tasks/${need.taskId}/draw`)
  await send(page, page.getByRole('button', { name: /^Undo.*Epoxy resin/ }).first())
  await page.getByText(/taken back by Priya Talwar/).first().waitFor()
  expect(await resinLeft()).toBe(begin + 880_000)

  // Stock is taken: 30 g less than the book, explained.
  const lots = await club.db.lotBalance.findMany({ where: { holder: { memberId: null }, qtyMilli: { gt: 100_000 }, lot: { itemId: item.id } }, orderBy: { lot: { number: 'asc' } }, select: { qtyMilli: true, lot: { select: { number: true } } } })
  const counted = lots[0]!
  await page.goto(`/stores/count/new?item=${item.id}`)
  const row = page.getByRole('group', { name: new RegExp(`^Lot ${counted.lot.number}:`) })
  await row.getByLabel(/^Counted/).fill(String((Number(counted.qtyMilli) - 30_000) / 1000))
  await send(page, page.getByRole('button', { name: 'Book the count' }))
  expect(await resinLeft()).toBe(begin + 880_000)
  await row.getByLabel(/^What explains it/).fill('Dripped on the shelf')
  await send(page, page.getByRole('button', { name: 'Book the count' }))
  await page.waitForURL(/\/stores\/count\/[0-9a-f-]{36}$/)
  expect(await resinLeft()).toBe(begin + 850_000)

  // By the card: resin and hardener leave their lots in the ratio.
  await page.goto(`/builds/${other.buildId}/tasks/${other.taskId}/mix`)
  const resin = Number(await page.getByLabel(/^Resin as weighed/).inputValue())
  const hardener = Number(await page.getByLabel(/^Hardener as weighed/).inputValue())
  expect(hardener / resin).toBeGreaterThan(0.42)
  expect(hardener / resin).toBeLessThan(0.46)
  await send(page, page.getByRole('button', { name: 'Mixed: book it' }))
  expect(await resinLeft()).toBe(begin + 850_000 - resin * 1000)

  // The level tells of all of it.
  const end = await until(page, level, /is there/)
  expect(thereBy(end)).toBe(`${new Intl.NumberFormat('en-GB', { maximumFractionDigits: 2 }).format((begin + 850_000 - resin * 1000) / 1e6)} kg`)
  await context.close()
})

test('a run-out ahead is on the buying list, and gone once that is ordered', async () => {
  const context = await browser.visit({ width: DESK, javaScript: true })
  const page = await context.newPage()
  await signIn(page, 'priya')
  const ahead = await until(page, '/stores/outlook', /\d+ items? runs? out/)
  expect(ahead).toMatch(/Spar varnish.*is missing for/)
  await page.goto('/stores/buying')
  expect(await text(page)).toMatch(/Spar varnish.*1 l tin/)
  await send(page, page.getByRole('button', { name: 'Order what is ticked' }))
  await until(page, '/stores/outlook', /All that the plan asks for|no item runs out|nothing runs out/i)
  await context.close()
})
