import { randomBytes } from 'node:crypto'
import pg from 'pg'
import { afterAll, inject } from 'vitest'
import { openDatabase, type Database } from '../../src/platform/database.ts'
import { withDatabase } from './template.ts'

export type TestDatabase = Database & { name: string }

/** A migrated, empty database for this test file alone; dropped when the file is done (KEEP_DATABASE=1 keeps it). */
export async function testDatabase(): Promise<TestDatabase> {
  const { url, template } = inject('server')
  const name = `garboard_test_${randomBytes(6).toString('hex')}`
  await onServer(url, `create database ${name} template ${template} strategy file_copy`)
  const database = openDatabase(withDatabase(url, name))
  afterAll(async () => {
    await database.close()
    if (process.env['KEEP_DATABASE']) console.info(`kept: ${name}`)
    else await onServer(url, `drop database if exists ${name} with (force)`)
  })
  return { ...database, name }
}

async function onServer(url: string, statement: string): Promise<void> {
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  try {
    await client.query(statement)
  } finally {
    await client.end()
  }
}
