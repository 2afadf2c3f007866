import { once } from 'node:events'
import { connect, type AddressInfo } from 'node:net'
import { afterEach, expect, test } from 'vitest'
import { COOKIE } from '../../src/platform/sign-in.ts'
import { PASSWORD, testClub } from '../support/app.ts'
import { members } from '../features/members/feature.ts'

let log = ''
// The most talkative there is.
const club = await testClub({ features: [members], config: { logLevel: 'trace' }, logTo: { write: (line) => void (log += line) } })
const officer = await club.signedIn(['officer'])

/** The link as the officer is shown it. */
async function invitation(): Promise<{ token: string; memberId: string }> {
  const { id } = await club.make.member(['builder'], { name: 'Iris' })
  const made = await officer.post(`/members/${id}/invite`)
  const flash = Buffer.from(made.cookies.find((c) => c.name === 'garboard_flash')?.value ?? '', 'base64url').toString()
  const token = /\/invite\/(\S+)$/.exec(flash)?.[1] ?? ''
  expect(token.length).toBeGreaterThan(20)
  await officer.get(`/members/${id}`)
  return { token, memberId: id }
}

afterEach(() => {
  log = ''
})

test('the log has every request with method and address', async () => {
  await officer.get('/members?x=1')
  expect(log).toContain('"method":"GET","url":"/members?x=1"')
})

test('an invitation’s token is not in the log, however its address is written', async () => {
  const { token } = await invitation()
  const addresses = [
    `/invite/${token}`, `/invite/${token}?from=mail`, `/invite/${token}/`, `/INVITE/${token}`, `/%69nvite/${token}`, `/invite%2F${token}`, `/invite%2f${token}%20`, `/invite//${token}`,
    `/sign-in?then=${encodeURIComponent(`/invite/${token}`)}`, `/nowhere/invite/${token}/more`,
  ]
  for (const url of addresses) {
    log = ''
    await club.signedOut.get(url)
    expect.soft(log, url).toMatch(/"url":"[^"]*\/invite\/…/i)
    expect.soft(log, url).not.toContain(token)
  }
  log = ''
  await club.signedOut.post(`/invite/${token}`, { email: 'iris@example.org', password: 'short', again: 'short' })
  await club.signedOut.post(`/invite/${token}`, { email: 'iris@example.org', password: 'long enough it is', again: 'long enough it is' })
  expect(log.match(/"url":"[^"]*\/invite\/…/gi)).toHaveLength(2)
  expect(log).not.toContain(token)
})

test('no password, cookie or once-only key is in the log', async () => {
  const form = club.make.once()
  await club.signedOut.post('/sign-in', { email: `${officer.memberId}@example.org`, password: 'guessed at random', then: '/' })
  const entered = await club.signedOut.post('/sign-in', { email: `${officer.memberId}@example.org`, password: PASSWORD, then: '/', once: form })
  expect(entered.statusCode).toBe(303)
  const secret = entered.cookies.find((c) => c.name === COOKIE)?.value ?? ''
  expect(secret.length).toBeGreaterThan(20)
  await officer.get('/me', { referer: 'http://localhost/' })
  expect(log.match(/incoming request/g)?.length).toBe(3)
  for (const hidden of ['guessed at random', PASSWORD, secret, officer.secret ?? '-', form]) expect(log).not.toContain(hidden)
})

test('a request that breaks off mid-line leaves nothing of its cookies', async () => {
  await club.app.listen({ port: 0, host: '127.0.0.1' })
  const socket = connect((club.app.server.address() as AddressInfo).port, '127.0.0.1')
  socket.on('error', () => {})
  socket.end(`GET /me HTTP/1.1\r\nhost: x\r\ncookie: ${COOKIE}=${officer.secret}\r\nbroken line\r\n\r\n`)
  socket.resume()
  await once(socket, 'close')
  expect(log).toContain('client error')
  expect(log).not.toContain('rawPacket')
  expect(log).not.toContain(officer.secret)
})
