import type { FastifyBaseLogger } from 'fastify'
import type { Clock } from '../../../platform/clock.ts'
import { sqlState, transact, type Db, type Tx } from '../../../platform/database.ts'
import { LIVE_CHANNEL, notify, type Events } from '../../../platform/events.ts'
import { PLAN_CHANNEL } from '../../../platform/replan.ts'
import { saveFailure, savePlan, type Made } from '../commands/save-plan.ts'
import type { Failed } from '../model.ts'
import { openRequests } from '../queries/plans.ts'
import { loadProblem, type Loaded } from '../queries/problem.ts'
import type { Planned } from '../forecast/queries/plan.ts'
import { sane } from '../sane.ts'
import type { Solved, Solver } from './solve.ts'
import { requestByTime } from './time.ts'

/** Held while one instance plans. */
const LOCK = 7_266_010
/** With reading and saving it comes within the two and a half seconds that the page after a write waits. */
const TIME_MS = 1_600
/** So often is a plan that was overtaken by a newer request thrown away; then it is shown all the same, and followed by the next. */
const OVERTAKEN = 2
const AGAIN_MS = 1_000
const TICK_MS = 60_000

/** 'busy': another instance is at it. */
export type Outcome = 'planned' | 'failed' | 'nothing' | 'busy'
export type PlannerParts = { db: Db; clock: Clock; log: FastifyBaseLogger; solver: Solver; timeMs?: number; /** True once the service ends: a search that breaks off then is no failure. */ isEnding?: () => boolean; /** Told when a plan is saved and committed. */ onPlanned?: (planned: Planned) => void }

/**
 * Answers the open requests with one plan, if nobody else is doing so. The lock is held by a transaction, so that it ends with
 * this instance whatever happens; what is planned from is read in a transaction of its own, all of one moment.
 */
export async function planOnce(parts: PlannerParts): Promise<Outcome> {
  const { db, clock } = parts
  const kept: { planned: Planned | null } = { planned: null }
  const outcome = await transact(db, async (tx): Promise<Outcome> => {
    const [lock] = await tx.$queryRaw<{ got: boolean }[]>`select pg_try_advisory_xact_lock(${LOCK}) as got`
    if (!lock?.got) return 'busy'
    const byTime = await requestByTime(tx, clock.now())
    const asked = await openRequests(tx)
    if (asked.length === 0) return 'nothing'
    for (let overtaken = 0; ; overtaken++) {
      const began = performance.now()
      const read = await load(parts)
      if ('kind' in read) {
        await saveFailure(tx, asked, read, { at: clock.now(), tookMs: performance.now() - began })
        await notify(tx, LIVE_CHANNEL, 'plan')
        return 'failed'
      }
      // What time itself asked for isn't committed yet, so the reading transaction can't see it.
      const loaded = byTime ? { ...read, requests: [...read.requests, byTime] } : read
      const solved = await solve(parts, loaded)
      // The newest request wins.
      if (overtaken < OVERTAKEN && (await openRequests(tx)).length > loaded.requests.length) continue
      kept.planned = await save(tx, parts, loaded, solved, { at: clock.now(), tookMs: performance.now() - began })
      await notify(tx, LIVE_CHANNEL, 'plan')
      return kept.planned === null ? 'failed' : 'planned'
    }
  }, { timeoutMs: 180_000, retries: 0 })
  if (kept.planned) parts.onPlanned?.(kept.planned)
  return outcome
}

/** Rows that can't be read as a question are a bug: said once, not tried over and over. A database that is away is tried again. */
async function load({ db, clock, log }: PlannerParts): Promise<Loaded | Failed> {
  try {
    return await transact(db, (reading) => loadProblem(reading, clock.now()), { isolation: 'repeatable read', timeoutMs: 60_000 })
  } catch (error) {
    if (sqlState(error) !== undefined || (error as { code?: unknown }).code !== undefined) throw error
    log.error({ err: error }, 'what is to be planned can’t be read')
    return { kind: 'broke', message: (error as Error).message }
  }
}

async function solve(parts: PlannerParts, loaded: Loaded): Promise<Solved | Failed> {
  try {
    return await parts.solver.solve({ problem: loaded.problem, loose: loaded.loose, schedules: loaded.schedules, timeMs: parts.timeMs ?? TIME_MS })
  } catch (error) {
    if (parts.isEnding?.()) throw error
    parts.log.error({ err: error }, 'planning broke off')
    return { kind: 'broke', message: (error as Error).message }
  }
}

/** @returns null: it can't be shown, which is kept as well */
async function save(tx: Tx, { log }: PlannerParts, loaded: Loaded, solved: Solved | Failed, made: Made): Promise<Planned | null> {
  const failed = failureOf(solved)
  if (failed) {
    if (failed.kind !== 'broke') log.error({ failed }, 'a plan that can’t be shown')
    await saveFailure(tx, loaded.requests, failed, made)
    return null
  }
  const { plan, loose } = solved as Extract<Solved, { ok: true }>
  const planId = await savePlan(tx, loaded, plan, loose, made)
  log.info({ planId: String(planId), pieces: plan.pieces.length, unplanned: plan.unplanned.length, schedules: plan.schedules, tookMs: Math.round(made.tookMs) }, 'planned')
  return { planId, problem: sane(loaded.problem), plan }
}

function failureOf(solved: Solved | Failed): Failed | null {
  if ('kind' in solved) return solved
  if (!solved.ok) return { kind: 'refused', refusals: solved.refusals }
  return solved.faults.length > 0 ? { kind: 'faulty', faults: solved.faults } : null
}

export type Planner = {
  readonly isRunning: boolean
  start(events: Events): Promise<void>
  stop(): Promise<void>
}

/** Listens for requests, and answers those left from before it started. */
export function createPlanner(parts: PlannerParts): Planner {
  const { log, solver } = parts
  let isRunning = false
  let current: Promise<void> | null = null
  let isAsked = false
  let again: NodeJS.Timeout | null = null
  let tick: NodeJS.Timeout | null = null
  const offs: (() => void)[] = []

  const later = (ms: number) => {
    if (!isRunning) return
    again ??= setTimeout(() => {
      again = null
      wake()
    }, ms).unref()
  }

  const wake = () => {
    if (!isRunning) return
    isAsked = true
    current ??= work().finally(() => {
      current = null
    })
  }

  const work = async () => {
    while (isRunning && isAsked) {
      isAsked = false
      try {
        const outcome = await planOnce({ ...parts, isEnding: () => !isRunning })
        if (outcome === 'busy') later(AGAIN_MS)
        else if (outcome !== 'nothing') isAsked = true
      } catch (error) {
        if (!isRunning) return
        log.error({ err: error }, 'planning could not be done; it is tried again')
        later(10 * AGAIN_MS)
      }
    }
  }

  return {
    get isRunning() {
      return isRunning
    },
    async start(events) {
      isRunning = true
      offs.push(await events.on(PLAN_CHANNEL, wake), await events.on(LIVE_CHANNEL, ({ payload, missed }) => (payload === 'plan' || missed) && wake()))
      tick = setInterval(wake, TICK_MS).unref()
      wake()
    },
    async stop() {
      isRunning = false
      for (const off of offs.splice(0)) off()
      if (again) clearTimeout(again)
      if (tick) clearInterval(tick)
      // A search under way is given up: its requests stay open and are answered at the next start.
      await solver.close()
      await current
    },
  }
}
