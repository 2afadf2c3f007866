import { randomUUID } from 'node:crypto'
import cookie from '@fastify/cookie'
import formbody from '@fastify/formbody'
import rateLimit from '@fastify/rate-limit'
import Fastify, { type FastifyInstance, type FastifyRequest, type RouteOptions } from 'fastify'
import { registerAssets, type Assets } from '../platform/assets.ts'
import type { Clock } from '../platform/clock.ts'
import type { Config } from '../platform/config.ts'
import type { Db } from '../platform/database.ts'
import type { Deps } from '../platform/deps.ts'
import { failure } from '../platform/errors.ts'
import type { Events } from '../platform/events.ts'
import { keepTidy } from '../platform/housekeeping.ts'
import { registerHtml } from '../platform/html.ts'
import type { JobQueue } from '../platform/jobs.ts'
import { registerLive } from '../platform/live.ts'
import { PolicyTable } from '../platform/policy.ts'
import { registerGuard } from '../platform/request.ts'
import { signInService } from '../platform/sign-in.ts'
import { registerUploads } from '../platform/uploads.ts'
import { registerErrors } from './errors.ts'
import type { Feature } from './features.ts'

export type AppParts = {
  db: Db
  clock: Clock
  events: Events
  /** Runs while the app listens. */
  jobs?: JobQueue
  /** Other features than the service's own, and a look at each route as it is added: for tests. */
  features?: readonly Feature[]
  onRoute?: (route: RouteOptions) => void
  /** Where the log goes instead of standard output: for tests. */
  logTo?: { write(line: string): void }
}

declare module 'fastify' {
  interface FastifyInstance {
    policyTable: PolicyTable
    assets: Assets
  }
}

/** Puts the parts together; the service and the tests have no other way to make one. */
export async function buildApp(config: Config, parts: AppParts): Promise<FastifyInstance> {
  const app = Fastify({
    logger: config.logLevel === 'silent' ? false : {
      level: config.logLevel,
      serializers: { req: logged },
      // What a broken request was, cookies and all.
      redact: { paths: ['err.rawPacket'], remove: true },
      ...(parts.logTo && { stream: parts.logTo }),
    },
    trustProxy: config.trustProxy,
    genReqId: () => randomUUID(),
    bodyLimit: 1_048_576,
    routerOptions: { maxParamLength: 300 },
  })
  const { db, clock, events, jobs = null } = parts
  const deps: Deps = { db, clock, events, jobs, config, signIn: signInService(db, clock), log: app.log, pageHooks: {} }
  const table = new PolicyTable()
  table.add('platform', { static: { who: 'public' }, health: { who: 'public' }, events: { who: 'member' } })
  const features = parts.features ?? (await import('./features.ts')).features
  for (const feature of features) table.add(feature.name, feature.policy)
  app.decorate('policyTable', table)

  // Forms are the only thing this service reads, with files where a route says so.
  app.removeAllContentTypeParsers()
  await app.register(formbody)
  await registerUploads(app)
  await app.register(cookie)
  registerErrors(app)
  if (config.rateLimit > 0) await limitRate(app, config.rateLimit)
  registerGuard(app, table, deps)
  if (parts.onRoute) app.addHook('onRoute', parts.onRoute)
  const assets = await registerAssets(app)
  app.decorate('assets', assets)
  registerHtml(app, assets, clock, deps.pageHooks)

  registerLive(app)
  keepTidy(app)
  app.get('/healthz', { config: { may: 'health' } }, async (_req, reply) => {
    await db.$queryRaw`select 1`
    return reply.header('cache-control', 'no-store').send({ status: 'ok' })
  })

  for (const feature of features) await app.register(feature.routes, deps)
  if (jobs) {
    // Nobody waits for it: a page that is asked for meanwhile comes first.
    app.addHook('onListen', async () => void jobs.start(app.log))
    app.addHook('preClose', () => jobs.stop())
  }
  return app
}

/** Before anything that asks the database. Counted in this process: a flood guard; sign-in has its own count in the database. */
async function limitRate(app: FastifyInstance, max: number): Promise<void> {
  await app.register(rateLimit, {
    global: false,
    max,
    timeWindow: '1 minute',
    allowList: (req) => req.url.startsWith('/static/') || req.url === '/healthz',
    errorResponseBuilder: () => failure('too-many'),
  })
  app.addHook('onRequest', app.rateLimit())
}

/** What the log keeps of a request: no cookies, and no secret that is part of an address. */
function logged(req: FastifyRequest) {
  return { method: req.method, url: withoutToken(req.url), remoteAddress: req.ip }
}

/** Also where the address is coded, broken, ends in a slash, or stands inside another (`?then=`). */
function withoutToken(url: string): string {
  const plain = url.replace(/%([2-7][0-9a-f])/gi, (_, hex: string) => String.fromCharCode(parseInt(hex, 16)))
  const hidden = plain.replace(/(\/(?:invite|guests|reminders\/stop)\/)[^?&#]+/gi, '$1…')
  return hidden === plain ? url : hidden
}
