/**
 * The stores under load: `npm run bench:stores -- [--only race,speed,size,kill] [--entries N] [--mixed N] [--seed K]`.
 * Prints each figure; ends with 1 where a goal is missed.
 */
import { parseArgs } from 'node:util'
import { readConfig } from '../../src/platform/config.ts'
import { benchClub } from './club.ts'
import { kill } from './stores/kill.ts'
import { race } from './stores/race.ts'
import { size } from './stores/size.ts'
import { speed } from './stores/speed.ts'

const { values } = parseArgs({
  options: { only: { type: 'string', default: 'race,kill,speed,size' }, entries: { type: 'string', default: '100000' }, mixed: { type: 'string', default: '20000' }, seed: { type: 'string', default: '1' } },
})
const asked = new Set(values.only.split(','))
let missed = 0
const tell = ({ ok, line }: { ok: boolean; line: string }) => {
  if (!ok) missed++
  process.stdout.write(`${ok ? 'good  ' : 'MISSED'} ${line}\n`)
}

if (asked.has('race') || asked.has('speed') || asked.has('size')) {
  // As many connections as the service has unless told otherwise.
  const club = await benchClub(readConfig({}).databaseConnections)
  try {
    if (asked.has('race')) tell(await race(club))
    if (asked.has('speed')) for (const row of await speed(club)) tell(row)
    if (asked.has('size')) for (const row of await size(club, Number(values.entries))) tell(row)
  } finally {
    await club.close()
  }
}
if (asked.has('kill')) tell(await kill(Number(values.mixed), Number(values.seed)))
process.exitCode = missed > 0 ? 1 : 0
