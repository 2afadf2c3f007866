import { spawnSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { StartError } from '../config.ts'

/** Whom PostgreSQL runs as when the service runs as root, which PostgreSQL refuses. Undefined: as ourselves. */
export type Account = { name: string; uid: number; gid: number }

export function accountForPostgres(): Account | undefined {
  if (process.getuid?.() !== 0) return undefined
  const lines = readFileSync('/etc/passwd', 'utf8').split('\n').map((line) => line.split(':'))
  for (const wanted of ['postgres', 'nobody']) {
    const line = lines.find(([name]) => name === wanted)
    const uid = Number(line?.[2])
    if (line && uid > 0) return { name: wanted, uid, gid: Number(line[3]) }
  }
  throw new StartError('PostgreSQL can’t run as root, and this machine has neither an account "postgres" nor "nobody". Start as another user, or set DATABASE_URL.')
}

/** Whether the account can get into a folder (or to a file to run), seen with its own eyes. */
export function canEnter(path: string, account: Account | undefined): boolean {
  if (!account) return true
  const seen = spawnSync('/bin/sh', ['-c', 'test -x "$1" && { test ! -d "$1" || { cd "$1" && ls . >/dev/null; }; }', 'sh', path], {
    cwd: '/',
    uid: account.uid,
    gid: account.gid,
    stdio: 'ignore',
  })
  return seen.status === 0
}
