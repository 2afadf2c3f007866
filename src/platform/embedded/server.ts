import { spawn, spawnSync } from 'node:child_process'
import { chmodSync, chownSync, closeSync, existsSync, mkdirSync, openSync, readFileSync, renameSync, rmSync, statSync, truncateSync, writeFileSync } from 'node:fs'
import { createServer } from 'node:net'
import { randomBytes } from 'node:crypto'
import { join } from 'node:path'
import { StartError } from '../config.ts'
import type { Account } from './account.ts'
import type { Binaries } from './binaries.ts'
import { isAlive, isServerOf, pause, processesIn, readPidFile, until } from './processes.ts'

/** One folder of our own: data/ is PostgreSQL's, password and server.log lie beside it. */
export type Home = { folder: string; data: string; passwordFile: string; log: string; account: Account | undefined }

export function homeIn(folder: string, account: Account | undefined): Home {
  return { folder, data: join(folder, 'data'), passwordFile: join(folder, 'password'), log: join(folder, 'server.log'), account }
}

const owner = (account: Account | undefined) => (account ? { uid: account.uid, gid: account.gid } : {})

export function prepareHome(home: Home): string {
  mkdirSync(home.folder, { recursive: true, mode: 0o700 })
  chmodSync(home.folder, 0o700)
  if (home.account) chownSync(home.folder, home.account.uid, home.account.gid)
  if (!existsSync(home.passwordFile)) {
    if (existsSync(home.data)) throw new StartError(`Database: ${home.passwordFile} is gone, though ${home.data} is there. Put it back from a copy.`)
    const half = `${home.passwordFile}.part`
    writeFileSync(half, `${randomBytes(24).toString('base64url')}\n`, { mode: 0o600 })
    if (home.account) chownSync(half, home.account.uid, home.account.gid)
    renameSync(half, home.passwordFile)
  }
  return readFileSync(home.passwordFile, 'utf8').trim()
}

/** Makes the data folder, whole or not at all: a start that was cut short leaves only `data.new`, which goes. */
export function initialise(home: Home, binaries: Binaries): void {
  if (existsSync(join(home.data, 'PG_VERSION'))) return checkVersion(home, binaries)
  const half = `${home.data}.new`
  rmSync(half, { recursive: true, force: true })
  const made = spawnSync(
    binaries.initdb,
    [`--pgdata=${half}`, '--username=garboard', `--pwfile=${home.passwordFile}`, '--auth=scram-sha-256', '--encoding=UTF8',
      '--locale-provider=icu', '--icu-locale=und', '--locale=C', '--no-instructions'],
    { cwd: home.folder, encoding: 'utf8', env: { ...process.env, LC_ALL: 'C', TZ: 'UTC' }, ...owner(home.account) },
  )
  if (made.status !== 0) {
    const why = made.error?.message ?? made.stderr.trim().split('\n').at(-1) ?? ''
    const hint = why.includes('effective user ID') ? ' The account it runs under has no line in /etc/passwd: start under one that has, or set DATABASE_URL.' : ''
    throw new StartError(`PostgreSQL could not make its data folder ${home.data}: ${why}${hint}`)
  }
  renameSync(half, home.data)
}

function checkVersion(home: Home, binaries: Binaries): void {
  const made = readFileSync(join(home.data, 'PG_VERSION'), 'utf8').trim()
  const have = binaries.version.split('.')[0]
  if (made !== have) throw new StartError(`Database: ${home.data} was made by PostgreSQL ${made}, installed is ${have}. Start the earlier version, or move the data with pg_dump.`)
}

/** A server that runs on this data folder already: of an earlier start that was killed, or of one alive. */
export async function runningServer(home: Home): Promise<{ pid: number; port: number } | null> {
  const file = readPidFile(home.data)
  if (!file || !isAlive(file.pid)) return null
  if (isServerOf(file.pid, home.data)) return file
  // A server that was just killed may not be gone altogether: it is waited for.
  const isEmpty = await until(() => processesIn(home.data)?.length === 0, 10_000)
  if (!isAlive(file.pid)) return null
  // The number is somebody else's now (common in containers, where numbers start anew). PostgreSQL would take it for a server.
  if (!isEmpty) {
    throw new StartError(`Database: ${home.data}/postmaster.pid names process ${file.pid}, which is no PostgreSQL of ours. If none runs on this folder, delete that file.`)
  }
  rmSync(join(home.data, 'postmaster.pid'))
  return null
}

/** Starts the server and waits until it takes connections (`isUp`). It outlives this process, so that nothing is cut short. */
export async function launch(home: Home, binaries: Binaries, port: number, settings: string[], isUp: () => Promise<boolean>): Promise<number> {
  // Backends of a killed server may need a moment to go; until then a new one refuses to start.
  const end = performance.now() + 30_000
  for (;;) {
    keepLogSmall(home)
    const log = openSync(home.log, 'a', 0o600)
    const child = spawn(
      binaries.postgres,
      ['-D', home.data, '-p', String(port), ...['listen_addresses=127.0.0.1', 'unix_socket_directories=', 'logging_collector=off', 'log_timezone=UTC', 'timezone=UTC',
        ...settings].flatMap((setting) => ['-c', setting])],
      { cwd: home.folder, detached: true, stdio: ['ignore', log, log], env: { ...process.env, LC_ALL: 'C', TZ: 'UTC' }, ...owner(home.account) },
    )
    closeSync(log)
    let gone = false
    child.once('error', () => (gone = true))
    child.once('exit', () => (gone = true))
    child.unref()
    const up = await until(async () => gone || (await isUp()), 60_000)
    if (up && !gone && child.pid) return child.pid
    if (!up) throw new StartError(`PostgreSQL did not come up within a minute; see ${home.log}`)
    if (performance.now() > end) throw new StartError(`PostgreSQL stopped right after its start: ${lastWords(home)}`)
    await pause(300)
  }
}

function lastWords(home: Home): string {
  const lines = readFileSync(home.log, 'utf8').trim().split('\n')
  return lines.findLast((line) => /FATAL|PANIC|ERROR/.test(line)) ?? lines.at(-1) ?? `see ${home.log}`
}

function keepLogSmall(home: Home): void {
  if ((statSync(home.log, { throwIfNoEntry: false })?.size ?? 0) > 5_000_000) truncateSync(home.log)
}

/** Fast shutdown (open transactions are taken back), then the immediate one, which is as safe as a crash. */
export async function shutDown(pid: number): Promise<void> {
  for (const [signal, ms] of [['SIGINT', 8_000], ['SIGQUIT', 3_000], ['SIGKILL', 2_000]] as const) {
    try {
      process.kill(pid, signal)
    } catch {
      return
    }
    if (await until(() => !isAlive(pid), ms)) return
  }
}

export function freePort(): Promise<number> {
  return new Promise((done, failed) => {
    const probe = createServer()
    probe.once('error', failed)
    probe.listen(0, '127.0.0.1', () => {
      const address = probe.address()
      probe.close(() => (typeof address === 'object' && address ? done(address.port) : failed(new Error('no port'))))
    })
  })
}
