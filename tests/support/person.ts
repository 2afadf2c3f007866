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
  /** The same with files, as a form in parts. */
  send(url: string, fields: Record<string, string | number | readonly string[]>, files: readonly SentFile[], headers?: Record<string, string>): Promise<LightMyRequestResponse>
}

export type SentFile = { field?: string; name: string; bytes: Uint8Array }

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
    send: async (url, fields, files, headers = {}) => {
      const { type, payload } = await inParts({ once: randomUUID(), ...fields }, files)
      return app.inject({ method: 'POST', url, cookies, headers: { 'content-type': type, origin: ORIGIN, ...headers }, payload })
    },
  }
}

export function form(fields: Record<string, string | number | readonly string[]>): string {
  const body = new URLSearchParams()
  for (const [name, value] of Object.entries(fields)) for (const one of [value].flat()) body.append(name, String(one))
  return body.toString()
}

/** The body that a browser makes of a form with files. */
export async function inParts(fields: Record<string, string | number | readonly string[]>, files: readonly SentFile[]): Promise<{ type: string; payload: Buffer }> {
  const data = new FormData()
  for (const [name, value] of Object.entries(fields)) for (const one of [value].flat()) data.append(name, String(one))
  for (const { field = 'photos', name, bytes } of files) data.append(field, new Blob([Uint8Array.from(bytes)]), name)
  const sent = new Response(data)
  return { type: sent.headers.get('content-type') ?? '', payload: Buffer.from(await sent.arrayBuffer()) }
}
