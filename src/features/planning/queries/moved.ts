import type { Reader } from '../../../platform/database.ts'
import type { Actor } from '../../../platform/write.ts'
import type { Failed, Move, NameBook, StoredPlan } from '../model.ts'
import { nameBook } from './names.ts'
import { answerTo, planById } from './plans.ts'
import { visibleBuilds } from './visible.ts'

export type Answer =
  | { readonly state: 'waiting' }
  | { readonly state: 'failed'; readonly failed: Failed; readonly names: NameBook }
  | { readonly state: 'planned'; readonly plan: StoredPlan; readonly moves: readonly Move[]; readonly names: NameBook }

const LOOK_EVERY_MS = 120

/** How a request was answered, after waiting for it a while. */
export async function answered(db: Reader, member: Actor, requestId: bigint, waitMs: number): Promise<Answer> {
  const until = performance.now() + waitMs
  for (;;) {
    const answer = await answerTo(db, requestId)
    if (answer) return shown(db, member, answer)
    if (performance.now() >= until) return { state: 'waiting' }
    await new Promise((done) => setTimeout(done, LOOK_EVERY_MS))
  }
}

async function shown(db: Reader, member: Actor, answer: { planId: bigint; failed: Failed | null }): Promise<Answer> {
  const builds = await visibleBuilds(db, member)
  if (answer.failed) return { state: 'failed', failed: answer.failed, names: await nameBook(db, builds.map((b) => b.id)) }
  const found = await movesOf(db, member, answer.planId)
  return found ? { state: 'planned', ...found } : { state: 'waiting' }
}

/** What a plan moved, of builds that this person may see. */
export async function movesOf(db: Reader, member: Actor, planId: bigint): Promise<{ plan: StoredPlan; moves: Move[]; names: NameBook } | null> {
  const plan = await planById(db, planId)
  if (!plan) return null
  const ids = (await visibleBuilds(db, member)).map((b) => b.id)
  return { plan, moves: plan.moves.filter((m) => ids.includes(m.buildId)), names: await nameBook(db, ids) }
}
