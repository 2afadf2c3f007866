import type { FastifyInstance } from 'fastify'

const HOUR = 3_600_000
/** Days that a once-only key is kept: far longer than a form stays open in a browser. */
const KEY_DAYS = 30

/** Once an hour rows past their use go. Several instances may do it at once: each deletes what is left. */
export function keepTidy(app: FastifyInstance): void {
  const { db, clock, signIn, log } = app.deps
  const tidy = async () => {
    await signIn.tidy()
    await db.onceKey.deleteMany({ where: { createdAt: { lt: new Date(clock.now().getTime() - KEY_DAYS * 24 * HOUR) } } })
  }
  const timer = setInterval(() => tidy().catch((error: Error) => log.warn({ err: error }, 'housekeeping')), HOUR)
  timer.unref()
  app.addHook('onClose', async () => clearInterval(timer))
}
