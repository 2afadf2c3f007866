import { randomUUID } from 'node:crypto'
import type { FastifyInstance, LightMyRequestResponse } from 'fastify'
import { COOKIE } from '../../src/platform/sign-in.ts'

export const ORIGIN = 'http://localhost:80'

/** A person at a browser; `null` cookie: signed out. */
export type Person = {
  memberId: string | null
  /** What its sign-in cookie holds. */
  secret: string | null
  get(url: string, headers?: Record<string, string>): Promise<LightMyRequestResponse>
  /** Posts a form as a browser does: with the once-only key (its own unless given) and the origin. Arrays repeat a field. */
  post(url: string, fields?: Record<string, string | number | readonly string[]>, headers?: Record<string, string>): Promise<LightMyRequestResponse>
}

export function person(app: FastifyInstance, secret: string | null): Person {
  const cookies: Record<string, string> = secret ? { [COOKIE]: secret } : {}
  return {
    memberId: null,
    secret,
    get: (url, headers = {}) => app.inject({ method: 'GET', url, cookies, headers }),
    post: (url, fields = {}, headers = {}) =>
      app.inject({
        method: 'POST',
        url,
        cookies,
        headers: { 'content-type': 'application/x-www-form-urlencoded', origin: ORIGIN, ...headers },
        payload: form({ once: randomUUID(), ...fields }),
      }),
  }
}

export function form(fields: Record<string, string | number | readonly string[]>): string {
  const body = new URLSearchParams()
  for (const [name, value] of Object.entries(fields)) for (const one of [value].flat()) body.append(name, String(one))
  return body.toString()
}
