import { existsSync } from 'node:fs'
import type { AddressInfo } from 'node:net'
import { buildApp } from './app/build-app.ts'
import { systemClock } from './platform/clock.ts'
import { readConfig, StartError } from './platform/config.ts'
import { openDatabase } from './platform/database.ts'
import { startEmbedded } from './platform/embedded-database.ts'
import { openEvents } from './platform/events.ts'
import { openJobs } from './platform/jobs.ts'
import { migrate } from './platform/migrate.ts'
import { setUpCode } from './platform/set-up.ts'

const isDemo = process.argv.includes('--demo')
const say = (text: string) => process.stdout.write(`${text}\n`)
/** Run in reverse when the service ends, whether it came up or not. */
const closers: (() => Promise<unknown>)[] = []

async function start(): Promise<void> {
  if (existsSync('.env')) process.loadEnvFile('.env')
  const config = readConfig(isDemo ? { DATA_DIR: './demo-data', LOG_LEVEL: 'warn', ...process.env } : process.env)
  const url = config.databaseUrl ?? (await ownDatabase(config.dataDir))
  const applied = await migrate(url)
  if (applied.length > 0) say(`Database: brought up to date (${applied.join(', ')})`)

  const database = openDatabase(url, { connections: config.databaseConnections })
  closers.push(database.close)
  const events = openEvents(url, (error) => app.log.warn({ err: error }, 'events'))
  closers.push(events.close)
  const app = await buildApp(config, { db: database.prisma, clock: systemClock, events, jobs: openJobs(url) })
  closers.push(() => closeApp(app))

  let signIn: string | undefined
  if (isDemo) signIn = await demo(app)
  await listen(app, config.host, config.port)
  const isSetUp = (await database.prisma.club.count()) > 0
  const next = isSetUp ? signIn : `The club is not set up yet. Open the address and enter this set-up code: ${await setUpCode(database.prisma)}`
  if (config.smtpUrl && !config.publicUrl) say('Settings: SMTP_URL is set but PUBLIC_URL is not, so no reminders are sent: their links would lead nowhere.')
  say(`\nGarboard is at ${config.publicUrl ?? addressOf(app)}/${next ? `\n${next}` : ''}`)
}

async function ownDatabase(dataDir: string): Promise<string> {
  const own = await startEmbedded(dataDir, { say })
  closers.push(own.stop)
  return own.url
}

async function demo(app: App): Promise<string> {
  const { loadDemo } = await import('../prisma/demo/index.ts')
  return loadDemo(app.deps.db, app.deps.clock, app.log)
}

type App = Awaited<ReturnType<typeof buildApp>>

async function listen(app: App, host: string, port: number): Promise<void> {
  try {
    await app.listen({ host, port })
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    if (code === 'EADDRINUSE') throw new StartError(`Settings: PORT ${port} is in use by another program on ${host}`)
    if (code === 'EACCES') throw new StartError(`Settings: PORT ${port} may not be opened by this user; take one above 1023`)
    if (code === 'EADDRNOTAVAIL' || code === 'ENOTFOUND') throw new StartError(`Settings: HOST ${host} is no address of this machine`)
    throw error
  }
}

function addressOf(app: App): string {
  const { address, port } = app.server.address() as AddressInfo
  return `http://${address.includes(':') ? `[${address}]` : address}:${port}`
}

/** Requests under way get three seconds. */
async function closeApp(app: App): Promise<void> {
  const cut = setTimeout(() => app.server.closeAllConnections(), 3_000)
  await app.close()
  clearTimeout(cut)
}

// Prisma's driver sends statements of a transaction one after another without waiting, as pg allows until its version 9, and
// pg says so on the terminal each time. Developers still see it.
process.noDeprecation = process.env['npm_lifecycle_event'] !== 'dev'

let ending = 0
async function end(code: number): Promise<void> {
  if (ending > 0) {
    // A terminal and npm both pass a signal on: only one that comes later means "at once".
    if (code === 0 && performance.now() - ending > 2_000) process.exit(1)
    return
  }
  ending = performance.now()
  // Whatever hangs, the process does not: PostgreSQL survives being left behind.
  setTimeout(() => process.exit(code || 1), 15_000).unref()
  for (const close of closers.reverse()) {
    await close().catch((error: Error) => process.stderr.write(`${error.message}\n`))
  }
  process.exit(code)
}

async function fail(error: unknown): Promise<void> {
  // A start that a signal cut short fails at whatever it was about: the signal is the reason.
  if (ending > 0) return
  process.stderr.write(error instanceof StartError ? `${error.message}\n` : `${(error as Error)?.stack ?? String(error)}\n`)
  await end(1)
}

// npm passes SIGTERM to a shell that dies without telling us: when whoever started us is gone, so are we.
if (process.env['npm_lifecycle_event']) {
  const parent = process.ppid
  setInterval(() => process.ppid !== parent && void end(0), 500).unref()
}

process.on('SIGTERM', () => void end(0))
process.on('SIGINT', () => void end(0))
process.on('SIGHUP', () => void end(0))
process.on('uncaughtException', (error) => void fail(error))
start().catch(fail)
