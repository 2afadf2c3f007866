import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { ROOT } from '../../src/platform/paths.ts'

/** One table as the data model file means it, in the catalog's words: lines that can be compared as text. */
export type TableText = { columns: string[]; keys: string[]; foreign: string[] }

const TYPES: Record<string, string> = { String: 'text', Int: 'integer', BigInt: 'bigint', Float: 'double precision', Boolean: 'boolean', Json: 'jsonb', DateTime: 'timestamp(3)', Bytes: 'bytea' }
const NATIVE: Record<string, string> = { Uuid: 'uuid', Date: 'date', Timestamptz: 'timestamp with time zone' }
const DELETE: Record<string, string> = { Cascade: 'c', SetNull: 'n', Restrict: 'r', NoAction: 'a' }

type Block = { name: string; lines: string[] }
type Field = { name: string; type: string; isOptional: boolean; isList: boolean; rest: string; column: string }

function blocks(text: string, kind: string): Block[] {
  return [...text.matchAll(new RegExp(`^${kind} (\\w+) \\{\\n(.*?)^\\}`, 'gms'))].map(([, name = '', body = '']) => ({
    name,
    lines: body.split('\n').map((line) => line.replace(/\s*\/\/.*$/, '').trim()).filter(Boolean),
  }))
}

/** Reads prisma/schema.prisma as far as a data model of PostgreSQL needs; anything it does not know is an error. */
export function readSchema(text = readFileSync(join(ROOT, 'prisma', 'schema.prisma'), 'utf8')) {
  const enums = new Map(blocks(text, 'enum').map(({ name, lines }) => [name, lines]))
  const models = blocks(text, 'model')
  const tableOf = new Map(models.map(({ name, lines }) => [name, lines.map((line) => /^@@map\("(\w+)"\)/.exec(line)?.[1]).find(Boolean) ?? name]))
  const fieldsOf = new Map(models.map(({ name, lines }) => [name, lines.filter((line) => !line.startsWith('@@')).map(readField)]))
  const tables = new Map<string, TableText>()
  for (const { name, lines } of models) {
    tables.set(tableOf.get(name) ?? name, readTable(name, lines.filter((line) => line.startsWith('@@')), fieldsOf, tableOf, enums))
  }
  return { enums, tables }
}

function readField(line: string): Field {
  const match = /^(\w+)\s+(\w+)(\?|\[\])?\s*(.*)$/.exec(line)
  if (!match) throw new Error(`schema.prisma: can't read "${line}"`)
  const [, name = '', type = '', mark, rest = ''] = match
  return { name, type, isOptional: mark === '?', isList: mark === '[]', rest, column: /@map\("(\w+)"\)/.exec(rest)?.[1] ?? name }
}

function readTable(model: string, attributes: string[], fieldsOf: Map<string, Field[]>, tableOf: Map<string, string>, enums: Map<string, string[]>): TableText {
  const fields = fieldsOf.get(model) ?? []
  const columns: string[] = []
  const keys: string[] = []
  const foreign: string[] = []
  const named = (of: string, list: string) =>
    list.split(',').map((part) => fieldsOf.get(of)?.find(({ name }) => name === part.trim())?.column ?? fail(`${of}.${part}`))
  for (const field of fields) {
    if (tableOf.has(field.type)) {
      const relation = /@relation\((?:"\w+",\s*)?fields: \[([^\]]+)\], references: \[([^\]]+)\](?:, onDelete: (\w+))?\)/.exec(field.rest)
      if (!relation) continue
      const [, from = '', to = '', onDelete] = relation
      // Without onDelete: what must be there keeps its row, what may be absent is set null.
      const rule = DELETE[onDelete ?? (field.isOptional ? 'SetNull' : 'Restrict')] ?? fail(onDelete ?? '')
      foreign.push(`(${named(model, from).join()}) -> ${tableOf.get(field.type)}(${named(field.type, to).join()}) delete ${rule}`)
      continue
    }
    const native = /@db\.(\w+)/.exec(field.rest)?.[1]
    const type = enums.has(field.type) ? `"${field.type}"` : native ? (NATIVE[native] ?? fail(native)) : (TYPES[field.type] ?? fail(field.type))
    // Whether a list may be null is the database's affair: Prisma reads null as [].
    const isNullable = field.isOptional || field.isList
    columns.push(`${field.column} ${type}${field.isList ? '[]' : ''}${isNullable ? '' : ' not null'}${hasDefault(field.rest) ? ' default' : ''}`)
    if (/@id\b/.test(field.rest)) keys.push(`primary (${field.column})`)
    if (/@unique\b/.test(field.rest)) keys.push(`unique (${field.column})`)
  }
  for (const line of attributes) {
    const [, kind = '', list = ''] = /^@@(id|unique|index)\(\[([^\]]+)\]\)$/.exec(line) ?? []
    if (kind) keys.push(`${{ id: 'primary', unique: 'unique', index: 'index' }[kind]} (${named(model, list).join()})`)
    else if (!line.startsWith('@@map(')) fail(line)
  }
  return { columns: columns.sort(), keys: keys.sort(), foreign: foreign.sort() }
}

const hasDefault = (rest: string): boolean => /@default\(/.test(rest)

function fail(what: string): never {
  throw new Error(`schema.prisma: "${what}" is not known to this reader`)
}
