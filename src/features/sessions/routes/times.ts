import type { FastifyInstance, FastifyRequest } from 'fastify'
import { MyTimesView, type MyTimesProps } from '../../../../views/sessions/my-times.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { Nothing } from '../../../platform/form-fields.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { addHome, addOwnHours, addUsual, deleteOwnHours, deleteUsual } from '../commands/times.ts'
import { timesPage } from '../queries/times.ts'
import { HomeForm, OwnHoursForm, UsualForm } from '../schemas/times.ts'
import { idIn, todayIn } from './params.ts'

/** The same page for oneself and, for those without a sign-in, in an officer's hands. */
export default function routes(app: FastifyInstance, deps: Deps): void {
  timesAt(app, deps, '/my-times', 'times.own', (req) => found(req.member).id)
  timesAt(app, deps, '/members/:memberId/times', 'times.others', (req) => idIn(req, 'memberId'))
}

function timesAt(app: FastifyInstance, { db, clock }: Deps, url: string, permission: string, memberIn: (req: FastifyRequest) => string): void {
  const may = { config: { may: permission } }
  const base = (req: FastifyRequest) => url.replace(':memberId', memberIn(req))
  const whose = (req: FastifyRequest) => ({ memberId: memberIn(req), back: base(req) })
  const page = async (req: FastifyRequest, sent: Pick<MyTimesProps, 'form'> & { refusal?: Refusal; typed?: Typed } = {}) =>
    ({ ...found(await timesPage(db, memberIn(req))), base: base(req), today: todayIn(req, clock.now()), ...sent })
  const again = (req: FastifyRequest, reply: Parameters<typeof write>[1], form?: MyTimesProps['form']) => async (refusal: Refusal, typed: Typed) =>
    reply.view(MyTimesView, await page(req, { ...(form && { form, typed }), refusal }), { status: refusal.status })

  app.get(url, may, async (req, reply) => reply.view(MyTimesView, await page(req)))
  app.post(`${url}/usual`, may, (req, reply) =>
    write(req, reply, { schema: UsualForm, run: (tx, ctx, input) => addUsual(tx, ctx, whose(req), input), refused: again(req, reply, 'usual') }))
  app.post(`${url}/usual/:usualId/delete`, may, (req, reply) =>
    write(req, reply, { schema: Nothing, run: (tx, ctx) => deleteUsual(tx, ctx, whose(req), idIn(req, 'usualId')), refused: again(req, reply) }))
  app.post(`${url}/own-hours`, may, (req, reply) =>
    write(req, reply, { schema: OwnHoursForm, run: (tx, ctx, input) => addOwnHours(tx, ctx, whose(req), input), refused: again(req, reply, 'own-hours') }))
  app.post(`${url}/own-hours/:ownId/delete`, may, (req, reply) =>
    write(req, reply, { schema: Nothing, run: (tx, ctx) => deleteOwnHours(tx, ctx, whose(req), idIn(req, 'ownId')), refused: again(req, reply) }))
  app.post(`${url}/home`, may, (req, reply) =>
    write(req, reply, { schema: HomeForm, run: (tx, ctx, input) => addHome(tx, ctx, whose(req), input), refused: again(req, reply, 'home') }))
}
