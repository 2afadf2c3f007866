import { describe, expect, test } from 'vitest'
import type { Shows } from '../../../src/features/reviews/model.ts'
import { digest } from '../../../src/platform/sign-in.ts'
import { testClub } from '../../support/app.ts'
import { day } from '../planning/club.ts'
import { planRows } from './plan-rows.ts'
import { EVENING, local, MONDAY, SATURDAY, skuaWeek } from './week-club.ts'

const club = await testClub({ now: EVENING.toISOString() })
const { db, make } = club
const { build, ann, ben, deck, mend } = await skuaWeek(club)
await db.build.update({ where: { id: build.id }, data: { visibility: 'team', design: 'Wood’s dinghy' } })
await db.member.update({ where: { id: ann.id }, data: { name: 'Ann Marlow' } })
await db.member.update({ where: { id: ben.id }, data: { name: 'Ben Wood' } })
await db.task.update({ where: { id: deck.id }, data: { name: 'Cut Ben’s deck' } })
const mia = await make.member(['helper'], { name: 'Mia Fox', isMinor: true })
await db.buildMember.create({ data: { buildId: build.id, memberId: mia.id } })
const other = await make.build({ name: 'Gannet' }, [ann.id])
const snag = await db.snag.findFirstOrThrow({ where: { buildId: build.id } })

const at = local(SATURDAY, '17:00')
const entry = (kind: 'note' | 'lesson' | 'decision', text: string, byId: string, snagId: string | null = null) =>
  db.logEntry.create({ data: { buildId: build.id, kind, text, at, byId, snagId, loggedAt: at } })
await entry('lesson', 'Warm the resin first, as Ben Wood says; saved us 30 EUR', mia.id)
await entry('lesson', 'Press the seat edge longer', ann.id, snag.id)

/** Its bytes say which it is. */
async function photo(name: string, buildId: string, over: { forGuests?: boolean; snagId?: string } = {}) {
  const file = (size: string) => db.storedFile.create({ data: { type: 'image/jpeg', bytes: Buffer.from(`${name} ${size}`), createdAt: at } })
  const [fileId, smallId] = [(await file('whole')).id, (await file('small')).id]
  return (await db.photo.create({ data: { buildId, fileId, smallId, width: 400, height: 300, caption: `${name}: Ann at work, 12 euros of varnish`, takenOn: day(SATURDAY), byId: ann.id, loggedAt: at, ...over } })).id
}
const [plain, kept, ofSnag, elsewhere] = [await photo('rails', build.id), await photo('mess', build.id, { forGuests: false }), await photo('bubble', build.id, { snagId: snag.id }), await photo('gannet', other.id)]

const sunday = '2026-06-07'
const { id: planId } = await planRows(club).plan(build.id, [
  { taskId: mend.id, start: `${sunday}T08:00:00Z`, end: `${sunday}T09:00:00Z`, people: [ben.id] },
  { taskId: deck.id, start: `${sunday}T09:00:00Z`, end: `${sunday}T11:00:00Z`, people: [ann.id, mia.id] },
])
await db.forecast.create({
  data: {
    planId, buildId: build.id, madeAt: club.clock.now(), runs: 100, p10At: day('2026-07-01'), p50At: day('2026-07-11'), p80At: day('2026-08-01'), p90At: day('2026-08-08'), targetOn: null, targetChance: null,
    drivers: { phases: [], causes: {}, sources: {}, meanWork: 0 }, catchUp: { half: null, fourInFive: null }, inputs: { pace: { factors: [] }, attendance: {}, rework: {} }, tookMs: 1,
  },
})
const [annIn] = [await club.as(ann.id)]
const signed = await annIn.post(`/builds/${build.id}/reviews/${MONDAY}`, {
  version: 0, do: 'sign', headline: 'Ann Marlow and Ben set the rails for €45, and the bubble was ground out', next: 'Mia brings clamps', lessons: 'ANN says: no bubble without dust', choose: 'yes', photos: [plain, kept, ofSnag],
})
if (signed.statusCode !== 303) throw new Error(`signing was answered ${signed.statusCode}`)
await db.weekReview.create({ data: { buildId: build.id, monday: day('2026-05-18'), no: 3, draftedBy: ann.id, draftedAt: at, edits: {} } })
// Signed, but of another boat.
await db.weekReview.create({ data: { buildId: other.id, monday: day('2026-05-11'), no: 2, state: 'signed', facts: {}, draftedBy: ann.id, draftedAt: at, signedBy: ann.id, signedAt: at } })

const PARTS = ['money', 'names', 'photos', 'snags', 'log'] as const
const ALL: Shows[] = Array.from({ length: 2 ** PARTS.length }, (_, bits) => Object.fromEntries(PARTS.map((part, n) => [part, (bits & (1 << n)) !== 0])) as Shows)

let count = 0
async function linkThatShows(shows: Shows): Promise<string> {
  const secret = String(++count).padStart(43, 's')
  await db.guestLink.create({ data: { buildId: build.id, digest: digest(secret), label: `Link ${count}`, ...shows, createdBy: ann.id, createdAt: at } })
  return `/guests/${secret}`
}

const read = (html: string) => html.replaceAll('&#39;', '’')
const get = async (url: string) => {
  const page = await club.signedOut.get(url)
  return { status: page.statusCode, html: read(page.body), bytes: page.rawPayload.toString() }
}

