import { beforeEach, expect, test } from 'vitest'
import { testClub } from '../../support/app.ts'
import { textOf } from './club.ts'

let log = ''
const club = await testClub({ config: { logLevel: 'trace' }, logTo: { write: (line) => void (log += line) } })
const { db } = club
const ann = await club.make.member(['builder'], { name: 'Ann' })
const KEY = 'abcdefghijklmnopqrstuvwxyz012345'
const url = `/reminders/stop/${KEY}`
const wish = () => db.reminderWish.findUniqueOrThrow({ where: { memberId: ann.id } })

beforeEach(async () => {
  await db.reminderWish.deleteMany()
  await db.mail.deleteMany()
  await db.reminderWish.create({ data: { memberId: ann.id, windows: true, sessions: true, stopKey: KEY } })
  const now = club.clock.now()
  await db.mail.create({ data: { memberId: ann.id, kind: 'session', about: 'x', subject: 'x', text: 'x', sendAt: now, uselessAt: now, createdAt: now } })
})

test('looking at the page stops nothing, for mail scanners follow links; its one button does', async () => {
  const page = await club.signedOut.get(url)
  expect(page.statusCode).toBe(200)
  expect(page.headers['cache-control']).toBe('no-store')
  expect(page.body.match(/<button/g)).toHaveLength(1)
  expect(await wish()).toMatchObject({ windows: true, sessions: true })
  const done = await club.signedOut.post(url)
  expect([done.statusCode, textOf(done.body).includes('sends you no reminders any more')]).toEqual([200, true])
  expect(await wish()).toMatchObject({ windows: false, sessions: false })
  expect(await db.mail.count()).toBe(0)
  // Twice is as good as once.
  expect((await club.signedOut.post(url)).statusCode).toBe(200)
})

// RFC 8058 section 3.2: an HTTPS POST with List-Unsubscribe=One-Click as multipart/form-data or x-www-form-urlencoded, without cookies or other context; no redirect.
test.each([
  ['application/x-www-form-urlencoded', 'List-Unsubscribe=One-Click'],
  ['multipart/form-data; boundary=x', '--x\r\nContent-Disposition: form-data; name="List-Unsubscribe"\r\n\r\nOne-Click\r\n--x--\r\n'],
])('a mail program stops them by itself with one POST of %s, from anywhere', async (type, payload) => {
  const answer = await club.app.inject({ method: 'POST', url, headers: { 'content-type': type }, payload })
  expect(answer.statusCode).toBe(200)
  expect(await wish()).toMatchObject({ windows: false, sessions: false })
})

test('a key that is nobody’s is 404, whether looked at or sent, and one that is no key as well', async () => {
  for (const key of ['0'.repeat(32), 'short', `${KEY}x`, '%00'.repeat(10)]) {
    expect((await club.signedOut.get(`/reminders/stop/${key}`)).statusCode, key).toBe(404)
    expect((await club.app.inject({ method: 'POST', url: `/reminders/stop/${key}` })).statusCode, key).toBe(404)
  }
  expect(await wish()).toMatchObject({ windows: true, sessions: true })
})

test('the key is in no line of the log, however its address is written', async () => {
  log = ''
  for (const address of [url, `${url}?from=mail`, `/REMINDERS/stop/${KEY}`, `/reminders%2Fstop%2F${KEY}`, `/sign-in?then=${encodeURIComponent(url)}`]) await club.signedOut.get(address)
  await club.app.inject({ method: 'POST', url })
  expect(log).toContain('/reminders/stop/…')
  expect(log).not.toContain(KEY)
})

test('no other write is open like that', async () => {
  const answer = await club.app.inject({ method: 'POST', url: '/sign-in', headers: { 'content-type': 'application/x-www-form-urlencoded' }, payload: 'email=a&password=b' })
  expect(answer.statusCode).toBe(403)
})
