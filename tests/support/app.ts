import type { FastifyInstance } from 'fastify'
import { afterAll } from 'vitest'
import { buildApp, type AppParts } from '../../src/app/build-app.ts'
import { fixedClock, type FixedClock } from '../../src/platform/clock.ts'
import { readConfig, type Config } from '../../src/platform/config.ts'
import { openEvents } from '../../src/platform/events.ts'
import type { Role } from '../../src/platform/generated/enums.ts'
import { hashPassword } from '../../src/platform/passwords.ts'
import { testDatabase, type TestDatabase } from './db.ts'
import { maker, type Maker } from './make.ts'
import { person, type Person } from './person.ts'

export { ORIGIN, type Person } from './person.ts'
export const PASSWORD = 'tests only, 10 and more'

export type TestClub = {
  app: FastifyInstance
  database: TestDatabase
  db: TestDatabase['prisma']
  clock: FixedClock
  make: Maker
  signedOut: Person
  /** A new member with these roles, signed in. */
  signedIn(roles?: Role[], over?: Parameters<Maker['member']>[1]): Promise<Person & { memberId: string }>
  /** A member that is there already, signed in. */
  as(memberId: string): Promise<Person & { memberId: string }>
}

export type TestClubOptions = { now?: string; isSetUp?: boolean; config?: Partial<Config> } & Pick<AppParts, 'features' | 'onRoute' | 'logTo'>

/** The app as the service builds it, on a database of this test file, with the club set up and a clock that stands still. */
export async function testClub(options: TestClubOptions = {}): Promise<TestClub> {
  const database = await testDatabase()
  const db = database.prisma
  const clock = fixedClock(options.now ?? '2026-05-30T08:00:00Z')
  const make = maker(db, clock.now())
  if (options.isSetUp !== false) await make.club()
  const config: Config = { ...readConfig({ LOG_LEVEL: process.env['TEST_LOG'] ?? 'silent', RATE_LIMIT: '0' }), databaseUrl: database.url, ...options.config }
  const events = openEvents(database.url)
  const { features, onRoute, logTo } = options
  const app = await buildApp(config, { db, clock, events, ...(features && { features }), ...(onRoute && { onRoute }), ...(logTo && { logTo }) })
  await app.ready()
  afterAll(async () => {
    await app.close()
    await events.close()
  })
  // One hash serves all: making one takes a few hundredths of a second each.
  const passwordHash = await hashPassword(PASSWORD)

  const as = async (memberId: string) => {
    const user = await db.signInUser.upsert({
      where: { memberId },
      create: { memberId, email: `${memberId}@example.org`, passwordHash },
      update: {},
    })
    return { ...person(app, await app.deps.signIn.enterAs(user.id)), memberId }
  }
  return {
    app,
    database,
    db,
    clock,
    make,
    signedOut: person(app, null),
    signedIn: async (roles, over) => as((await make.member(roles, over)).id),
    as,
  }
}
