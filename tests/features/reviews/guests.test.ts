import { expect, test } from 'vitest'
import { digest } from '../../../src/platform/sign-in.ts'
import { testClub, type Person } from '../../support/app.ts'

/** Requests a minute from one connection: enough for the tests before the last. */
const FLOOD = 140
let log = ''
const club = await testClub({ now: '2026-05-30T08:00:00Z', config: { logLevel: 'trace', rateLimit: FLOOD }, logTo: { write: (line) => void (log += line) } })
const { db, make, clock } = club
const NOW = clock.now()
const builder = await club.signedIn(['builder'], { name: 'Ann Baker' })
const boat = await make.build({ name: 'Teal', design: 'Marsh dinghy' }, [builder.memberId])
const AT = `/builds/${boat.id}/guests`
const secrets: string[] = []
const SHOWS = { money: false, names: false, photos: true, snags: false, log: false }

/** A link as the form makes it; its secret out of the address that is shown once. */
async function linkBy(person: Person, fields: Record<string, string>, at = AT): Promise<{ secret: string; page: string }> {
  const made = await person.post(at, fields)
  expect([made.statusCode, made.headers.location]).toEqual([303, at])
  const cookies = made.cookies.filter((c) => c.name.startsWith('garboard_new')).map((c) => `${c.name}=${c.value}`).join('; ')
  const page = (await club.app.inject({ url: at, headers: { cookie: `garboard_sign_in=${person.secret}; ${cookies}` } }))
  const secret = /\/guests\/([A-Za-z0-9_-]{43})/.exec(page.body)?.[1] ?? ''
  expect(page.cookies.find((c) => c.name === 'garboard_new_link')?.value).toBe('')
  secrets.push(secret)
  return { secret, page: page.body }
}

const rowOf = (secret: string) => db.guestLink.findUniqueOrThrow({ where: { digest: digest(secret) } })

test('a link is made with what it shows, and its address is shown once, as text and as a code', async () => {
  const { secret, page } = await linkBy(builder, { label: 'The aunt’s family', photos: 'on', untilOn: '2026-08-31' })
  expect(page).toContain(`http://localhost:80/guests/${secret}`)
  expect(page).toMatch(/<svg class="qr"/)
  expect((await builder.get(AT)).body).not.toContain(secret)
  // 32 bytes as base64url without padding: ceil(256 / 6) = 43 characters.
  expect(secret).toHaveLength(43)
  const row = await rowOf(secret)
  expect(row).toMatchObject({ ...SHOWS, label: 'The aunt’s family', buildId: boat.id, createdBy: builder.memberId, lastSeenAt: null })
  expect(row.untilOn?.toISOString().slice(0, 10)).toBe('2026-08-31')
  const [{ count }] = (await db.$queryRawUnsafe(`select count(*)::int as count from guest_link g where g::text like '%${secret}%'`)) as [{ count: number }]
  expect(count).toBe(0)
  const audit = await db.auditRow.findMany({ where: { entity: 'guest_link' } })
  expect(JSON.stringify(audit.map((a) => a.after))).not.toMatch(new RegExp(`${secret}|${digest(secret)}`))
})

