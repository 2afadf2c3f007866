import { execFileSync } from 'node:child_process'
import { existsSync, readFileSync, readdirSync, readlinkSync } from 'node:fs'
import { join } from 'node:path'

/** What a running server says of itself in postmaster.pid. */
export type PidFile = { pid: number; port: number }

export function readPidFile(data: string): PidFile | null {
  const file = join(data, 'postmaster.pid')
  if (!existsSync(file)) return null
  const lines = readFileSync(file, 'utf8').split('\n')
  const pid = Math.abs(Number(lines[0]))
  return pid > 0 ? { pid, port: Number(lines[3]) || 0 } : null
}

export function isAlive(pid: number): boolean {
  // 0 and below mean whole groups of processes.
  if (!(pid > 0)) return false
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM'
  }
}

/** Whether this process is the server of that data folder; after a crash its number may belong to anything. */
export function isServerOf(pid: number, data: string): boolean {
  if (!isAlive(pid)) return false
  try {
    const command = existsSync('/proc/self/cmdline')
      ? readFileSync(`/proc/${pid}/cmdline`, 'utf8').replaceAll('\0', ' ')
      : execFileSync('ps', ['-p', String(pid), '-o', 'command='], { encoding: 'utf8' })
    return command.includes('postgres') && command.includes(data)
  } catch {
    return false
  }
}

/** Processes that have the data folder as their working folder, as all of a server's have; null where that can't be seen. */
export function processesIn(data: string): number[] | null {
  if (!existsSync('/proc/self/cwd')) return null
  return readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name))
    .map(Number)
    .filter((pid) => {
      try {
        return readlinkSync(`/proc/${pid}/cwd`) === data
      } catch {
        return false
      }
    })
}

export const pause = (ms: number): Promise<void> => new Promise((done) => setTimeout(done, ms))

/** Asks again every 50 ms until the answer is yes, or the time is over. */
export async function until(check: () => boolean | Promise<boolean>, forMs: number): Promise<boolean> {
  const end = performance.now() + forMs
  for (;;) {
    if (await check()) return true
    if (performance.now() > end) return false
    await pause(50)
  }
}
