/**
 * Rows of a told past, written so that they can be laid before any week and into any database: ids by what they are called, times by local day
 * from this week's Monday and minute of the day.
 */
import { addDays, daysBetween, formatHm, instantToLocal, localToInstant, type OffsetTable } from '../../src/core/calendar/index.ts'
import { instant } from '../../src/core/units/index.ts'
import type { Reader } from '../../src/platform/database.ts'

const MINUTE = 60_000
const DAY = /^\d{4}-\d{2}-\d{2}$/
const MOMENT = /^\d{4}-\d{2}-\d{2}T[\d:.]+Z$/
const UUID = /[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}/g
/** Whole numbers of this size are instants in minutes: as minutes of work they would be half a century. */
const isInstant = (n: number): boolean => Number.isInteger(n) && n > 25_000_000 && n < 40_000_000

export interface Frame {
  readonly zone: OffsetTable
  readonly monday: string
}

export function writer({ zone, monday }: Frame, nameOf: ReadonlyMap<string, string>): (value: unknown) => unknown {
  const local = (minutes: number): string => {
    const { date, minuteOfDay } = instantToLocal(zone, instant(minutes))
    return `${daysBetween(monday, date)} ${minuteOfDay}`
  }
  const named = (text: string): string => text.replace(UUID, (id) => {
    const name = nameOf.get(id)
    if (name === undefined) throw new Error(`the told past points at something without a name: ${id} in ${text}`)
    return `{${name}}`
  })
  const write = (value: unknown): unknown => {
    if (value instanceof Date) return value.getTime() % 86_400_000 === 0 ? `@day ${daysBetween(monday, value.toISOString().slice(0, 10))}` : `@date ${local(Math.floor(value.getTime() / MINUTE))}`
    if (typeof value === 'bigint') return Number(value)
    if (typeof value === 'number') return isInstant(value) ? `@at ${local(value)}` : value
    if (typeof value === 'string') {
      if (DAY.test(value)) return `@iso ${daysBetween(monday, value)}`
      return MOMENT.test(value) ? `@moment ${local(Math.floor(Date.parse(value) / MINUTE))}` : named(value)
    }
    if (Array.isArray(value)) return value.map(write)
    if (value === null || typeof value !== 'object') return value
    return Object.fromEntries(Object.entries(value).map(([key, part]) => [named(key), write(part)]))
  }
  return write
}

export function reader({ zone, monday }: Frame, idOf: (name: string) => string): (value: unknown) => unknown {
  const minutes = (day: number, minute: number): number => localToInstant(zone, { date: addDays(monday, day), time: formatHm(minute) })
  const ids = (text: string): string => text.replace(/\{([^{}]+)\}/g, (_, name: string) => idOf(name))
  const read = (value: unknown): unknown => {
    if (typeof value === 'string') {
      const [tag, day = '0', minute = '0'] = value.split(' ')
      if (tag === '@day') return new Date(`${addDays(monday, Number(day))}T00:00:00Z`)
      if (tag === '@iso') return addDays(monday, Number(day))
      if (tag === '@date') return new Date(minutes(Number(day), Number(minute)) * MINUTE)
      if (tag === '@moment') return new Date(minutes(Number(day), Number(minute)) * MINUTE).toISOString()
      if (tag === '@at') return minutes(Number(day), Number(minute))
      return ids(value)
    }
    if (Array.isArray(value)) return value.map(read)
    if (value === null || typeof value !== 'object') return value
    return Object.fromEntries(Object.entries(value).map(([key, part]) => [ids(key), read(part)]))
  }
  return read
}

/** A task of the list by its key there, one of the build's own by its name. */
export const keyOfTask = (t: { listKey: string | null; name: string }): string => t.listKey ?? `own:${t.name}`

/** What things are called, by their ids. */
export async function namesIn(db: Reader, keyOf: ReadonlyMap<string, string>): Promise<Map<string, string>> {
  const names = new Map([...keyOf].map(([id, key]) => [id, `member ${key}`]))
  const task = { select: { id: true, listKey: true, name: true } } as const
  for (const b of await db.build.findMany({ select: { id: true, name: true, tasks: task, links: { select: { id: true, kind: true, from: task, to: task } } } })) {
    names.set(b.id, `build ${b.name}`)
    for (const t of b.tasks) names.set(t.id, `task ${b.name} ${keyOfTask(t)}`)
    for (const l of b.links) names.set(l.id, `link ${b.name} ${keyOfTask(l.from)} ${keyOfTask(l.to)} ${l.kind}`)
  }
  const named = { select: { id: true, name: true } } as const
  for (const [kind, of] of [
    ['place', await db.place.findMany(named)], ['site', await db.site.findMany(named)], ['tool', await db.tool.findMany(named)], ['item', await db.item.findMany(named)],
    ['product', await db.cureProduct.findMany(named)], ['competence', await db.competence.findMany(named)],
  ] as const) {
    for (const { id, name } of of) names.set(id, `${kind} ${name}`)
  }
  return names
}
