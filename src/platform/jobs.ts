import type { FastifyBaseLogger } from 'fastify'
import pg from 'pg'
import type PgBoss from 'pg-boss'
import type { Tx } from './database.ts'

export type JobData = Readonly<Record<string, string>>
export type WorkOptions = {
  /** How often a job that failed is tried again. */
  retryLimit: number
  /** Seconds until it is. */
  retryDelay?: number
  /** So long one may take; one that a dead instance left behind is tried again after it. */
  expireInSeconds: number
  /** So often this instance looks for jobs that others put in (those of its own it is told of). */
  pollSeconds?: number
}

/**
 * Jobs that outlive this process: kept in the schema `pgboss` of the same database, taken by one instance at a time. A job may run
 * twice (an instance that dies over it), so what must not happen twice says so in its own rows.
 */
export type JobQueue = {
  readonly isRunning: boolean
  /** Says who does the jobs of a name, one at a time in this instance. To be said before the start; with nobody to work, nothing is started. */
  work(name: string, options: WorkOptions, run: (data: JobData) => Promise<void>): void
  /** Put in when (and only if) the transaction commits; an id (a uuid) that was put in before is not put in again. Only while it is running. */
  enqueue(tx: Tx, name: string, id: string, data: JobData): Promise<void>
  /** Looks for jobs now rather than at the next turn. */
  wake(name: string): void
  start(log: FastifyBaseLogger): Promise<void>
  stop(): Promise<void>
}

const SCHEMA = 'pgboss'
const AGAIN_MS = 30_000
/** A job under way at the end gets so long. */
const LAST_MS = 3_000

type Worker = { name: string; options: WorkOptions; run: (data: JobData) => Promise<void>; id: string | null }

export function openJobs(url: string): JobQueue {
  const workers = new Map<string, Worker>()
  let executor: Executor | null = null
  let boss: PgBoss | null = null
  let again: NodeJS.Timeout | null = null
  let starting: Promise<void> | null = null
  let isEnding = false

  const begin = async (log: FastifyBaseLogger) => {
    const sql = openExecutor(url, log)
    try {
      // Loaded here, so that a service that has no jobs does not wait for it.
      const { default: Boss } = await import('pg-boss')
      const next = new Boss({
        db: sql, schema: SCHEMA, schedule: false, maintenanceIntervalSeconds: 60, archiveCompletedAfterSeconds: 3 * 86_400, deleteAfterDays: 1,
      })
      next.on('error', (error) => log.warn({ err: error }, 'jobs'))
      await next.start()
      for (const w of workers.values()) await hire(next, w, log, () => isEnding)
      sql.isCalm = true
      executor = sql
      boss = next
    } catch (error) {
      await sql.close()
      throw error
    }
  }

  const tryToBegin = async (log: FastifyBaseLogger): Promise<void> => {
    try {
      await begin(log)
    } catch (error) {
      if (isEnding) return
      log.error({ err: error }, 'the job queue could not be started; it is tried again')
      again = setTimeout(() => void (starting = tryToBegin(log)), AGAIN_MS).unref()
    }
  }

  return {
    get isRunning() {
      return boss !== null && !isEnding
    },
    work(name, options, run) {
      workers.set(name, { name, options, run, id: null })
    },
    async enqueue(tx, name, id, data) {
      if (!boss) throw new Error('jobs: not started')
      await boss.send(name, data, { id, db: { executeSql: async (text, values) => ({ rows: await tx.$queryRawUnsafe<unknown[]>(text, ...values.map(plain)) }) } })
    },
    wake(name) {
      const id = workers.get(name)?.id
      if (boss && id) boss.notifyWorker(id)
    },
    async start(log) {
      if (workers.size === 0 || starting) return
      starting = tryToBegin(log)
      await starting
    },
    async stop() {
      isEnding = true
      if (again) clearTimeout(again)
      await starting
      const [last, sql] = [boss, executor]
      boss = executor = null
      await last?.stop({ graceful: true, wait: true, timeout: LAST_MS })
      await sql?.close()
    },
  }
}

/** Prisma gives JSON on as text. */
const plain = (value: unknown) => (typeof value === 'object' && value !== null ? JSON.stringify(value) : (value ?? null))

async function hire(boss: PgBoss, w: Worker, log: FastifyBaseLogger, isEnding: () => boolean): Promise<void> {
  const { retryLimit, retryDelay = 60, expireInSeconds, pollSeconds = 15 } = w.options
  const settings = { name: w.name, retryLimit, retryDelay, retryBackoff: false, expireInSeconds }
  await boss.createQueue(w.name, settings)
  await boss.updateQueue(w.name, settings)
  w.id = await boss.work<JobData>(w.name, { pollingIntervalSeconds: pollSeconds }, async ([job]) => {
    if (!job) return
    // Fetched while the service was ending: given back.
    if (isEnding()) throw new Error('the service ended')
    // One came, so the next is looked for at once.
    if (w.id) boss.notifyWorker(w.id)
    try {
      await w.run(job.data)
    } catch (error) {
      log.warn({ err: error, job: job.id, queue: w.name }, 'a job failed')
      throw error
    }
  })
}

type Rows = { rows: unknown[] }
type Executor = { isCalm: boolean; executeSql(text: string, values: unknown[]): Promise<Rows>; close(): Promise<void> }
/** What the library takes for "nothing known" where it doesn't look whether a statement failed. */
const NOTHING = undefined as unknown as Rows

/**
 * Two connections of its own. Once started, a statement that fails is logged and answers nothing: the library lets some of them go
 * unwatched, and one of those must not end the service. A job left like that is found again when its time is over.
 */
function openExecutor(url: string, log: FastifyBaseLogger): Executor {
  const pool = new pg.Pool({ connectionString: url, max: 2, connectionTimeoutMillis: 10_000, application_name: 'garboard jobs' })
  pool.on('error', (error) => log.warn({ err: error }, 'jobs'))
  pool.on('connect', (client) => client.on('error', () => undefined))
  let isClosed = false
  const underWay = new Set<Promise<unknown>>()
  const run = async (text: string, values: unknown[]) => {
    const client = await pool.connect()
    let broke: Error | undefined
    try {
      const result = await client.query(text, values)
      return { rows: result.rows as unknown[] }
    } catch (error) {
      broke = error as Error
      throw error
    } finally {
      // What failed may have left a transaction open: such a connection is not used again.
      client.release(broke)
    }
  }
  return {
    isCalm: false,
    async executeSql(text, values) {
      if (isClosed) return NOTHING
      const asked = run(text, values)
      underWay.add(asked)
      try {
        return await asked
      } catch (error) {
        if (!this.isCalm) throw error
        if (!isClosed) log.warn({ err: error }, 'jobs')
        return NOTHING
      } finally {
        underWay.delete(asked)
      }
    },
    async close() {
      // What a worker was fetching as it was stopped, and the answer it gives to that.
      while (underWay.size > 0) {
        await Promise.allSettled(underWay)
        await new Promise((done) => setImmediate(done))
      }
      isClosed = true
      await pool.end()
    },
  }
}
