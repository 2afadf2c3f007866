/**
 * How close the buying layout comes to the fewest sheets there can be: `npm run bench:estimate` (-- --steps N, --lists N, --seed K).
 * 200 seeded lists of 8 to 40 parts, each side 0.2 to 1.0 of the sheet's, no turning, no kerf and no trim. Ends with 1 on a miss.
 */
import { NEST_STEPS, nest } from '../../src/features/builds/layout/nest.ts'
import type { Part, Stock } from '../../src/features/builds/layout/sheet.ts'
import { dice, type Dice } from '../support/dice.ts'

const SHEET: Stock = { lengthMm: 2440, widthMm: 1220, kerfMm: 0, trimMm: 0 }
/** Mean of sheets over the rounded-up area; where the lists' proven floor leaves no room for it, so much above the floor. */
const TARGET = 1.25
const ABOVE_FLOOR = 1.05

const options = { steps: NEST_STEPS, lists: 200, seed: 1 }
const args = process.argv.slice(2)
for (let i = 0; i < args.length; i += 2) {
  const [name, value] = [args[i]!.replace(/^--/, ''), Number(args[i + 1])]
  if (!(name in options) || !Number.isSafeInteger(value) || value < 0) stop('usage: bench:estimate -- [--steps N] [--lists N] [--seed K]')
  options[name as keyof typeof options] = value
}

/** A share from 0.2 to 1: every share as likely as another, or every ratio (small parts are commoner, as in a boat's cutting list). */
const DRAWS: readonly { name: string; share: (d: Dice) => number }[] = [
  { name: 'sides even from 0.2 to 1.0', share: (d) => 0.2 + 0.8 * d.roll() },
  { name: 'sides even by their ratio', share: (d) => 0.2 * 5 ** d.roll() },
]

let missed = false
for (const { name, share } of DRAWS) {
  const d = dice(options.seed)
  const rows = Array.from({ length: options.lists }, () => {
    const parts = Array.from({ length: d.between(8, 40) }, (_, i): Part => ({ id: String(i), lengthMm: Math.round(SHEET.lengthMm * share(d)), widthMm: Math.round(SHEET.widthMm * share(d)), mayTurn: false }))
    const begin = performance.now()
    const { sheets, bound } = nest(parts, SHEET, { seed: options.seed, steps: options.steps })
    return { sheets: sheets.length, bound, ms: performance.now() - begin }
  })
  const overArea = rows.map((r) => r.sheets / r.bound.sheets)
  const floor = mean(rows.map((r) => r.bound.strong / r.bound.sheets))
  const overStrong = rows.map((r) => r.sheets / r.bound.strong)
  const proven = rows.filter((r) => r.sheets === r.bound.strong).length
  say(`${options.lists} lists of 8 to 40 parts, ${name}, no turning, ${options.steps} steps each, seed ${options.seed}`)
  say(`  sheets ÷ area bound (Σ area ÷ area of a sheet, rounded up)   mean ${spread(overArea)}`)
  say(`  sheets ÷ the same not rounded                                mean ${spread(rows.map((r) => r.sheets / r.bound.area))}`)
  say(`  sheets ÷ proven bound (dual feasible functions)              mean ${spread(overStrong)}, ${proven} lists proven the fewest`)
  say(`  no layout of these lists can be below ${floor.toFixed(4)} of the area bound: parts above half of a sheet can't share it`)
  say(`  ${mean(rows.map((r) => r.ms)).toFixed(1)} ms a list, at most ${Math.max(...rows.map((r) => r.ms)).toFixed(0)} ms`)
  const reached = mean(overArea)
  const isMet = reached <= TARGET
  say(`  ${isMet ? 'met' : 'not met'}: ≤ ${TARGET} of the area bound${isMet ? '' : `; ${((reached / floor - 1) * 100).toFixed(1)} % above the floor`}`)
  missed ||= !isMet && reached > floor * ABOVE_FLOOR
}
process.exitCode = missed ? 1 : 0

function mean(list: readonly number[]): number {
  return list.reduce((sum, x) => sum + x, 0) / list.length
}
function spread(list: readonly number[]): string {
  const m = mean(list)
  const sd = Math.sqrt(mean(list.map((x) => (x - m) ** 2)))
  return `${m.toFixed(4)}, sd ${sd.toFixed(4)}, ${Math.min(...list).toFixed(3)} to ${Math.max(...list).toFixed(3)}`
}
function say(line: string): void {
  process.stdout.write(`${line}\n`)
}
function stop(message: string): never {
  process.stderr.write(`${message}\n`)
  process.exit(2)
}
