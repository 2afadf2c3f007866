/**
 * Mixed entries by 32 clients over HTTP, while the service or its PostgreSQL is killed (-9) at random moments. A client repeats what was
 * not answered, with the same once-only key. In the end every acknowledged entry is there, none twice, and the replay agrees.
 */
import { randomUUID } from 'node:crypto'
import { createServer } from 'node:net'
import pg from 'pg'
import { openDatabase } from '../../../src/platform/database.ts'
import { until } from '../../../src/platform/embedded/processes.ts'
import { hashPassword } from '../../../src/platform/passwords.ts'
import { ROOT } from '../../../src/platform/paths.ts'
import { verifyLedger } from '../../../src/features/stores/public.ts'
import { dice } from '../../support/dice.ts'
import { maker } from '../../support/make.ts'
import { healthy, launch, ownServer, removeFolders, stopAll, tempFolder, type Service } from '../../start/service.ts'

const CLIENTS = 32
const KILLS = 10
const ITEMS = 12
const PASSWORD = 'benchmarks only'

type Kind = 'draw' | 'receipt' | 'return' | 'reversal'
type Sent = { key: string; kind: Kind; acknowledged: boolean }

export async function kill(entries: number, seed: number): Promise<{ ok: boolean; line: string }> {
  const dataDir = tempFolder(0o755)
  const port = await freePort()
  const start = (): Promise<Service> => launch({ cwd: ROOT, env: { DATA_DIR: dataDir, PORT: String(port), RATE_LIMIT: '0', LOG_LEVEL: 'error', DATABASE_CONNECTIONS: '16' } })
  let service = await start()
  try {
    const { cookie, buildId, items } = await prepare(service, dataDir)
    const die = dice(seed)
    const at = Array.from({ length: KILLS }, (_, k) => Math.floor(((k + 0.2 + die.roll() * 0.7) * entries) / (KILLS + 0.5))).sort((a, b) => a - b)
    const sent: Sent[] = []
    let acknowledged = 0
    let repeats = 0
    let last = ''
    let killed = { service: 0, postgres: 0 }
    const headers = { cookie, origin: service.url, 'content-type': 'application/x-www-form-urlencoded' }

    /** Until there is an answer: 303 is in the books, 422 is not. */
    const post = async (path: string, fields: Record<string, string>, key: string): Promise<boolean> => {
      const body = new URLSearchParams({ ...fields, once: key }).toString()
      for (let tries = 0; ; tries++) {
        try {
          const answer = await fetch(`${service.url}${path}`, { method: 'POST', body, headers, redirect: 'manual', signal: AbortSignal.timeout(20_000) })
          await answer.arrayBuffer()
          if (answer.status === 303) return true
          if (answer.status === 422) return false
          last = `${answer.status}`
          if (answer.status < 500) throw new Error(`${path}: ${answer.status}`)
        } catch (error) {
          last = String(error)
          if (error instanceof Error && /: 4\d\d$/.test(error.message)) throw error
        }
        repeats++
        if (tries > 600) throw new Error(`${path}: no answer for a minute; last ${last}; the service said:\n${service.output().split('\n').filter((l) => !l.startsWith('{')).slice(-30).join('\n')}`)
        await new Promise((done) => setTimeout(done, 100))
      }
    }
    const client = async (own: ReturnType<typeof dice>): Promise<void> => {
      const draws: { id: string; item: string }[] = []
      while (acknowledged < entries) {
        const key = randomUUID()
        const item = own.pick(items)
        const roll = own.roll()
        const kind: Kind = roll < 0.62 || (roll < 0.85 && draws.length === 0) ? 'draw' : roll < 0.74 ? 'return' : roll < 0.85 ? 'reversal' : 'receipt'
        const row: Sent = { key, kind, acknowledged: false }
        sent.push(row)
        if (kind === 'receipt') {
          row.acknowledged = await post('/stores/receive', { receivedOn: '2026-01-05', holder: 'club', item0: item, amount0: String(own.between(1, 5) * 100), cost0: String(own.between(3, 40)), code0: key }, key)
        } else if (kind === 'draw') {
          row.acknowledged = await post(`/stores/items/${item}/draw`, { amount: String(own.between(1, 40)), use: `build:${buildId}`, why: key }, key)
          // What it drew can be given back or undone by its number, which the list of entries has.
          const id = row.acknowledged ? await entryOf(dataDir, key) : null
          if (id) draws.push({ id, item })
        } else {
          const [draw] = draws.splice(own.between(0, draws.length - 1), 1)
          if (!draw) continue
          row.acknowledged = kind === 'return' ? await post(`/stores/entries/${draw.id}/return`, { amount: '1', why: key }, key) : await post(`/stores/entries/${draw.id}/reverse`, { why: key }, key)
        }
        if (row.acknowledged) acknowledged++
      }
    }
    let over = false
    const killer = (async () => {
      for (const [n, moment] of at.entries()) {
        while (acknowledged < moment && !over) await new Promise((done) => setTimeout(done, 5))
        if (over) return
        if (n % 2 === 0) {
          killed = { ...killed, service: killed.service + 1 }
          service.process.kill('SIGKILL')
          await service.exited
          service = await start()
        } else {
          killed = { ...killed, postgres: killed.postgres + 1 }
          process.kill(ownServer(dataDir).pid(), 'SIGKILL')
          await until(() => healthy(service), 60_000)
        }
      }
    })()
    const from = performance.now()
    await Promise.all(Array.from({ length: CLIENTS }, (_, i) => client(dice(seed * 100 + i))))
    over = true
    await killer
    const seconds = (performance.now() - from) / 1000
    return await judge(dataDir, sent, { acknowledged, repeats, killed, seconds })
  } finally {
    await stopAll()
    await pools.get(dataDir)?.end()
    removeFolders()
  }
}

