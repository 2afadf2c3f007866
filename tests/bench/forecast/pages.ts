/** The pages of a week in the largest club: a review as it is drafted, and the club sheet; as long as the server takes for them. */
import { readConfig } from '../../../src/platform/config.ts'
import { benchClub, medianOf5 } from '../club.ts'
import { bigClub, BUILDS, TASKS } from './big-club.ts'

const REVIEW_MS = 80
const SHEET_MS = 200
const WARM = 15

/** Prints each figure; false where a goal is missed. */
export async function pages(): Promise<boolean> {
  const club = await benchClub(readConfig({}).databaseConnections)
  try {
    const { buildId, monday, says } = await bigClub(club)
    const officer = await club.signedIn(['officer', 'builder'])
    process.stdout.write(`      ${BUILDS} builds of ${TASKS} tasks: ${says}\n`)
    const asked = [
      ['draft of a week review', `/builds/${buildId}/reviews/${monday}`, REVIEW_MS], ['club sheet', '/club-sheet', SHEET_MS],
      ['all weeks of a build', `/builds/${buildId}/reviews`, null], ['progress of a build', `/builds/${buildId}/progress`, null],
    ] as const
    let ok = true
    for (const [name, url, goal] of asked) {
      const ask = async () => {
        const { statusCode, body } = await officer.get(url)
        if (statusCode !== 200) throw new Error(`${url}: ${statusCode} ${body.slice(0, 300)}`)
      }
      // Compilers and caches are warm in a service that runs.
      for (let n = 0; n < WARM; n++) await ask()
      const ms = await medianOf5(ask)
      const good = goal === null || ms <= goal
      ok &&= good
      process.stdout.write(`${good ? 'good  ' : 'MISSED'} ${name}: ${ms.toFixed(1)} ms${goal === null ? '' : ` (goal ${goal})`}\n`)
    }
    return ok
  } finally {
    await club.close()
  }
}
