import type { FastifyError, FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { ErrorPage } from '../../views/shared/error-page.tsx'
import { isAway } from '../platform/database.ts'
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

export async function sendFailure(req: FastifyRequest, reply: FastifyReply, code: FailureCode) {
  const [status, title, text] = failures[code]
  try {
    return await reply.view(ErrorPage, { status, title, text, ...(code === 'bug' ? { number: req.id } : {}) }, { status })
  } catch (error) {
    // The layout itself is broken: say it without.
    req.log.error({ err: error }, 'error page')
    return reply.code(status).header('content-type', 'text/plain; charset=utf-8').send(`${title}\n\n${text}\n\n${req.id}\n`)
  }
}

function codeOf(error: FastifyError): FailureCode {
  if (error instanceof Failure) return error.code
  if (error.statusCode === 413) return 'too-large'
  if (error.statusCode === 429) return 'too-many'
  if (error.statusCode === 404) return 'not-found'
  if (error.statusCode !== undefined && error.statusCode >= 400 && error.statusCode < 500) return 'bad-form'
  return isAway(error) ? 'unavailable' : 'bug'
}
