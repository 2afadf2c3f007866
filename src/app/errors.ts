import type { FastifyError, FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { ErrorPage } from '../../views/shared/error-page.tsx'
import { sqlState } from '../platform/database.ts'
import { Failure, failures, type FailureCode } from '../platform/errors.ts'

/** Turns whatever a route throws into a page; only a bug is logged as an error, and shows a number to find it by. */
export function registerErrors(app: FastifyInstance): void {
  app.setErrorHandler(async (error: FastifyError, req, reply) => {
    const code = codeOf(error)
    const [status] = failures[code]
    if (status >= 500) req.log.error({ err: error }, code)
    else req.log.info({ reason: code }, 'refused')
    return sendFailure(req, reply, code)
  })
  app.setNotFoundHandler((req, reply) => sendFailure(req, reply, 'not-found'))
}

export function sendFailure(req: FastifyRequest, reply: FastifyReply, code: FailureCode) {
  const [status, title, text] = failures[code]
  return reply.view(ErrorPage, { status, title, text, ...(code === 'bug' ? { number: req.id } : {}) }, { status })
}

/** Prisma's words for "no connection": can't reach, timed out, closed, no free one in the pool. */
const AWAY = new Set(['P1001', 'P1002', 'P1008', 'P1017', 'P2024', 'P2037', 'ECONNREFUSED', 'ECONNRESET', 'EPIPE', 'ENOTFOUND'])

function codeOf(error: FastifyError): FailureCode {
  if (error instanceof Failure) return error.code
  if (error.statusCode === 413) return 'too-large'
  if (error.statusCode === 429) return 'too-many'
  if (error.statusCode === 404) return 'not-found'
  if (error.statusCode !== undefined && error.statusCode >= 400 && error.statusCode < 500) return 'bad-form'
  // Classes 08 and 57P, and "too many clients": PostgreSQL goes away, comes back, or is full.
  const state = sqlState(error)
  if (AWAY.has(error.code) || (state !== undefined && /^(08|57P|53300)/.test(state))) return 'unavailable'
  return 'bug'
}
