import { randomUUID } from 'node:crypto'
import type { FastifyInstance, LightMyRequestResponse } from 'fastify'
import { afterAll } from 'vitest'
import { buildApp, type AppParts } from '../../src/app/build-app.ts'
import { fixedClock, type FixedClock } from '../../src/platform/clock.ts'
import { readConfig, type Config } from '../../src/platform/config.ts'
import { openEvents } from '../../src/platform/events.ts'
import type { Role } from '../../src/platform/generated/enums.ts'
import { hashPassword } from '../../src/platform/passwords.ts'
import { COOKIE } from '../../src/platform/sign-in.ts'
import { testDatabase, type TestDatabase } from './db.ts'
import { maker, type Maker } from './make.ts'

export const ORIGIN = 'http://localhost:80'
export const PASSWORD = 'tests only, 10 and more'

/** A person at a browser; `null` cookie: signed out. */
export type Person = {
  memberId: string | null
  /** What its sign-in cookie holds. */
  secret: string | null
  get(url: string, headers?: Record<string, string>): Promise<LightMyRequestResponse>
  /** Posts a form as a browser does: with the once-only key (its own unless given) and the origin. Arrays repeat a field. */
  post(url: string, fields?: Record<string, string | number | readonly string[]>, headers?: Record<string, string>): Promise<LightMyRequestResponse>
}

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

function person(app: FastifyInstance, secret: string | null): Person {
  const cookies: Record<string, string> = secret ? { [COOKIE]: secret } : {}
  return {
    memberId: null,
    secret,
    get: (url, headers = {}) => app.inject({ method: 'GET', url, cookies, headers }),
    post: (url, fields = {}, headers = {}) =>
      app.inject({
        method: 'POST',
        url,
        cookies,
        headers: { 'content-type': 'application/x-www-form-urlencoded', origin: ORIGIN, ...headers },
        payload: form({ once: randomUUID(), ...fields }),
      }),
  }
}

function form(fields: Record<string, string | number | readonly string[]>): string {
  const body = new URLSearchParams()
  for (const [name, value] of Object.entries(fields)) for (const one of [value].flat()) body.append(name, String(one))
  return body.toString()
}
