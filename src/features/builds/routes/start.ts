import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { Builds } from '../../../../views/builds/builds.tsx'
import { ChooseList } from '../../../../views/builds/choose-list.tsx'
import { StartBuildPage } from '../../../../views/builds/start.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { refused, write, type Refusal, type Typed } from '../../../platform/write.ts'
import { startBuild } from '../commands/start.ts'
import { startList, startLists } from '../facts/lists.ts'
import { readMeasured } from '../facts/measured.ts'
import { buildsPage } from '../queries/builds.ts'
import { startForm } from '../queries/start-form.ts'
import { grade, skill, StartForm } from '../schemas/build.ts'

const MAY_START = { config: { may: 'builds.start' } }

export function startRoutes(app: FastifyInstance, deps: Deps): void {
  app.get('/builds', { config: { may: 'builds.view' } }, async (req, reply) => reply.view(Builds, { builds: await buildsPage(deps.db, found(req.member), deps.clock.now()) }))

  app.get('/builds/new', MAY_START, async (_req, reply) => reply.view(ChooseList, { lists: startLists.map(({ key, name, about, calibratedFor, tasks }) => ({ key, name, about, calibratedFor, tasks: tasks.length })) }))

  app.get('/builds/new/:list', MAY_START, async (req, reply) => startPage(deps, req, reply, req.query as Typed))

  app.post('/builds/new/:list', MAY_START, (req, reply) =>
    write(req, reply, {
      schema: StartForm,
      run: async (tx, ctx, input) => {
        const list = found(startList(listKey(req)))
        const { measured, fields } = readMeasured(list, input, found(req.club).units)
        if (Object.keys(fields).length > 0) return refused(422, 'Some measurements can’t be read.', { fields })
        return startBuild(tx, ctx, { ...input, list: list.key, measured })
      },
      refused: (refusal, typed) => startPage(deps, req, reply, typed, refusal),
    }))
}

const listKey = (req: FastifyRequest): string => (req.params as { list: string }).list

/** First asked with length, beam and finish; then the whole form, with the rest worked out from them. */
async function startPage(deps: Deps, req: FastifyRequest, reply: FastifyReply, sent: Typed, refusal?: Refusal) {
  const list = found(startList(listKey(req)))
  const { measured, fields } = readMeasured(list, sent, found(req.club).units)
  const asked = list.measurements.filter((d) => d.guess === null && !d.byGrade).map((d) => d.key)
  const isReady = refusal !== undefined || (asked.every((key) => measured[key] !== undefined) && Object.keys(fields).length === 0)
  const finish = grade.catch('good').parse(sent['grade'])
  const model = await startForm(deps.db, list, { measured, geometry: {}, skill: skill.catch('some').parse(sent['skill']), grade: finish })
  const outside = Object.fromEntries(Object.entries(model.refusal ?? {}).map(([key, text]) => [`m.${key}`, text]))
  const wrong = { ...fields, ...outside }
  const first: Refusal | undefined = refusal === undefined && Object.keys(sent).length > 0 && Object.keys(wrong).length > 0 ? { status: 422, message: 'These can’t be used as they stand.', fields: wrong } : undefined
  const wrongSent = refusal ?? first
  // What was asked first stands in the address; only a form that was refused is shown again as it was typed.
  const props = { model, asked, isReady: isReady && !first, typed: wrongSent ? sent : undefined, refusal: wrongSent }
  return reply.view(StartBuildPage, props, { status: refusal?.status ?? 200 })
}