test('guests see the boat without a sign-in: kept nowhere, found by nobody, leading nowhere', async () => {
  const { secret } = await linkBy(builder, { label: 'The neighbours' })
  const page = await club.signedOut.get(`/guests/${secret}`)
  expect(page.statusCode).toBe(200)
  expect(page.body).toContain('Teal')
  expect(page.body).toContain('Marsh dinghy')
  expect(page.body).toContain('Saltmarsh Boat Club')
  expect(page.headers).toMatchObject({ 'x-robots-tag': 'noindex, nofollow, noarchive', 'referrer-policy': 'no-referrer', 'cache-control': 'no-store' })
  expect(page.body).toContain('<meta name="robots" content="noindex, nofollow, noarchive"')
  // No way into the club's pages, nothing that is sent, nothing that runs.
  expect(page.body.match(/href="\/(?!guests\/|static\/)[^"]*"/g)).toBeNull()
  expect(page.body).not.toMatch(/<form|<script|hx-|<nav/)
  expect(page.body).not.toContain('The neighbours')
})

test('when a guest looked is written down, at most once an hour; members who look are no guests', async () => {
  const { secret } = await linkBy(builder, { label: 'The harbour' })
  await builder.get(`/guests/${secret}`)
  expect((await rowOf(secret)).lastSeenAt).toBeNull()
  const seenAt = async (minutes: number) => {
    clock.set(new Date(NOW.getTime() + minutes * 60_000))
    await club.signedOut.get(`/guests/${secret}`)
    return (((await rowOf(secret)).lastSeenAt?.getTime() ?? 0) - NOW.getTime()) / 60_000
  }
  expect([await seenAt(0), await seenAt(59), await seenAt(61)]).toEqual([0, 0, 61])
  clock.set(NOW)
  expect((await builder.get(AT)).body).toMatch(/last opened/)
})

test('a link that was withdrawn opens nothing from then on, and says when', async () => {
  const { secret } = await linkBy(builder, { label: 'The bank', photos: 'on' })
  const { id } = await rowOf(secret)
  expect((await builder.post(`${AT}/${id}/withdraw`)).statusCode).toBe(303)
  for (const url of [`/guests/${secret}`, `/guests/${secret}/photos/${id}/small`]) {
    const page = await club.signedOut.get(url)
    expect.soft([url, page.statusCode]).toEqual([url, 410])
    expect.soft(page.body).toContain('The club withdrew it on Sat')
    expect.soft(page.body).not.toContain('Teal')
    expect.soft(page.headers['x-robots-tag']).toContain('noindex')
  }
  expect((await builder.get(AT)).body).toMatch(/The bank: withdrawn/)
  // It can't be brought back or changed; withdrawn twice is withdrawn once.
  const changed = await builder.post(`${AT}/${id}`, { version: 2, photos: 'on' })
  expect([changed.statusCode, changed.body]).toEqual([422, expect.stringContaining('was withdrawn: it shows nothing any more')])
  expect((await builder.post(`${AT}/${id}/withdraw`)).statusCode).toBe(303)
  expect(await db.auditRow.count({ where: { entityId: id, what: 'guests’ link withdrawn' } })).toBe(1)
})

test('a link shows through its last day by the club’s clock, and nothing after', async () => {
  const { secret } = await linkBy(builder, { label: 'The school', untilOn: '2026-06-02' })
  const at = async (iso: string) => {
    clock.set(new Date(iso))
    return (await club.signedOut.get(`/guests/${secret}`)).statusCode
  }
  // Midnight in Berlin is 22:00 UTC in summer.
  expect([await at('2026-06-02T21:59:00Z'), await at('2026-06-02T22:00:00Z')]).toEqual([200, 410])
  expect((await club.signedOut.get(`/guests/${secret}`)).body).toContain('Its last day was Tue')
  clock.set(NOW)
})

test('an address that nobody was given is told apart from none only by words, whatever its shape', async () => {
  for (const token of ['a'.repeat(43), 'x', 'A'.repeat(200), '%00', 'ü'.repeat(20), `${'a'.repeat(42)}=`]) {
    const page = await club.signedOut.get(`/guests/${encodeURIComponent(token).replaceAll('%25', '%')}`)
    expect.soft([token, page.statusCode]).toEqual([token, 404])
    expect.soft(page.body).toContain('Ask whoever gave it to you')
  }
  expect((await club.signedOut.get('/guests/')).statusCode).toBe(404)
})

test('what can’t be is refused beside its field, keeps what was typed, and makes nothing', async () => {
  const before = await db.guestLink.count()
  const past = await builder.post(AT, { label: 'Late', untilOn: '2026-05-29', money: 'on' })
  expect([past.statusCode, past.body]).toEqual([422, expect.stringContaining('that day is over')])
  expect(past.body).toMatch(/value="Late"/)
  expect(past.body).toMatch(/<input type="checkbox"[^>]*name="money"[^>]* checked/)
  expect((await builder.post(AT, { label: '  ' })).body).toContain('For whom: fill this in')
  expect((await builder.post(AT, { label: 'the AUNT’s family' })).body).toContain('there is a link for “the AUNT’s family” already')
  expect((await builder.post(AT, { label: 'x', untilOn: '31.5.' })).statusCode).toBe(422)
  expect(await db.guestLink.count()).toBe(before)
})

test('what a link shows is changed for whoever has it; of two who change it at once the second is told', async () => {
  const { secret } = await linkBy(builder, { label: 'The sailmaker' })
  const { id } = await rowOf(secret)
  expect((await builder.post(`${AT}/${id}`, { version: 1, names: 'on' })).statusCode).toBe(303)
  expect((await club.signedOut.get(`/guests/${secret}`)).body).toContain('Ann Baker')
  const stale = await builder.post(`${AT}/${id}`, { version: 1, money: 'on' })
  expect([stale.statusCode, stale.body]).toEqual([409, expect.stringContaining('Somebody changed this link')])
  expect(await rowOf(secret)).toMatchObject({ names: true, money: false, version: 2 })
})

test('the same form sent twice makes one link', async () => {
  const once = make.once()
  const [first, second] = [await builder.post(AT, { label: 'Twice', once }), await builder.post(AT, { label: 'Twice', once })]
  expect([first.statusCode, second.statusCode]).toEqual([303, 303])
  expect(await db.guestLink.count({ where: { label: 'Twice' } })).toBe(1)
})

test('links are made by officers and by the builders of her team, and by nobody else', async () => {
  const [officer, other, helper] = [await club.signedIn(['officer']), await club.signedIn(['builder']), await club.signedIn(['helper'])]
  expect([(await officer.get(AT)).statusCode, (await other.get(AT)).statusCode, (await helper.get(AT)).statusCode, (await club.signedOut.get(AT)).statusCode]).toEqual([200, 403, 403, 303])
  expect((await other.post(AT, { label: 'Mine' })).statusCode).toBe(403)
  // A link of another build is not reached through one's own.
  const theirs = await make.build({}, [other.memberId])
  const { secret } = await linkBy(builder, { label: 'Not theirs' })
  const { id } = await rowOf(secret)
  expect((await other.post(`/builds/${theirs.id}/guests/${id}/withdraw`)).statusCode).toBe(404)
  expect((await other.post(`/builds/${theirs.id}/guests/${id}`, { version: 1, money: 'on' })).statusCode).toBe(404)
  expect(await rowOf(secret)).toMatchObject({ revokedAt: null, money: false })
})

test('a build that only her team sees is shown to guests whom the team gave a link', async () => {
  const hidden = await make.build({ name: 'Wigeon', visibility: 'team' }, [builder.memberId])
  const { secret } = await linkBy(builder, { label: 'The owner' }, `/builds/${hidden.id}/guests`)
  expect((await club.signedOut.get(`/guests/${secret}`)).body).toContain('Wigeon')
})

test('no secret of a link is in the log, however its address is written', async () => {
  const { secret } = await linkBy(builder, { label: 'The log' })
  const { id } = await rowOf(secret)
  for (const url of [
    `/guests/${secret}/`, `/GUESTS/${secret}`, `/%67uests/${secret}`, `/guests%2F${secret}`, `/guests//${secret}`, `/guests/${secret}?x=1`, `/sign-in?then=${encodeURIComponent(`/guests/${secret}`)}`,
    `/guests/${secret}/weeks/2026-05-18`, `/guests/${secret}/photos/${id}/small`,
  ]) await club.signedOut.get(url)
  expect(secrets.length).toBeGreaterThan(5)
  expect(log.match(/"url":"[^"]*\/guests\/…/gi)?.length).toBeGreaterThan(10)
  for (const one of secrets) expect(log).not.toContain(one)
})

test('whoever tries addresses one after another is held up', async () => {
  const answers = new Set<number>()
  for (let n = 0; n <= FLOOD && !answers.has(429); n++) answers.add((await club.signedOut.get(`/guests/${String(n).padStart(43, 'a')}`)).statusCode)
  expect([...answers]).toEqual([404, 429])
})
