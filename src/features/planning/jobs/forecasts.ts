import type { FastifyBaseLogger } from 'fastify'
import { instantToLocal } from '../../../core/calendar/index.ts'
import type { Problem } from '../../../core/schedule/problem.ts'
import { instant } from '../../../core/units/index.ts'
import type { Clock } from '../../../platform/clock.ts'
import { transact, type Db } from '../../../platform/database.ts'
import { LIVE_CHANNEL, notify } from '../../../platform/events.ts'
import { saveCatchUps, saveForecast } from '../forecast/commands/save.ts'
import type { CatchUpJob, ForecastJob, Runs, TryJob } from '../forecast/compute.ts'
import { beforeOf, detailFacts } from '../forecast/queries/before.ts'
import { loadEvidence, type Evidence } from '../forecast/queries/evidence.ts'
import { plannedNow, type Planned } from '../forecast/queries/plan.ts'
import type { TryInput } from '../forecast/schemas.ts'
import { withDetails } from '../forecast/details.ts'
import { canCatchUp, inputsOf, uncertaintyOf } from '../forecast/uncertain.ts'
import { openRequests } from '../queries/plans.ts'
import type { Forecaster } from './forecaster.ts'

export type ForecastParts = { readonly db: Db; readonly clock: Clock; readonly log: FastifyBaseLogger; readonly forecaster: Forecaster; readonly runs?: Runs; /** A newer plan is there or wanted: the rest is left to it. */ readonly isOvertaken?: () => boolean; /** So long nothing new must be planned before the longer part is begun. */ readonly quietMs?: number }

/**
 * Forecasts every build that has a launch in the plan, one after another; then works out what would bring each forward, which takes longer. It
 * gives way to a newer plan: the rest comes with that one.
 * @returns how many were made
 */
export async function forecastBuilds(parts: ForecastParts, planned: Planned): Promise<number> {
  const { db, log } = parts
  const { problem, plan } = planned
  const ids = problem.builds.filter((b) => !b.paused && plan.builds.find((o) => o.buildId === b.id)?.launch != null).map((b) => b.id)
  if (ids.length === 0) return 0
  const evidence = await transact(db, (tx) => loadEvidence(tx, problem), { isolation: 'repeatable read', timeoutMs: 60_000 })
  const eachOf = async (builds: readonly string[], run: (buildId: string) => Promise<void>): Promise<string[]> => {
    const made: string[] = []
    for (const buildId of builds) {
      if (parts.isOvertaken?.() || (await openRequests(db)).length > 0) break
      try {
        await run(buildId)
        made.push(buildId)
      } catch (error) {
        if (parts.isOvertaken?.()) break
        // One build that can't be forecast leaves the others theirs.
        log.error({ err: error, buildId }, 'a forecast could not be made')
      }
    }
    if (made.length > 0) await transact(db, (tx) => notify(tx, LIVE_CHANNEL, 'plan'))
    return made
  }
  const made = await eachOf(ids, (buildId) => forecastOne(parts, planned, buildId, evidence))
  if (parts.runs?.catchUp !== 0 && (await isQuiet(parts))) await eachOf(made.filter((id) => canCatchUp(targetOf(problem, id), problem.now)), (buildId) => catchUpOne(parts, planned, buildId, evidence))
  return made.length
}

const LOOK_EVERY_MS = 200

/** In a session one plan follows another: what takes long waits until people have stopped logging for a while. */
async function isQuiet({ isOvertaken, quietMs = 0 }: ForecastParts): Promise<boolean> {
  const until = performance.now() + quietMs
  while (!isOvertaken?.() && performance.now() < until) await new Promise((done) => setTimeout(done, LOOK_EVERY_MS).unref())
  return !isOvertaken?.()
}

const targetOf = (problem: Problem, buildId: string): number | null => problem.builds.find((b) => b.id === buildId)?.launchTarget ?? null

async function catchUpOne({ db, forecaster, runs }: ForecastParts, { planId, problem, plan }: Planned, buildId: string, evidence: Evidence): Promise<void> {
  const uncertainty = uncertaintyOf(problem, buildId, evidence)
  const job: CatchUpJob = { kind: 'catch-up', problem, plan, buildId, uncertainty, target: targetOf(problem, buildId), ...(runs && { runs }) }
  const catchUps = await forecaster.catchUps(planId, job)
  await transact(db, (tx) => saveCatchUps(tx, planId, buildId, catchUps))
}

async function forecastOne({ db, clock, forecaster, runs }: ForecastParts, { planId, problem, plan }: Planned, buildId: string, evidence: Evidence): Promise<void> {
  const began = performance.now()
  const uncertainty = uncertaintyOf(problem, buildId, evidence)
  const inputs = inputsOf(problem, plan, buildId, uncertainty, evidence)
  const before = await beforeOf(db, buildId, problem)
  const job: ForecastJob = { kind: 'forecast', problem, plan, buildId, uncertainty, target: inputs.target, inputs, before, ...(runs && { runs }) }
  const made = await forecaster.forecast(planId, job)
  const step = made.step && withDetails(made.step, await detailFacts(db, buildId, before, planId, made.step.facts))
  // A build that was started or taken away meanwhile has no row to hang it on.
  await transact(db, async (tx) => {
    if ((await tx.build.count({ where: { id: buildId } })) === 0) return
    await saveForecast(tx, { planId, buildId, made, inputs, step, targetOn: targetDay(problem, inputs.target), at: clock.now(), tookMs: performance.now() - began })
  })
}

/** A target is met until the end of its day. */
const targetDay = ({ zone }: Planned['problem'], target: number | null): string | null => (target === null ? null : instantToLocal(zone, instant(target - 1)).date)

/** For telling a past: enough for a date, and nobody brings a past forward. */
const OF_THE_PAST: Runs = { own: 200, catchUp: 0, tried: 0 }

/** Forecasts of the plan that pages show, now and here; 0 where there is no plan. */
export async function forecastNow(parts: ForecastParts): Promise<number> {
  const planned = await transact(parts.db, (tx) => plannedNow(tx), { isolation: 'repeatable read', timeoutMs: 60_000 })
  return planned ? forecastBuilds({ runs: OF_THE_PAST, ...parts }, planned) : 0
}

/** What it takes to try somebody's own figures on the plan that pages show; null: she has no launch in it. */
export async function tryJob(db: Db, buildId: string, input: TryInput): Promise<{ planId: bigint; job: TryJob } | null> {
  return transact(db, async (tx) => {
    const planned = await plannedNow(tx)
    const build = planned?.problem.builds.find((b) => b.id === buildId)
    if (!planned || !build || build.paused || planned.plan.builds.find((b) => b.buildId === buildId)?.launch == null) return null
    const { problem, plan } = planned
    const uncertainty = uncertaintyOf(problem, buildId, await loadEvidence(tx, problem))
    const whatIf: TryJob['whatIf'] = {
      ...(input.hours !== null && input.hours > 0 && { extraPerWeek: Math.round(input.hours * 60) as NonNullable<TryJob['whatIf']['extraPerWeek']> }),
      ...(input.helper && { helper: true }),
      ...(input.warmer !== null && input.warmer > 0 && { warmer: input.warmer }),
    }
    const job: TryJob = { kind: 'try', problem, plan, buildId, uncertainty, target: build.launchTarget, whatIf }
    return { planId: planned.planId, job }
  }, { isolation: 'repeatable read', timeoutMs: 60_000 })
}