/** How each part is known where it is shown, and how where any of it is left. */
const SHOWN: Record<Exclude<keyof Shows, 'photos'>, { board: RegExp; week: RegExp; any: RegExp }> = {
  money: { board: /€3\.00/, week: /€3\.00 to date/, any: /€|\bEUR\b|euro/i },
  names: { board: /Built by<\/dt><dd>Ann Marlow and Ben Wood/, week: /Signed by Ann Marlow/, any: /\b(ann|marlow|ben)\b|Wood/i },
  snags: { board: /<b>Bubble<\/b>, under the port seat/, week: /Bubble \(under the port seat\)/, any: /bubble|port seat|grind out|seat edge/i },
  log: { board: /Warm the resin first/, week: /Warm the resin first/, any: /warm the resin|without dust/i },
}

describe('a link shows what it is told to show, and nothing else', () => {
  test.each(ALL.map((shows) => [PARTS.filter((part) => shows[part]).join(', ') || 'nothing', shows] as const))('%s', async (_name, shows) => {
    const link = await linkThatShows(shows)
    const [board, week] = [await get(link), await get(`${link}/weeks/${MONDAY}`)]
    expect([board.status, week.status]).toEqual([200, 200])
    for (const part of ['money', 'names', 'snags', 'log'] as const) {
      const { any, ...pages } = SHOWN[part]
      if (shows[part]) {
        expect.soft(board.html, part).toMatch(pages.board)
        expect.soft(week.html, part).toMatch(pages.week)
      } else {
        expect.soft(any.exec(board.html)?.[0], `${part} on the board`).toBeUndefined()
        expect.soft(any.exec(week.html)?.[0], `${part} in the week`).toBeUndefined()
      }
    }
    // A minor's name is never shown, neither as it stands nor in own words.
    expect.soft(`${board.html}${week.html}`).not.toMatch(/\bMia\b|\bFox\b/)
    // Photos: those for guests where photos are shown, those of snags where snags are too, those kept from guests and those of another boat never.
    const may = new Map([[plain, shows.photos], [kept, false], [ofSnag, shows.photos && shows.snags], [elsewhere, false]])
    for (const [id, isShown] of may) {
      expect.soft(board.html.includes(id), 'on the board').toBe(isShown)
      expect.soft(week.html.includes(id), 'in the week').toBe(isShown)
      expect.soft((await get(`${link}/photos/${id}/${count % 2 === 0 ? 'small' : 'whole'}`)).status).toBe(isShown ? 200 : 404)
    }
    // What every link shows.
    for (const html of [board.html, week.html]) expect.soft(html).toContain('Skua')
    expect.soft(board.html).toMatch(/As likely as not by/)
    expect.soft(board.html).toMatch(/href="\/guests\/\w+\/weeks\/2026-05-25"/)
    expect.soft(board.html.match(/<li>Sun 7 Jun: /g)).toHaveLength(2)
  })
})

test('drafts, weeks of other boats, weeks without a review and weeks that are none are not there, and lead back to the boat', async () => {
  const link = await linkThatShows({ money: true, names: true, photos: true, snags: true, log: true })
  for (const monday of ['2026-05-18', '2026-05-11', '2026-06-01', '2026-05-26', '2026-02-30', 'x']) {
    const { status, html } = await get(`${link}/weeks/${monday}`)
    expect.soft([monday, status]).toEqual([monday, 404])
    expect.soft(html).toContain(`href="${link}"`)
  }
  expect((await get(link)).html).not.toContain('2026-05-18')
  const { bytes } = await get(`${link}/photos/${plain}/small`)
  expect(bytes).toBe('rails small')
  expect((await get(`${link}/photos/${plain}/large`)).status).toBe(404)
  expect((await get(`${link}/photos/x/small`)).status).toBe(404)
})

test('a photo that was kept from guests after the signing, or taken out, is gone from the signed week too', async () => {
  const link = await linkThatShows({ money: false, names: false, photos: true, snags: false, log: false })
  await db.photo.update({ where: { id: plain }, data: { forGuests: false } })
  const week = await get(`${link}/weeks/${MONDAY}`)
  expect([week.status, week.html.includes(plain), (await get(`${link}/photos/${plain}/small`)).status]).toEqual([200, false, 404])
  await db.photo.update({ where: { id: plain }, data: { forGuests: true } })
})

test('a boat that rests or is launched is shown all the same', async () => {
  const link = await linkThatShows({ money: false, names: false, photos: false, snags: false, log: false })
  await db.build.update({ where: { id: build.id }, data: { state: 'paused', pausedOn: day('2026-05-31'), pauseNote: 'Ben is away' } })
  const paused = await get(link)
  expect(paused.html).toContain('she rests since 31 May, which is quite usual')
  expect(paused.html).not.toMatch(/Ben|What happens next/)
  await db.build.update({ where: { id: build.id }, data: { state: 'launched', inServiceOn: day('2026-05-31') } })
  const launched = await get(link)
  expect(launched.html).toContain('She is launched, and in use since 31 May')
  expect(launched.html).not.toContain('When will she be launched')
  await db.build.update({ where: { id: build.id }, data: { state: 'active', pausedOn: null, pauseNote: '', inServiceOn: null } })
})
