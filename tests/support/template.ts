import { createHash } from 'node:crypto'
import pg from 'pg'
import { migrate, readMigrations } from '../../src/platform/migrate.ts'

export function withDatabase(url: string, database: string): string {
  const next = new URL(url)
  next.pathname = `/${database}`
  return next.href
}

/** The migrated, empty database that test files are copied from; its name changes with the migrations. */
export async function makeTemplate(url: string): Promise<string> {
  const hash = createHash('sha256').update(readMigrations().map((migration) => migration.checksum).join()).digest('hex').slice(0, 12)
  const name = `garboard_template_${hash}`
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  try {
    // Several runs may share a server: one makes it, under another name until it is whole.
    await client.query('select pg_advisory_lock(7266002)')
    const { rowCount } = await client.query('select 1 from pg_database where datname = $1', [name])
    if (rowCount === 0) {
      await client.query(`drop database if exists ${name}_part`)
      await client.query(`create database ${name}_part`)
      await migrate(withDatabase(url, `${name}_part`))
      await client.query(`alter database ${name}_part rename to ${name}`)
    }
    return name
  } finally {
    await client.end()
  }
}
