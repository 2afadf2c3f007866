import type { Tx } from './database.ts'
import { notify } from './events.ts'

/** Wakes whoever makes plans; the row itself is the request, so a lost notice loses nothing. */
export const PLAN_CHANNEL = 'garboard_plan'

const asked = new WeakMap<Tx, bigint>()

/** Says, in the transaction of the change itself, that the work plan must take it into account. */
export async function requestReplan(tx: Tx, cause: string, by: { now: Date; member: { id: string } | null }): Promise<void> {
  const { id } = await tx.planRequest.create({ data: { cause, at: by.now, memberId: by.member?.id ?? null }, select: { id: true } })
  asked.set(tx, id)
  await notify(tx, PLAN_CHANNEL)
}

/** The last request that this transaction made: the page after the write says what it moved. */
export const requestedIn = (tx: Tx): bigint | undefined => asked.get(tx)
