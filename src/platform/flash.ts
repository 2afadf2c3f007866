import type { FastifyReply, FastifyRequest } from 'fastify'

const NAME = 'garboard_flash'

/** A sentence for the next page, in a short-lived cookie; it is only ever shown escaped, to the one who sent it. */
export function setFlash(req: FastifyRequest, reply: FastifyReply, text: string): void {
  const value = Buffer.from(text.slice(0, 900)).toString('base64url')
  reply.setCookie(NAME, value, { path: '/', httpOnly: true, sameSite: 'lax', secure: req.isSecure, maxAge: 60 })
}

export function takeFlash(req: FastifyRequest, reply: FastifyReply): string | null {
  const value = req.cookies[NAME]
  if (!value) return null
  reply.clearCookie(NAME, { path: '/', httpOnly: true, sameSite: 'lax', secure: req.isSecure })
  return Buffer.from(value, 'base64url').toString()
}

const AFTER = 'garboard_after'

/** The request for a new work plan that this write made; the next whole page says what moved. */
export function setAfter(req: FastifyRequest, reply: FastifyReply, requestId: bigint): void {
  reply.setCookie(AFTER, String(requestId), { path: '/', httpOnly: true, sameSite: 'lax', secure: req.isSecure, maxAge: 60 })
}

export function takeAfter(req: FastifyRequest, reply: FastifyReply): bigint | null {
  const value = req.cookies[AFTER]
  if (!value) return null
  reply.clearCookie(AFTER, { path: '/', httpOnly: true, sameSite: 'lax', secure: req.isSecure })
  return /^\d{1,18}$/.test(value) ? BigInt(value) : null
}
