import { expect, test } from 'vitest'
import { testClub } from '../support/app.ts'

const club = await testClub()

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
})

test('nothing outside static/ can be had through its address', async () => {
  for (const path of ['../package.json', '..%2fpackage.json', '%2e%2e/package.json', '.env']) {
    const answer = await club.signedOut.get(`/static/${path}`)
    expect([400, 403, 404]).toContain(answer.statusCode)
    expect(answer.body).not.toContain('dependencies')
  }
})
