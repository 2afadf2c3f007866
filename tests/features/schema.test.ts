import { expect, test } from 'vitest'
import { testDatabase } from '../support/db.ts'
import { readSchema } from '../support/schema-file.ts'

const { pool } = await testDatabase()
const model = readSchema()

async function list<T extends object>(sql: string): Promise<T[]> {
  return (await pool.query<T>(sql)).rows
}

test('the migrated database has the tables of schema.prisma and no others', async () => {
  const rows = await list<{ name: string }>(`select relname as name from pg_class where relnamespace = 'public'::regnamespace and relkind = 'r' and relname <> '_prisma_migrations'`)
  expect(rows.map((row) => row.name).sort()).toEqual([...model.tables.keys()].sort())
})

test('its enums have the same values in the same order', async () => {
  const rows = await list<{ name: string; values: string }>(`
    select t.typname as name, string_agg(e.enumlabel, ',' order by e.enumsortorder) as values
    from pg_type t join pg_enum e on e.enumtypid = t.oid group by t.typname`)
  expect(Object.fromEntries(rows.map((row) => [row.name, row.values]))).toEqual(Object.fromEntries([...model.enums].map(([name, values]) => [name, values.join()])))
})

test('its columns have the same types, nulls and defaults', async () => {
  const rows = await list<{ table: string; text: string }>(`
    select c.relname as table,
           a.attname || ' ' || format_type(a.atttypid, a.atttypmod) || case when a.attnotnull and a.attndims = 0 then ' not null' else '' end || case when a.atthasdef then ' default' else '' end as text
    from pg_attribute a join pg_class c on c.oid = a.attrelid
    where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and a.attnum > 0 and not a.attisdropped and c.relname <> '_prisma_migrations'`)
  expect(byTable(rows)).toEqual(expected('columns'))
})

test('its keys and indexes are the same', async () => {
  const rows = await list<{ table: string; text: string }>(`
    select c.relname as table,
           case when i.indisprimary then 'primary' when i.indisunique then 'unique' else 'index' end
           || ' (' || (select string_agg(a.attname, ',' order by k.n) from unnest(i.indkey::int[]) with ordinality k(attnum, n)
                       join pg_attribute a on a.attrelid = c.oid and a.attnum = k.attnum) || ')' as text
    from pg_index i join pg_class c on c.oid = i.indrelid
    where c.relnamespace = 'public'::regnamespace and c.relname <> '_prisma_migrations' and i.indpred is null and i.indexprs is null`)
  expect(byTable(rows)).toEqual(expected('keys'))
})

test('its foreign keys point to the same and do the same at a deletion', async () => {
  const rows = await list<{ table: string; text: string }>(`
    select c.relname as table,
           '(' || (select string_agg(a.attname, ',' order by k.n) from unnest(o.conkey) with ordinality k(attnum, n) join pg_attribute a on a.attrelid = o.conrelid and a.attnum = k.attnum)
           || ') -> ' || f.relname || '('
           || (select string_agg(a.attname, ',' order by k.n) from unnest(o.confkey) with ordinality k(attnum, n) join pg_attribute a on a.attrelid = o.confrelid and a.attnum = k.attnum)
           || ') delete ' || o.confdeltype::text as text
    from pg_constraint o join pg_class c on c.oid = o.conrelid join pg_class f on f.oid = o.confrelid
    where o.contype = 'f' and c.relnamespace = 'public'::regnamespace`)
  expect(byTable(rows)).toEqual(expected('foreign'))
})

test('every foreign key can be followed from its other end without reading the whole table', async () => {
  // The first column of some index is the first of the foreign key, or deleting a row reads all of the table that points at it.
  const rows = await list<{ name: string }>(`
    select o.conname as name from pg_constraint o
    where o.contype = 'f' and o.connamespace = 'public'::regnamespace
      and not exists (select from pg_index i where i.indrelid = o.conrelid and i.indkey[0] = o.conkey[1])`)
  expect(rows.map((row) => row.name)).toEqual([])
})

function byTable(rows: { table: string; text: string }[]): Record<string, string[]> {
  const tables: Record<string, string[]> = Object.fromEntries([...model.tables.keys()].map((name) => [name, []]))
  for (const { table, text } of rows) (tables[table] ??= []).push(text)
  for (const lines of Object.values(tables)) lines.sort()
  return tables
}

const expected = (part: 'columns' | 'keys' | 'foreign') => Object.fromEntries([...model.tables].map(([name, table]) => [name, table[part]]))
