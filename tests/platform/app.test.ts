import { get } from 'node:http'
import type { AddressInfo } from 'node:net'
import { expect, test } from 'vitest'
import { buildApp } from '../../src/app/build-app.ts'
import { transact } from '../../src/platform/database.ts'
import { LIVE_CHANNEL, notify } from '../../src/platform/events.ts'
import { COOKIE } from '../../src/platform/sign-in.ts'
import { testClub } from '../support/app.ts'

const club = await testClub({ features: [] })

test('healthz asks the database and needs no sign-in', async () => {
  const answer = await club.signedOut.get('/healthz')
  expect(answer.statusCode).toBe(200)
  expect(answer.json()).toEqual({ status: 'ok' })
})

test('an unknown address is a 404 page with the content policy and no script in it', async () => {
  const answer = await club.signedOut.get('/nowhere')
  expect(answer.statusCode).toBe(404)
  expect(answer.headers['content-security-policy']).toContain("script-src 'self'")
  expect(answer.headers['content-security-policy']).not.toContain('unsafe')
  expect(answer.body).toMatch(/^<!doctype html><html/)
})

test('htmx is served from its package, for a year under its hash and asked about without', async () => {
  const plain = await club.signedOut.get('/static/htmx.min.js')
  expect(plain.statusCode).toBe(200)
  expect(plain.headers['content-type']).toContain('javascript')
  expect(plain.headers['cache-control']).toBe('no-cache')
  const named = await club.signedOut.get(club.app.assets.address('htmx.min.js'))
  expect(named.headers['cache-control']).toBe('public, max-age=31536000, immutable')
})

test('nothing outside static/ can be had through its address', async () => {
  for (const path of ['../package.json', '..%2fpackage.json', '%2e%2e/package.json', '.env']) {
    const answer = await club.signedOut.get(`/static/${path}`)
    expect([400, 403, 404]).toContain(answer.statusCode)
    expect(answer.body).not.toContain('dependencies')
  }
})

test('a hash that is not the file’s is not kept', async () => {
  const other = await club.signedOut.get('/static/htmx.min.js?v=000000000000')
  expect(other.headers['cache-control']).toBe('no-cache')
})

test('more requests from one address than are allowed are turned away before they cost a query, files of pages excepted', async () => {
  const { config, db, clock, events } = club.app.deps
  const app = await buildApp({ ...config, rateLimit: 5 }, { db, clock, events, features: [] })
  const statuses = []
  for (let n = 0; n < 7; n++) statuses.push((await app.inject({ url: '/nowhere', remoteAddress: '192.0.2.1' })).statusCode)
  expect(statuses).toEqual([404, 404, 404, 404, 404, 429, 429])
  expect((await app.inject({ url: '/static/htmx.min.js', remoteAddress: '192.0.2.1' })).statusCode).toBe(200)
  expect((await app.inject({ url: '/nowhere', remoteAddress: '192.0.2.2' })).statusCode).toBe(404)
  await app.close()
})

test('behind TLS cookies are Secure and the browser is told to stay with it; without, they are not', async () => {
  const { config, db, clock, events } = club.app.deps
  const behind = await buildApp({ ...config, trustProxy: ['192.0.2.9'] }, { db, clock, events, features: [] })
  const ask = async (from: string) => {
    const answer = await behind.inject({ url: '/nowhere', remoteAddress: from, headers: { 'x-forwarded-proto': 'https' }, cookies: { [COOKIE]: 'made up' } })
    return [answer.cookies.find(({ name }) => name === COOKIE)?.secure, answer.headers['strict-transport-security']]
  }
  expect(await ask('192.0.2.9')).toEqual([true, 'max-age=31536000'])
  // Whoever is not the proxy may say what they like.
  expect(await ask('192.0.2.10')).toEqual([undefined, undefined])
  await behind.close()
})

test('a database that is away gives a page that says so, with 503, and healthz tells it too', async () => {
  const { config, clock, events } = club.app.deps
  const { openDatabase } = await import('../../src/platform/database.ts')
  const nowhere = openDatabase('postgresql://x@127.0.0.1:1/x')
  const app = await buildApp(config, { db: nowhere.prisma, clock, events, features: [] })
  for (const url of ['/healthz', '/nowhere']) {
    const answer = await app.inject({ url })
    expect([answer.statusCode, answer.body.includes('The database does not answer')]).toEqual([503, true])
  }
  await app.close()
  await nowhere.close()
})

test('before the club is set up every page leads to the set-up', async () => {
  const { config, clock, events, db } = club.app.deps
  await db.club.deleteMany()
  const app = await buildApp(config, { db, clock, events, features: [] })
  const answer = await app.inject({ url: '/events' })
  expect([answer.statusCode, answer.headers.location]).toEqual([303, '/set-up'])
  await app.close()
  await club.make.club()
})

test('a change is told to open pages as soon as it is committed', async () => {
  await club.app.listen({ port: 0 })
  const { port } = club.app.server.address() as AddressInfo
  const ann = await club.signedIn()
  let text = ''
  const stream = get({ port, path: '/events', headers: { cookie: `${COOKIE}=${ann.secret}` } }, (answer) => answer.on('data', (chunk: Buffer) => (text += chunk.toString())))
  await expect.poll(() => text).toContain('retry:')
  await transact(club.db, (tx) => notify(tx, LIVE_CHANNEL, 'plan'))
  await expect.poll(() => text).toContain('event: changed\ndata: plan\n\n')
  stream.destroy()
})
