/** The app on an embedded PostgreSQL of its own, in a folder that goes when the run ends: for benchmarks, which have no test runner. */
import { chmodSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { FastifyInstance } from 'fastify'
import { buildApp } from '../../src/app/build-app.ts'
import { fixedClock } from '../../src/platform/clock.ts'
import { readConfig } from '../../src/platform/config.ts'
import { openDatabase, type Db } from '../../src/platform/database.ts'
import { startEmbedded } from '../../src/platform/embedded-database.ts'
import { openEvents } from '../../src/platform/events.ts'
import type { Role } from '../../src/platform/generated/enums.ts'
import { migrate } from '../../src/platform/migrate.ts'
import { hashPassword } from '../../src/platform/passwords.ts'
import { maker, type Maker } from '../support/make.ts'
import { person, type Person } from '../support/person.ts'

export type BenchClub = {
  app: FastifyInstance
  db: Db
  url: string
  now: Date
  make: Maker
  signedIn(roles: Role[]): Promise<Person & { memberId: string }>
  close(): Promise<void>
}

export async function benchClub(connections: number): Promise<BenchClub> {
  const dataDir = mkdtempSync(join(tmpdir(), 'garboard-bench-'))
  chmodSync(dataDir, 0o755)
  const own = await startEmbedded(dataDir, { say: () => undefined })
  await migrate(own.url)
  const database = openDatabase(own.url, { connections })
  const db = database.prisma
  const clock = fixedClock('2026-05-30T08:00:00Z')
  const make = maker(db, clock.now())
  await make.club()
  const events = openEvents(own.url)
  const app = await buildApp({ ...readConfig({ LOG_LEVEL: 'silent', RATE_LIMIT: '0' }), databaseUrl: own.url }, { db, clock, events })
  await app.ready()
  const passwordHash = await hashPassword('benchmarks only')
  return {
    app, db, url: own.url, now: clock.now(), make,
    async signedIn(roles) {
      const { id } = await make.member(roles)
      const user = await db.signInUser.create({ data: { memberId: id, email: `${id}@example.org`, passwordHash } })
      return { ...person(app, await app.deps.signIn.enterAs(user.id)), memberId: id }
    },
    async close() {
      await app.close()
      await events.close()
      await database.close()
      await own.stop()
      rmSync(dataDir, { recursive: true, force: true })
    },
  }
}

/** The middle one; of an even number the lower of the two. */
export const median = (times: readonly number[]): number => [...times].sort((a, b) => a - b)[(times.length - 1) >> 1] ?? NaN

/** Runs it once for warmth, then five times; the median, ms. */
export async function medianOf5(run: () => Promise<unknown>): Promise<number> {
  await run()
  const times: number[] = []
  for (let i = 0; i < 5; i++) {
    const from = performance.now()
    await run()
    times.push(performance.now() - from)
  }
  return median(times)
}
