import type { FastifyReply, FastifyRequest } from 'fastify'
import { TaskPage } from '../../../../views/builds/task.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { isUuid } from '../../../platform/request.ts'
import type { Refusal, Typed } from '../../../platform/write.ts'
import { FINDINGS } from '../facts/findings.ts'
import { localParts } from '../../../platform/times.ts'
import { taskPage } from '../queries/task-page.ts'

/** Which form of the task's page was refused. */
export type FormName = 'task' | 'hours' | 'steps' | 'coat' | 'finding' | 'finish' | 'left' | 'wash' | 'link' | 'pin'
export type Sent = { form: FormName; refusal: Refusal; typed: Typed }

export function idsOf(req: FastifyRequest): { buildId: string; taskId: string } {
  const { taskId } = req.params as { taskId?: string }
  // Ids that can't be any are the same as ids that are none.
  return { buildId: found(req.build).id, taskId: taskId === undefined || isUuid(taskId) ? (taskId ?? '') : '00000000-0000-0000-0000-000000000000' }
}

/** Shows a task's page, also again after one of its forms was refused. */
export function taskView({ db, clock }: Deps) {
  return async (req: FastifyRequest, reply: FastifyReply, sent?: Sent) => {
    const { buildId, taskId } = idsOf(req)
    const now = clock.now()
    const model = await taskPage(db, buildId, taskId, now)
    const findings = Object.entries(FINDINGS).map(([name, { label, how }]) => ({ name, label, how }))
    return reply.view(TaskPage, { ...model, findings, today: localParts(found(req.club).zone, now), sent }, { status: sent?.refusal.status ?? 200 })
  }
}
