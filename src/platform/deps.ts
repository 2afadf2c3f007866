import type { FastifyBaseLogger } from 'fastify'
import type { Clock } from './clock.ts'
import type { Config } from './config.ts'
import type { Db } from './database.ts'
import type { Events } from './events.ts'
import type { PageHooks } from './html.ts'
import type { JobQueue } from './jobs.ts'
import type { SignInService } from './sign-in.ts'

/** What every feature is given: `export default async function (app: FastifyInstance, deps: Deps)`. */
export type Deps = {
  db: Db
  clock: Clock
  config: Config
  signIn: SignInService
  events: Events
  /** Absent where an app only answers injected requests. */
  jobs: JobQueue | null
  log: FastifyBaseLogger
  /** Planning sets `pageHooks.moved`, so that every page can say what moved. */
  pageHooks: PageHooks
}
