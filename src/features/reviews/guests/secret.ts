import { randomBytes } from 'node:crypto'
import type { FastifyReply, FastifyRequest } from 'fastify'
import { digest } from '../../../platform/sign-in.ts'

/** 256 bits of chance, as part of an address. Only its digest is kept. */
export const newSecret = (): string => randomBytes(32).toString('base64url')
export const isSecret = (text: string): boolean => /^[A-Za-z0-9_-]{43}$/.test(text)
export { digest }

const NAME = 'garboard_new_link'
const MINUTES = 10
const cookieOf = (req: FastifyRequest, buildId: string) => ({ path: `/builds/${buildId}/guests`, httpOnly: true, sameSite: 'lax' as const, secure: req.isSecure })

/** Hands a new link's secret to the one page that shows it, by way of the maker's own browser: the service keeps none. */
export function handOver(req: FastifyRequest, reply: FastifyReply, buildId: string, secret: string): void {
  reply.setCookie(NAME, secret, { ...cookieOf(req, buildId), maxAge: MINUTES * 60 })
}

/** Once: the browser forgets it with this answer. */
export function takeOver(req: FastifyRequest, reply: FastifyReply, buildId: string): string | null {
  const secret = req.cookies[NAME]
  if (!secret) return null
  reply.clearCookie(NAME, cookieOf(req, buildId))
  return isSecret(secret) ? secret : null
}
