import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { BuildPage } from '../../../../views/builds/build.tsx'
import { EditBuild } from '../../../../views/builds/edit-build.tsx'
import { Holds } from '../../../../views/builds/holds.tsx'
import { Pause } from '../../../../views/builds/pause.tsx'
import { Started } from '../../../../views/builds/started.tsx'
import { Team } from '../../../../views/builds/team.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { editBuild, pauseBuild, renamePhase, resumeBuild, setTeam } from '../commands/build.ts'
import { addHold, removeHold } from '../commands/holds.ts'
import { beyondReach } from '../facts/plausible.ts'
import { materialSums, personMinutes } from '../facts/sums.ts'
import { dateColumn, localDate } from '../../../platform/times.ts'
import { buildChoices, buildValues } from '../queries/build-form.ts'
import { buildHead, buildPage, startedPage } from '../queries/build-page.ts'
import { holdsPage } from '../queries/holds.ts'
import { clubReach } from '../queries/plausible.ts'
import { EditBuildForm, PauseForm, TeamForm, VersionForm } from '../schemas/build.ts'
import { HoldForm, PhaseForm } from '../schemas/links.ts'
import { NoForm } from '../schemas/logging.ts'

const VIEW = { config: { may: 'builds.view' } }
const EDIT = { config: { may: 'builds.edit' } }
const idOf = (req: FastifyRequest): string => found(req.build).id
const param = (req: FastifyRequest, name: string): string => (req.params as Record<string, string>)[name] ?? ''

export function buildRoutes(app: FastifyInstance, deps: Deps): void {
  const { db } = deps
  app.get('/builds/:buildId', VIEW, async (req, reply) => reply.view(BuildPage, await buildPage(db, idOf(req), deps.clock.now())))

  app.get('/builds/:buildId/started', VIEW, async (req, reply) => {
    const { tasks, ...page } = await startedPage(db, idOf(req))
    const reach = await clubReach(db, dateColumn(localDate(found(req.club).zone, deps.clock.now())))
    // Fewer hands than would be welcome is no hindrance.
    const beyond = tasks.flatMap((t) => ({ id: t.id, far: beyondReach(t, reach) })).flatMap(({ id, far }) => (far && far.field !== 'handsTo' ? [{ id, message: far.message }] : []))
    return reply.view(Started, {
      ...page, beyond, count: tasks.length, coats: tasks.filter((t) => t.productId !== null).length, work: personMinutes(tasks), materials: materialSums(tasks.flatMap((t) => t.materials)),
    })
  })

  const edit = async (req: FastifyRequest, reply: FastifyReply, refusal?: Refusal, typed?: Typed) =>
    reply.view(EditBuild, { build: await buildHead(db, idOf(req)), values: await buildValues(db, idOf(req)), choices: await buildChoices(db), refusal, typed }, { status: refusal?.status ?? 200 })
  app.get('/builds/:buildId/edit', EDIT, (req, reply) => edit(req, reply))
  app.post('/builds/:buildId/edit', EDIT, (req, reply) =>
    write(req, reply, { schema: EditBuildForm, run: (tx, ctx, input) => editBuild(tx, ctx, idOf(req), input), refused: (refusal, typed) => edit(req, reply, refusal, typed) }))

  const team = async (req: FastifyRequest, reply: FastifyReply, refusal?: Refusal, typed?: Typed) =>
    reply.view(Team, { build: await buildHead(db, idOf(req)), choices: await buildChoices(db), refusal, typed }, { status: refusal?.status ?? 200 })
  app.get('/builds/:buildId/team', EDIT, (req, reply) => team(req, reply))
  app.post('/builds/:buildId/team', EDIT, (req, reply) =>
    write(req, reply, { schema: TeamForm, run: (tx, ctx, input) => setTeam(tx, ctx, idOf(req), input), refused: (refusal, typed) => team(req, reply, refusal, typed) }))

  const pause = async (req: FastifyRequest, reply: FastifyReply, refusal?: Refusal, typed?: Typed) =>
    reply.view(Pause, { build: await buildHead(db, idOf(req)), refusal, typed }, { status: refusal?.status ?? 200 })
  app.get('/builds/:buildId/pause', EDIT, (req, reply) => pause(req, reply))
  app.post('/builds/:buildId/pause', EDIT, (req, reply) =>
    write(req, reply, { schema: PauseForm, run: (tx, ctx, input) => pauseBuild(tx, ctx, idOf(req), input), refused: (refusal, typed) => pause(req, reply, refusal, typed) }))
  app.post('/builds/:buildId/resume', EDIT, (req, reply) =>
    write(req, reply, { schema: VersionForm, run: (tx, ctx, input) => resumeBuild(tx, ctx, idOf(req), input.version), refused: (refusal, typed) => pause(req, reply, refusal, typed) }))

  holdRoutes(app, deps)
  app.post('/builds/:buildId/phases/:phaseId', EDIT, (req, reply) =>
    write(req, reply, {
      schema: PhaseForm,
      run: (tx, ctx, input) => renamePhase(tx, ctx, idOf(req), param(req, 'phaseId'), input.name),
      refused: async (refusal, typed) => reply.view(BuildPage, { ...(await buildPage(db, idOf(req), deps.clock.now())), refusal, typed, phaseId: param(req, 'phaseId') }, { status: refusal.status }),
    }))
}

function holdRoutes(app: FastifyInstance, { db }: Deps): void {
  const page = async (req: FastifyRequest, reply: FastifyReply, refusal?: Refusal, typed?: Typed) =>
    reply.view(Holds, { build: await buildHead(db, idOf(req)), ...(await holdsPage(db, idOf(req))), refusal, typed }, { status: refusal?.status ?? 200 })
  app.get('/builds/:buildId/holds', VIEW, (req, reply) => page(req, reply))
  app.post('/builds/:buildId/holds', EDIT, (req, reply) =>
    write(req, reply, { schema: HoldForm, run: (tx, ctx, input) => addHold(tx, ctx, idOf(req), input), refused: (refusal, typed) => page(req, reply, refusal, typed) }))
  app.post('/builds/:buildId/holds/:holdId/remove', EDIT, (req, reply) =>
    write(req, reply, { schema: NoForm, run: (tx, ctx) => removeHold(tx, ctx, idOf(req), param(req, 'holdId')), refused: (refusal, typed) => page(req, reply, refusal, typed) }))
}
