/**
 * Plans published instances and prints one JSON object a line:
 * `npm run --silent bench:schedule -- [--seconds S | --schedules N] [--seed K] FILE…`
 * `--seconds` bounds each instance's search, `--schedules` the schedules generated (n starts assigned or undone count as one).
 */
import { plan } from '../../src/core/schedule/index.ts'
import { problemOf, readInstance, startsOf } from '../support/published.ts'

const args = process.argv.slice(2)
const files: string[] = []
let seconds: number | null = null
let schedules: number | null = null
let seed = 1
for (let i = 0; i < args.length; i++) {
  const arg = args[i]!
  if (!arg.startsWith('--')) files.push(arg)
  else {
    const value = Number(args[++i])
    if (!Number.isFinite(value) || value < 0) stop(`${arg} needs a number`)
    if (arg === '--seconds') seconds = value
    else if (arg === '--schedules') schedules = value
    else if (arg === '--seed') seed = value
    else stop(`unknown option ${arg}`)
  }
}
if (files.length === 0) stop('usage: bench:schedule -- [--seconds S | --schedules N] [--seed K] FILE…')

for (const file of files) {
  const instance = readInstance(file)
  const begin = performance.now()
  const until = seconds === null ? Infinity : begin + seconds * 1000
  const found = plan(problemOf(instance), {
    seed, maxSchedules: schedules ?? (seconds === null ? 1000 : Number.MAX_SAFE_INTEGER), stop: () => performance.now() >= until,
  })
  const ms = Math.round(performance.now() - begin)
  if (!found.ok) {
    process.stdout.write(`${JSON.stringify({ file, status: 'unknown', refusal: found.refusal, ms, schedules: 0 })}\n`)
    continue
  }
  const starts = startsOf(instance, found.value)
  const row = starts === null
    ? { file, status: found.value.status === 'infeasible' ? 'infeasible' : 'unknown' }
    : { file, status: found.value.status, makespan: starts.at(-1), lowerBound: found.value.builds[0]!.lowerBound, starts }
  process.stdout.write(`${JSON.stringify({ ...row, ms, schedules: found.value.schedules })}\n`)
}

function stop(message: string): never {
  process.stderr.write(`${message}\n`)
  process.exit(2)
}
