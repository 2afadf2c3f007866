import { PrismaPg } from '@prisma/adapter-pg'
import pg from 'pg'
import { PrismaClient, type Prisma } from './generated/client.ts'

export type Db = PrismaClient
export type Tx = Prisma.TransactionClient
/** What a query function takes: the database, or a transaction on it. */
export type Reader = Db | Tx

export type Database = { prisma: Db; pool: pg.Pool; url: string; close(): Promise<void> }

export type DatabaseOptions = { connections?: number; onError?: (error: Error) => void }

export function openDatabase(url: string, options: DatabaseOptions = {}): Database {
  const pool = new pg.Pool({ connectionString: url, max: options.connections ?? 10, connectionTimeoutMillis: 10_000, application_name: 'garboard' })
  // An idle connection that breaks must not end the process: the next query opens another.
  pool.on('error', (error) => options.onError?.(error))
  // One that breaks while it is lent out ends the process just as well, if nobody listens at that moment; whoever waits on it is told by its query.
  pool.on('connect', (client) => client.on('error', () => undefined))
  const prisma = new PrismaClient({ adapter: new PrismaPg(pool, { disposeExternalPool: false }), errorFormat: 'minimal' })
  return {
    prisma,
    pool,
    url,
    async close() {
      await prisma.$disconnect()
      await pool.end()
    },
  }
}

export type TransactOptions = { isolation?: 'serializable' | 'repeatable read'; timeoutMs?: number; retries?: number }

const LEVEL = { serializable: 'Serializable', 'repeatable read': 'RepeatableRead' } as const

/**
 * Runs `fn` in one transaction (read committed unless said) and runs it again from its beginning when PostgreSQL gave it up
 * for another (serialization failure, deadlock). So `fn` may do nothing but work on `tx`.
 */
export async function transact<T>(db: Db, fn: (tx: Tx) => Promise<T>, options: TransactOptions = {}): Promise<T> {
  const retries = options.retries ?? 6
  for (let attempt = 0; ; attempt++) {
    try {
      return await db.$transaction(fn, {
        maxWait: 10_000,
        timeout: options.timeoutMs ?? 20_000,
        ...(options.isolation ? { isolationLevel: LEVEL[options.isolation] } : {}),
      })
    } catch (error) {
      if (attempt >= retries || !isConflict(error)) throw error
      // Uneven waits, so that two that met do not meet again.
      await new Promise((done) => setTimeout(done, 2 ** attempt * (5 + Math.random() * 15)))
    }
  }
}

/** PostgreSQL's five-character code of a failed statement, from a model call or from raw SQL; undefined: another failure. */
export function sqlState(error: unknown): string | undefined {
  if (typeof error !== 'object' || error === null) return undefined
  const seen = error as { code?: unknown; meta?: unknown; cause?: unknown; originalCode?: unknown }
  if (typeof seen.originalCode === 'string') return seen.originalCode
  if (typeof seen.code === 'string' && /^[0-9A-Z]{5}$/.test(seen.code) && !/^P\d{4}$/.test(seen.code)) return seen.code
  const meta = seen.meta as { driverAdapterError?: unknown; code?: unknown } | undefined
  return sqlState(meta?.driverAdapterError) ?? sqlState(meta) ?? sqlState(seen.cause)
}

export function isConflict(error: unknown): boolean {
  const code = (error as { code?: unknown } | null)?.code
  const state = sqlState(error)
  return code === 'P2034' || state === '40001' || state === '40P01'
}

/** True when a unique key was already taken. */
export function isTaken(error: unknown): boolean {
  return (error as { code?: unknown } | null)?.code === 'P2002' || sqlState(error) === '23505'
}

/** Prisma's codes and the driver's words for "no connection": not reached, timed out, closed, none free in the pool. */
const AWAY_CODES = new Set(['P1001', 'P1002', 'P1008', 'P1017', 'P2024', 'P2037', 'ECONNREFUSED', 'ECONNRESET', 'EPIPE', 'ENOTFOUND'])
const AWAY_KINDS = new Set(['DatabaseNotReachable', 'ConnectionClosed', 'SocketTimeout', 'TooManyConnections', 'TlsConnectionError'])

/** True when the database did not answer: gone, starting, ending or full. Nothing of the transaction was booked, or it is not known. */
export function isAway(error: unknown): boolean {
  const seen = error as { code?: unknown; meta?: { driverAdapterError?: { cause?: { kind?: unknown } } } } | null
  const state = sqlState(error)
  return AWAY_CODES.has(String(seen?.code)) || AWAY_KINDS.has(String(seen?.meta?.driverAdapterError?.cause?.kind)) || /^(08|57P|53300)/.test(state ?? '')
}
