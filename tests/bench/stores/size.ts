/** Pages of a ledger of 100,000 entries, as long as the server takes for them. */
import { medianOf5, type BenchClub } from '../club.ts'
import { fillLedger } from './many.ts'

const GOAL_MS = 60

export async function size(club: BenchClub, entries: number): Promise<{ ok: boolean; line: string }[]> {
  const keeper = await club.signedIn(['storekeeper', 'officer', 'builder'])
  const { item, build } = await fillLedger(club, entries, keeper.memberId)
  const pages = [
    ['item page', `/stores/items/${item.id}`, `${item.count} entries of it`],
    ['build charges', `/builds/${build.id}/costs`, `${build.count} entries of her`],
    ['stock level', `/stores/items/${item.id}/level`, 'its coming weeks'],
    ['all charges', '/stores/charges', 'not yet settled'],
    ['outlook', '/stores/outlook', 'all items'],
    ['overview', '/stores', 'all items'],
  ] as const
  const lines: { ok: boolean; line: string }[] = []
  for (const [name, url, what] of pages) {
    const ms = await medianOf5(async () => {
      const { statusCode, body } = await keeper.get(url)
      if (statusCode !== 200) throw new Error(`${url}: ${statusCode} ${body.slice(0, 200)}`)
    })
    const isAsked = name === 'item page' || name === 'build charges' || name === 'stock level'
    lines.push({ ok: !isAsked || ms <= GOAL_MS, line: `${entries} entries: ${name} (${what}) ${ms.toFixed(1)} ms${isAsked ? ` (goal ${GOAL_MS})` : ''}` })
  }
  return lines
}
