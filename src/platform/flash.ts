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
