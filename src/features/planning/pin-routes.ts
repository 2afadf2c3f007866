import type { FastifyInstance, FastifyReply } from 'fastify'
import { BuildPlanPage } from '../../../views/planning/build-plan.tsx'
import type { Deps } from '../../platform/deps.ts'
import { found } from '../../platform/errors.ts'
import { safePath } from '../../platform/request.ts'
import { refused, write, type Refusal } from '../../platform/write.ts'
import { pinPiece, unpin } from '../builds/public.ts'
import { buildPlan } from './queries/build-plan.ts'
import { pinOfPiece, pinOfSuggestion, taskOfPin, type PinOf } from './queries/pin.ts'
import { PinPieceForm, TakeForm, UnpinForm } from './schemas.ts'

const GONE = 'The plan has changed meanwhile, and this piece is not there any more. Here is the plan as it is now.'

/** Pins from the plan's own page, where a piece is held as it stands; the builds' pages pin at any time. */
export function pinRoutes(app: FastifyInstance, deps: Deps): void {
  const { db } = deps
  const may = { config: { may: 'planning.pin' } }
  const again = (buildId: string, reply: FastifyReply) => async (refusal: Refusal) =>
    reply.view(BuildPlanPage, { ...(await buildPlan(db, found(reply.request.member), buildId)), refusal }, { status: refusal.status })

  app.post('/builds/:buildId/plan/pin', may, (req, reply) => {
    const buildId = found(req.build).id
    return write(req, reply, {
      schema: PinPieceForm,
      run: async (tx, ctx, { piece }) => here(await pinOfPiece(tx, buildId, piece, ctx.now), `/builds/${buildId}/plan`, (pin) => pinPiece(tx, ctx, buildId, pin.taskId, pin.input)),
      refused: again(buildId, reply),
    })
  })

  app.post('/builds/:buildId/plan/unpin', may, (req, reply) => {
    const buildId = found(req.build).id
    return write(req, reply, {
      schema: UnpinForm,
      run: async (tx, ctx, { pin }) => {
        const taskId = await taskOfPin(tx, buildId, pin)
        if (taskId === null) return refused(404, 'This pin is not there any more.')
        const done = await unpin(tx, ctx, buildId, taskId, pin)
        return done.ok ? { ...done, value: { ...done.value, location: `/builds/${buildId}/plan` } } : done
      },
      refused: again(buildId, reply),
    })
  })

  app.post('/builds/:buildId/plan/take', may, (req, reply) => {
    const buildId = found(req.build).id
    return write(req, reply, {
      schema: TakeForm,
      run: async (tx, ctx, asked) => here(await pinOfSuggestion(tx, buildId, asked, ctx.now), safePath(asked.back), (pin) => pinPiece(tx, ctx, buildId, pin.taskId, pin.input)),
      refused: again(buildId, reply),
    })
  })
}

/** Does it with the pin, if its piece is still there, and comes back to the page it was asked on. */
async function here(pin: PinOf | null, location: string, act: (pin: PinOf) => ReturnType<typeof pinPiece>): ReturnType<typeof pinPiece> {
  if (!pin) return refused(409, GONE)
  const done = await act(pin)
  return done.ok ? { ...done, value: { ...done.value, location } } : done
}
