import { expect, test } from 'vitest'
import { isConflict, isTaken, sqlState, transact } from '../../src/platform/database.ts'
import { openEvents, notify, type Heard } from '../../src/platform/events.ts'
import { migrate, readMigrations } from '../../src/platform/migrate.ts'
import { requestReplan } from '../../src/platform/replan.ts'
import { testDatabase } from '../support/db.ts'
import { maker } from '../support/make.ts'

const database = await testDatabase()
const db = database.prisma
const make = maker(db, new Date('2026-05-30T08:00:00Z'))

test.each(['model calls', 'raw SQL'] as const)('of transactions that PostgreSQL can’t put in order, by %s, each is run again until all are booked', async (by) => {
  const tool = await make.tool({ count: 0 })
  let [runs, reads] = [0, 0]
  let allRead = () => undefined as void
  const read = new Promise<void>((done) => {
    allRead = done
  })
  await Promise.all(Array.from({ length: 6 }, () =>
    transact(db, async (tx) => {
      runs++
      const { count } = await tx.tool.findUniqueOrThrow({ where: { id: tool.id } })
      // However slowly connections come, the first six have all read before one of them writes.
      if (++reads === 6) allRead()
      await read
      if (by === 'raw SQL') await tx.$executeRaw`update tool set count = ${count + 1} where id = ${tool.id}::uuid`
      else await tx.tool.update({ where: { id: tool.id }, data: { count: count + 1 } })
    }, { isolation: 'serializable', retries: 50 })))
  expect((await db.tool.findUniqueOrThrow({ where: { id: tool.id } })).count).toBe(6)
  // Six that read the same count can't all pass at the first try.
  expect(runs).toBeGreaterThan(6)
})

test('two that lock the same rows in opposite order both get through', async () => {
  const [one, two] = [await make.tool(), await make.tool()]
  const both = async (first: string, second: string) =>
    transact(db, async (tx) => {
      await tx.$executeRaw`update tool set count = count + 1 where id = ${first}::uuid`
      await new Promise((done) => setTimeout(done, 100))
      await tx.$executeRaw`update tool set count = count + 1 where id = ${second}::uuid`
    })
  await Promise.all([both(one.id, two.id), both(two.id, one.id)])
  expect((await db.tool.findMany({ where: { id: { in: [one.id, two.id] } } })).map(({ count }) => count)).toEqual([3, 3])
})

test('failures are told apart by PostgreSQL’s own codes', async () => {
  await make.tool({ name: 'Bandsaw' })
  const failure = async (work: () => Promise<unknown>): Promise<unknown> => work().then(() => null, (error: unknown) => error)
  const taken = [
    await failure(() => make.tool({ name: 'Bandsaw' })),
    await failure(() => db.$executeRaw`insert into tool (name) values ('Bandsaw')`),
  ]
  expect(taken.map(isTaken)).toEqual([true, true])
  expect(taken.map(isConflict)).toEqual([false, false])
  // 23514: check violation (PostgreSQL's documentation, appendix A).
  expect(sqlState(await failure(() => make.tool({ count: -1 })))).toBe('23514')
  expect(sqlState(await failure(() => db.$executeRaw`update tool set count = -1`))).toBe('23514')
  expect(sqlState(new Error('other'))).toBeUndefined()
})

test('any other failure is thrown at once, with everything taken back', async () => {
  let runs = 0
  const before = await db.tool.count()
  await expect(transact(db, async (tx) => {
    runs++
    await tx.tool.create({ data: { name: 'Never there' } })
    throw new Error('a bug')
  })).rejects.toThrow('a bug')
  expect([runs, await db.tool.count()]).toEqual([1, before])
})

test('logged hours can’t be changed or taken out, by whatever client', async () => {
  await expect(db.$executeRaw`insert into audit_row (at, what, entity, entity_id) values (now(), 'x', 'y', 'z')`).resolves.toBe(1)
  await expect(db.$executeRaw`update audit_row set what = 'w'`).rejects.toThrow('only ever added to')
  await expect(db.$executeRaw`delete from audit_row`).rejects.toThrow('only ever added to')
})

test('an event is heard by every instance when its transaction commits, and not when it is taken back', async () => {
  const [one, two] = [openEvents(database.url), openEvents(database.url)]
  const heard: string[] = []
  const listener = (who: string) => ({ payload }: Heard) => heard.push(`${who} ${payload}`)
  await one.on('test_channel', listener('one'))
  await two.on('test_channel', listener('two'))
  await transact(db, (tx) => notify(tx, 'test_channel', 'booked'))
  await transact(db, async (tx) => {
    await notify(tx, 'test_channel', 'taken back')
    throw new Error('no')
  }).catch(() => undefined)
  await transact(db, (tx) => notify(tx, 'test_channel', 'last'))
  await expect.poll(() => heard.length).toBe(4)
  expect(heard.sort()).toEqual(['one booked', 'one last', 'two booked', 'two last'])
  await Promise.all([one.close(), two.close()])
})

test('a connection for events that breaks comes back and says that something may have been missed', async () => {
  const events = openEvents(database.url)
  const heard: Heard[] = []
  await events.on('test_channel', (event) => heard.push(event))
  await database.pool.query(`select pg_terminate_backend(pid) from pg_stat_activity where datname = current_database() and application_name = 'garboard events'`)
  await expect.poll(() => heard.some(({ missed }) => missed), { timeout: 10_000 }).toBe(true)
  await transact(db, (tx) => notify(tx, 'test_channel', 'again'))
  await expect.poll(() => heard.some(({ payload }) => payload === 'again')).toBe(true)
  await events.close()
})

test('a request to replan is a row of the change’s own transaction', async () => {
  const by = { now: new Date('2026-05-30T08:00:00Z'), member: null }
  await transact(db, (tx) => requestReplan(tx, 'Ann comes on Saturday', by))
  await transact(db, async (tx) => {
    await requestReplan(tx, 'taken back', by)
    throw new Error('no')
  }).catch(() => undefined)
  expect((await db.planRequest.findMany()).map(({ cause }) => cause)).toEqual(['Ann comes on Saturday'])
})

test('migrations: three starts at once on an empty database apply each once', async () => {
  const name = `${database.name}_fresh`
  await database.pool.query(`create database ${name}`)
  const url = new URL(database.url)
  url.pathname = `/${name}`
  const names = readMigrations().map((migration) => migration.name)
  const applied = await Promise.all([migrate(url.href), migrate(url.href), migrate(url.href)])
  expect(applied.map((list) => list.length).sort()).toEqual([0, 0, names.length])
  expect(await migrate(url.href)).toEqual([])

  const [first, ...rest] = readMigrations()
  await expect(migrate(url.href, [{ ...first!, checksum: 'other' }, ...rest])).rejects.toThrow(`migration ${first!.name} was changed after it was applied`)
  await expect(migrate(url.href, rest)).rejects.toThrow('which this version does not know')
  const broken = { name: '9999_broken', sql: 'create table left_over (a int); select nonsense', checksum: 'x' }
  await expect(migrate(url.href, [first!, ...rest, broken])).rejects.toThrow('9999_broken failed and was taken back whole')
  // Nothing of the broken one is left, and the good ones are still known.
  expect(await migrate(url.href)).toEqual([])
  await database.pool.query(`drop database ${name} with (force)`)
})
