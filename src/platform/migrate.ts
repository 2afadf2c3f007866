import { createHash, randomUUID } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import pg from 'pg'
import { StartError } from './config.ts'
import { ROOT } from './paths.ts'

export type Migration = { name: string; sql: string; checksum: string }

/** The lock and the table are Prisma's own, so that its command line agrees with us where it can be run. */
const LOCK = 72_707_369
const TABLE = `create table if not exists _prisma_migrations (
  id varchar(36) primary key, checksum varchar(64) not null, finished_at timestamptz, migration_name varchar(255) not null,
  logs text, rolled_back_at timestamptz, started_at timestamptz not null default now(), applied_steps_count integer not null default 0)`

export function readMigrations(folder = join(ROOT, 'prisma', 'migrations')): Migration[] {
  return readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => entry.name)
    .sort()
    .map((name) => {
      const sql = readFileSync(join(folder, name, 'migration.sql'), 'utf8')
      return { name, sql, checksum: createHash('sha256').update(sql).digest('hex') }
    })
}

/** Brings the database to the newest migration; answers the names it applied. Of several that start at once, one does the work. */
export async function migrate(url: string, migrations: Migration[] = readMigrations()): Promise<string[]> {
  const client = new pg.Client({ connectionString: url, application_name: 'garboard migrate', connectionTimeoutMillis: 10_000 })
  await client.connect().catch((error: Error) => {
    const { host, port, database } = client
    throw new StartError(`Database: no connection to ${database} at ${host}:${port}: ${error.message}`, { cause: error })
  })
  try {
    await client.query(`set lock_timeout = '5min'`)
    await client.query('select pg_advisory_lock($1)', [LOCK])
    await client.query(TABLE)
    const { rows } = await client.query<{ migration_name: string; checksum: string }>(
      'select migration_name, checksum from _prisma_migrations where finished_at is not null and rolled_back_at is null')
    const done = new Map(rows.map((row) => [row.migration_name, row.checksum]))
    checkHistory(done, migrations)
    const applied: string[] = []
    for (const migration of migrations) {
      if (done.has(migration.name)) continue
      await apply(client, migration)
      applied.push(migration.name)
    }
    return applied
  } finally {
    // Closing the connection gives the lock back.
    await client.end()
  }
}

function checkHistory(done: Map<string, string>, migrations: Migration[]): void {
  const known = new Map(migrations.map((migration) => [migration.name, migration.checksum]))
  for (const [name, checksum] of done) {
    if (!known.has(name)) throw new StartError(`Database: it has migration ${name}, which this version does not know. Start the newer version that made it.`)
    if (known.get(name) !== checksum) throw new StartError(`Database: migration ${name} was changed after it was applied. Put its file back as it was and add a new one.`)
  }
}

async function apply(client: pg.Client, { name, sql, checksum }: Migration): Promise<void> {
  await client.query('begin')
  try {
    await client.query(sql)
    await client.query(
      `insert into _prisma_migrations (id, checksum, migration_name, started_at, finished_at, applied_steps_count) values ($1, $2, $3, now(), clock_timestamp(), 1)`,
      [randomUUID(), checksum, name])
    await client.query('commit')
  } catch (error) {
    await client.query('rollback')
    throw new StartError(`Database: migration ${name} failed and was taken back whole: ${(error as Error).message}`, { cause: error })
  }
}
