/** `npm run verify:ledger`: replays the ledger of the stores and proves its balances and costs. Reads only; the service may go on. */
import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { verifyLedger } from './features/stores/public.ts'
import { readConfig, StartError } from './platform/config.ts'
import { openDatabase } from './platform/database.ts'
import { runningEmbedded, startEmbedded } from './platform/embedded-database.ts'

const MOST_SHOWN = 200
const say = (text: string) => process.stdout.write(`${text}\n`)

async function main(): Promise<number> {
  if (existsSync('.env')) process.loadEnvFile('.env')
  const isDemo = process.argv.includes('--demo')
  const config = readConfig(isDemo ? { DATA_DIR: './demo-data', ...process.env } : process.env)
  let stop = async (): Promise<void> => undefined
  let url = config.databaseUrl ?? (await runningEmbedded(config.dataDir))
  if (!url) {
    const isThere = ['postgresql', 'database-is-in.txt'].some((name) => existsSync(join(config.dataDir, name)))
    if (!isThere) throw new StartError(`There is no database in ${config.dataDir}, and DATABASE_URL is not set: nothing to verify.`)
    const own = await startEmbedded(config.dataDir)
    url = own.url
    stop = own.stop
  }
  const database = openDatabase(url, { connections: 2 })
  try {
    const began = performance.now()
    const { entries, lots, accounts, builds, faults } = await verifyLedger(database.prisma)
    const seconds = ((performance.now() - began) / 1000).toFixed(1)
    for (const fault of faults.slice(0, MOST_SHOWN)) say(`✗ ${fault}`)
    if (faults.length > MOST_SHOWN) say(`… and ${faults.length - MOST_SHOWN} more`)
    say(
      faults.length === 0 ?
        `The ledger is right: ${entries} entries replayed in ${seconds} s; balances of ${lots} lots, values and layers of ${accounts} accounts and charges of ${builds} builds agree.`
      : `The ledger is not right: ${faults.length} disagreements in ${entries} entries.`,
    )
    return faults.length === 0 ? 0 : 1
  } finally {
    await database.close()
    await stop()
  }
}

process.noDeprecation = true
main().then(
  (code) => process.exit(code),
  (error: unknown) => {
    process.stderr.write(`${error instanceof StartError ? error.message : ((error as Error)?.stack ?? String(error))}\n`)
    process.exit(2)
  },
)
