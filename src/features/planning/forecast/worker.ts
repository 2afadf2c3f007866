import { parentPort } from 'node:worker_threads'
import { answer, type AnyJob } from './answer.ts'

/** What is worked out of a plan (its weather, say) hangs on the very object: of one plan the first that came is used for all its builds. */
let last: { planId: string; problem: AnyJob['problem']; plan: AnyJob['plan'] } | null = null

parentPort?.on('message', ({ planId, job }: { planId: string; job: AnyJob }) => {
  if (last?.planId !== planId) last = { planId, problem: job.problem, plan: job.plan }
  parentPort?.postMessage(answer({ ...job, problem: last.problem, plan: last.plan }))
})