async function prepare(service: Service, dataDir: string): Promise<{ cookie: string; buildId: string; items: string[] }> {
  const database = openDatabase(await urlOf(dataDir))
  const db = database.prisma
  const make = maker(db, new Date('2026-01-01T00:00:00Z'))
  await make.club()
  const { id } = await make.member(['storekeeper', 'officer', 'builder'])
  await db.signInUser.create({ data: { memberId: id, email: 'bench@example.org', passwordHash: await hashPassword(PASSWORD) } })
  const buildId = (await make.build({}, [id])).id
  const items: string[] = []
  for (let i = 0; i < ITEMS; i++) items.push((await db.item.create({ data: { name: `Item ${i + 1}`, kind: 'resin', unit: 'g' } })).id)
  await database.close()
  const answer = await fetch(`${service.url}/sign-in`, {
    method: 'POST', redirect: 'manual', headers: { origin: service.url, 'content-type': 'application/x-www-form-urlencoded' },
    body: new URLSearchParams({ once: randomUUID(), email: 'bench@example.org', password: PASSWORD }).toString(),
  })
  const cookie = answer.headers.getSetCookie().map((c) => c.split(';')[0]).join('; ')
  if (answer.status !== 303 || cookie === '') throw new Error(`sign-in: ${answer.status}`)
  return { cookie, buildId, items }
}

async function urlOf(dataDir: string): Promise<string> {
  const client = await ownServer(dataDir).connect()
  const { host, port, user, password, database } = client
  await client.end()
  return `postgresql://${user}:${password}@${host}:${port}/${database}`
}

const pools = new Map<string, pg.Pool>()

async function entryOf(dataDir: string, why: string): Promise<string | null> {
  for (let tries = 0; tries < 600; tries++) {
    try {
      let pool = pools.get(dataDir)
      if (!pool) {
        pool = new pg.Pool({ connectionString: await urlOf(dataDir), max: 4 })
        pool.on('error', () => undefined)
        pools.set(dataDir, pool)
      }
      const { rows } = await pool.query<{ id: string }>(`select id from stock_entry where why = $1 and kind = 'draw' order by seq limit 1`, [why])
      return rows[0]?.id ?? null
    } catch {
      const pool = pools.get(dataDir)
      pools.delete(dataDir)
      await pool?.end().catch(() => undefined)
      await new Promise((done) => setTimeout(done, 100))
    }
  }
  return null
}

async function judge(dataDir: string, sent: readonly Sent[], told: { acknowledged: number; repeats: number; killed: { service: number; postgres: number }; seconds: number }) {
  const database = openDatabase(await urlOf(dataDir))
  // A draw over several lots is one entry for each; its key counts once.
  const rows = await database.pool.query<{ key: string; kind: string; entries: string; moments: string }>(`
    select coalesce(nullif(e.why, ''), l.code) as key, e.kind::text, count(*) as entries, count(distinct (e.lot_id, e.at)) as moments
    from stock_entry e join lot l on l.id = e.lot_id group by 1, 2`)
  const booked = new Map(rows.rows.map((r) => [r.key, r]))
  let missing = 0
  let unasked = 0
  let twice = 0
  for (const s of sent) {
    const row = booked.get(s.key)
    if (s.acknowledged && !row) missing++
    if (!s.acknowledged && row) unasked++
    // Every booking of one key has one moment and each lot once.
    if (row && Number(row.entries) !== Number(row.moments)) twice++
  }
  const moments = await database.pool.query<{ n: string }>(`select count(*) as n from (select why from stock_entry where why <> '' group by why having count(distinct at) > 1) x`)
  twice += Number(moments.rows[0]?.n)
  const total = Number((await database.pool.query<{ n: string }>('select count(*) as n from stock_entry')).rows[0]?.n)
  const { faults } = await verifyLedger(database.prisma)
  await database.close()
  const ok = missing === 0 && unasked === 0 && twice === 0 && faults.length === 0 && told.killed.service + told.killed.postgres === KILLS
  return {
    ok,
    line: `${told.acknowledged} entries acknowledged to ${CLIENTS} clients in ${told.seconds.toFixed(0)} s, service killed ${told.killed.service} times, PostgreSQL ${told.killed.postgres}; ${told.repeats} repeats: `
      + `${missing} missing, ${twice} twice, ${unasked} refused yet booked; ${total} entries replayed with ${faults.length} disagreements`,
  }
}

async function freePort(): Promise<number> {
  return new Promise((done) => {
    const server = createServer().listen(0, '127.0.0.1', () => {
      const address = server.address()
      server.close(() => done(typeof address === 'object' && address ? address.port : 0))
    })
  })
}
