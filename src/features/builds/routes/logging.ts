import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { z } from 'zod'
import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import type { Deps } from '../../../platform/deps.ts'
import { write, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { changeCoat, logCoat, logFinding } from '../commands/coat.ts'
import { logWork, reverseWork } from '../commands/log-work.ts'
import { finishTask, reopenTask, stateLeft, tickStep } from '../commands/progress.ts'
import { taskUrl } from '../commands/task.ts'
import { sayWash } from '../commands/wash.ts'
import { localMoment, localParts, toDate } from '../../../platform/times.ts'
import { guessSession, sessionStart } from '../queries/session-guess.ts'
import { CoatForm, CorrectCoatForm, FindingForm, FinishForm, LeftForm, LogHoursForm, NoForm, ReverseForm, TickForm, WashForm } from '../schemas/logging.ts'
import { idsOf, taskView, type FormName } from './task-view.ts'

const LOG = { config: { may: 'builds.log' } }
type Said = Result<{ text: string }, Refusal>
type Ids = { buildId: string; taskId: string }

export function logRoutes(app: FastifyInstance, deps: Deps): void {
  const show = taskView(deps)
  /** A form of the task's page: back to the page with what the command said. */
  const form = <S extends z.ZodType>(path: string, name: FormName, schema: S, run: (tx: Tx, ctx: Ctx, input: z.output<S>, ids: Ids, req: FastifyRequest) => Promise<Said>, anchor = '') =>
    app.post(`/builds/:buildId/tasks/:taskId/${path}`, LOG, (req: FastifyRequest, reply: FastifyReply) =>
      write(req, reply, {
        schema,
        run: async (tx, ctx, input) => done(idsOf(req), await run(tx, ctx, input, idsOf(req), req), anchor),
        refused: (refusal, typed) => show(req, reply, { form: name, refusal, typed }),
      }))
  const param = (req: FastifyRequest, name: string): string => (req.params as Record<string, string>)[name] ?? ''

  form('hours', 'hours', LogHoursForm, async (tx, ctx, input, ids) => {
    const startedAt = await startOf(tx, ctx, input)
    const begins = startedAt ?? new Date(ctx.now.getTime() - input.hours * 60_000)
    const named = [...new Set([...input.for, ...(input.also === null ? [] : [input.also])])]
    const people = named.length > 0 ? named : [ctx.member.id]
    return logWork(tx, ctx, { ...ids, startedAt, elapsedMin: input.hours, people, sessionId: await guessSession(tx, begins, input.hours), note: input.note, linkId: input.link })
  })
  form('hours/:workLogId/reverse', 'hours', ReverseForm, (tx, ctx, input, ids, req) => reverseWork(tx, ctx, { ...ids, workLogId: param(req, 'workLogId'), note: input.note }), '#hours')
  form('steps/:stepId', 'steps', TickForm, (tx, ctx, input, ids, req) => tickStep(tx, ctx, { ...ids, stepId: param(req, 'stepId'), ticked: input.ticked === 'yes' }), '#steps')
  form('coat', 'coat', CoatForm, async (tx, ctx, input, ids) => {
    const endedAt = input.ended === 'now' ? ctx.now : input.ended === 'at' ? momentOf(ctx, input.day, input.at) : new Date(ctx.now.getTime() - Number(input.ended) * 60_000)
    const startedAt = new Date(endedAt.getTime() - input.took * 60_000)
    const people = input.hours ? (input.for.length > 0 ? input.for : [ctx.member.id]) : []
    const sessionId = people.length > 0 ? await guessSession(tx, startedAt, input.took) : null
    return logCoat(tx, ctx, { ...ids, startedAt, endedAt, placeId: input.place, productId: input.product, washed: input.washed, note: input.note, people, sessionId })
  })
  form('coat/correct', 'coat', CorrectCoatForm, (tx, ctx, input, ids) =>
    changeCoat(tx, ctx, {
      ...ids, version: input.version, placeId: input.place, productId: input.product, note: input.note,
      startedAt: momentOf(ctx, input.day, input.started), endedAt: momentOf(ctx, input.endDay ?? input.day, input.ended),
    }))
  form('finding', 'finding', FindingForm, (tx, ctx, input, ids) =>
    logFinding(tx, ctx, { ...ids, finding: input.finding, note: input.note, ...(input.at === null ? {} : { at: momentOf(ctx, input.day, input.at) }) }), '#coat')
  form('finish', 'finish', FinishForm, (tx, ctx, input, ids) => finishTask(tx, ctx, { ...ids, ...(input.at === null ? {} : { at: momentOf(ctx, input.day, input.at) }) }))
  form('reopen', 'finish', NoForm, (tx, ctx, _input, ids) => reopenTask(tx, ctx, ids))
  form('left', 'left', LeftForm, (tx, ctx, input, ids) => stateLeft(tx, ctx, { ...ids, leftMin: input.left }))
  form('wash/:linkId', 'wash', WashForm, (tx, ctx, input, ids, req) => sayWash(tx, ctx, { ...ids, linkId: param(req, 'linkId'), step: input.step }))
}

const done = ({ buildId, taskId }: Ids, said: Said, anchor: string): Result<Done, Refusal> => (said.ok ? ok({ location: `${taskUrl(buildId, taskId)}${anchor}`, flash: said.value.text }) : said)

/** A local day and time; today and now where left empty. */
function momentOf(ctx: Ctx, day: string | null, time: string | null): Date {
  const here = localParts(ctx.clubZone, ctx.now)
  return day === null && time === null ? ctx.now : localMoment(ctx.clubZone, day ?? here.date, time ?? here.time)
}

/** When a stretch of work began: as said; on an earlier day without a time, with its session; else it ended just now. */
async function startOf(tx: Tx, ctx: Ctx, { day, from }: { day: string | null; from: string | null }): Promise<Date | null> {
  const here = localParts(ctx.clubZone, ctx.now)
  if (from !== null) return localMoment(ctx.clubZone, day ?? here.date, from)
  if (day === null || day === here.date) return null
  const start = await sessionStart(tx, localMoment(ctx.clubZone, day, '12:00'), day)
  return start === null ? localMoment(ctx.clubZone, day, '12:00') : toDate(start)
}
