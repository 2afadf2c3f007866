import { randomUUID } from 'node:crypto'
import type { FastifyBaseLogger } from 'fastify'
import { afterAll, beforeEach, expect, test } from 'vitest'
import { transact } from '../../src/platform/database.ts'
import { openJobs, type JobData, type JobQueue } from '../../src/platform/jobs.ts'
import { testDatabase } from '../support/db.ts'

const database = await testDatabase()
const db = database.prisma
const said: string[] = []
const say = (_: unknown, text: string) => void said.push(text)
const log = { warn: say, error: say, info: say } as unknown as FastifyBaseLogger

const open: JobQueue[] = []
/** An instance with one worker. */
function instance(name: string, run: (data: JobData) => Promise<void>, pollSeconds = 0.5): JobQueue {
  const jobs = openJobs(database.url)
  jobs.work(name, { retryLimit: 100, retryDelay: 0, expireInSeconds: 60, pollSeconds }, run)
  open.push(jobs)
  return jobs
}
const stateOf = async (id: string) => (await db.$queryRaw<{ state: string }[]>`select state::text from pgboss.job where id = ${id}::uuid`)[0]?.state

beforeEach(() => {
  said.length = 0
})
afterAll(() => Promise.all(open.map((jobs) => jobs.stop())))

test('with nobody to work nothing is started, and stopping what never started is no trouble', async () => {
  const idle = openJobs(database.url)
  await idle.start(log)
  expect(idle.isRunning).toBe(false)
  await idle.stop()
  expect(await db.$queryRaw`select 1 from pg_namespace where nspname = 'pgboss'`).toEqual([])
})

test('two instances that start at once share the queue; a job is done by one of them', async () => {
  const did: string[] = []
  const both = ['a', 'b'].map((who) => instance('shared', async (data) => void did.push(`${who} ${data['what']}`)))
  await Promise.all(both.map((jobs) => jobs.start(log)))
  const ids = Array.from({ length: 8 }, () => randomUUID())
  await transact(db, async (tx) => {
    for (const [n, id] of ids.entries()) await both[0]!.enqueue(tx, 'shared', id, { what: String(n) })
  })
  for (const jobs of both) jobs.wake('shared')
  await expect.poll(() => did.length, { timeout: 20_000 }).toBe(8)
  await expect.poll(async () => Promise.all(ids.map(stateOf)), { timeout: 5_000 }).toEqual(ids.map(() => 'completed'))
  expect(did.map((text) => text.slice(2)).sort()).toEqual(ids.map((_, n) => String(n)))
  expect(said).toEqual([])
  await Promise.all(both.map((jobs) => jobs.stop()))
})

test('what waits is done one after another, however seldom an instance looks', async () => {
  const did: string[] = []
  const jobs = instance('row', async (data) => void did.push(data['what'] ?? ''), 3_600)
  await jobs.start(log)
  await transact(db, async (tx) => {
    for (const what of ['1', '2', '3']) await jobs.enqueue(tx, 'row', randomUUID(), { what })
  })
  jobs.wake('row')
  await expect.poll(() => did.length, { timeout: 20_000 }).toBe(3)
  await jobs.stop()
})

test('a job comes with its transaction or not at all, and with the same id once', async () => {
  const did: string[] = []
  const jobs = instance('rows', async (data) => void did.push(data['what'] ?? ''))
  await jobs.start(log)
  await transact(db, async (tx) => {
    await jobs.enqueue(tx, 'rows', randomUUID(), { what: 'rolled back' })
    throw new Error('no')
  }).catch(() => undefined)
  const id = randomUUID()
  for (let n = 0; n < 3; n++) await transact(db, (tx) => jobs.enqueue(tx, 'rows', id, { what: 'kept' }))
  jobs.wake('rows')
  await expect.poll(() => stateOf(id), { timeout: 10_000 }).toBe('completed')
  await transact(db, (tx) => jobs.enqueue(tx, 'rows', id, { what: 'kept' }))
  expect(await db.$queryRaw`select id from pgboss.job where name = 'rows'`).toEqual([{ id }])
  expect(did).toEqual(['kept'])
  await jobs.stop()
})

test('what waits when an instance ends is done by the next that starts, and what failed is tried again', async () => {
  const did: string[] = []
  const first = instance('later', async () => {
    throw new Error('no server')
  })
  await first.start(log)
  const id = randomUUID()
  await transact(db, (tx) => first.enqueue(tx, 'later', id, { what: 'x' }))
  first.wake('later')
  await expect.poll(() => said.includes('a job failed'), { timeout: 10_000 }).toBe(true)
  await first.stop()
  expect(first.isRunning).toBe(false)
  expect(await stateOf(id)).toBe('retry')
  await first.stop()
  const next = instance('later', async (data) => void did.push(data['what'] ?? ''))
  await next.start(log)
  await expect.poll(() => stateOf(id), { timeout: 10_000 }).toBe('completed')
  expect(did).toEqual(['x'])
  await next.stop()
})

test('connections that PostgreSQL cuts are opened again, and end nothing', async () => {
  const did: string[] = []
  const jobs = instance('cut', async (data) => void did.push(data['what'] ?? ''))
  await jobs.start(log)
  await db.$queryRaw`select pg_terminate_backend(pid) from pg_stat_activity where application_name = 'garboard jobs' and datname = current_database()`
  await transact(db, (tx) => jobs.enqueue(tx, 'cut', randomUUID(), { what: 'after' }))
  jobs.wake('cut')
  await expect.poll(() => did, { timeout: 10_000 }).toEqual(['after'])
  await jobs.stop()
})
