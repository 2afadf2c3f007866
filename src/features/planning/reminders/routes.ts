import type { FastifyInstance, FastifyRequest } from 'fastify'
import { RemindersView } from '../../../../views/planning/reminders.tsx'
import { StopView } from '../../../../views/planning/reminders-stop.tsx'
import { refuse } from '../../../core/result.ts'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { Nothing } from '../../../platform/form-fields.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { runReminders, stopByKey } from '../jobs/reminders.ts'
import { saveWish, tryMail } from './commands/wish.ts'
import { isStopKey, remindersPage, type MailState } from './queries/page.ts'
import { RemindersForm, StopParams } from './schemas.ts'

export function reminderRoutes(app: FastifyInstance, deps: Deps): void {
  const { db, clock, config } = deps
  const { smtpUrl, publicUrl } = config
  const state: MailState = !smtpUrl ? 'no-mail' : publicUrl ? 'on' : 'no-address'
  const own = { config: { may: 'reminders.own' } }
  const page = async (req: FastifyRequest, more: { refusal?: Refusal; typed?: Typed } = {}) => ({ ...(await remindersPage(db, found(req.member).id, state, clock.now())), ...more })
  runReminders(app, deps)

  app.get('/me/reminders', own, async (req, reply) => reply.view(RemindersView, await page(req)))
  app.post('/me/reminders', own, (req, reply) =>
    write(req, reply, {
      schema: RemindersForm,
      run: saveWish,
      refused: async (refusal, typed) => reply.view(RemindersView, await page(req, { refusal, typed }), { status: refusal.status }),
    }))
  app.post('/me/reminders/try', own, (req, reply) =>
    write(req, reply, {
      schema: Nothing,
      run: async (tx, ctx) => {
        if (state === 'on' && publicUrl) return tryMail(tx, ctx, found(req.club).name, publicUrl)
        return refuse<Refusal>({ status: 422, message: 'The service has no mail set up, so there is nothing to try.' })
      },
      refused: async (refusal) => reply.view(RemindersView, await page(req, { refusal }), { status: refusal.status }),
    }))

  stopRoutes(app, deps)
}

/**
 * From a mail, without a sign-in. Looking at the page stops nothing, for mail scanners follow links; its one button does, and so does the
 * POST that a mail program sends by itself (RFC 8058): from anywhere, without cookies, as a form of either kind. Nothing in it is read.
 */
function stopRoutes(app: FastifyInstance, { db }: Deps): void {
  const keyOf = (req: FastifyRequest): string => {
    const parsed = StopParams.safeParse(req.params)
    return found(parsed.success ? parsed.data.stopKey : null)
  }
  app.get('/reminders/stop/:stopKey', { config: { may: 'reminders.stop' } }, async (req, reply) => {
    const stopKey = keyOf(req)
    found((await isStopKey(db, stopKey)) || null)
    return reply.view(StopView, { stopKey, isDone: false })
  })
  app.register(async (inner) => {
    inner.removeAllContentTypeParsers()
    inner.addContentTypeParser('*', (_req, body, done) => {
      body.resume()
      body.once('end', () => done(null, {}))
      body.once('error', done)
    })
    inner.post('/reminders/stop/:stopKey', { config: { may: 'reminders.stop', fromAnywhere: true }, bodyLimit: 65_536 }, async (req, reply) => {
      const stopKey = keyOf(req)
      found((await stopByKey(db, stopKey)) || null)
      return reply.view(StopView, { stopKey, isDone: true })
    })
  })
}
