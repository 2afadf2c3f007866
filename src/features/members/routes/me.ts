import type { FastifyInstance, FastifyRequest } from 'fastify'
import { MeView } from '../../../../views/members/me.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { setSignInCookie } from '../../../platform/request.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { saveMe } from '../commands/members.ts'
import { changePassword } from '../commands/password.ts'
import { memberPage, ownData } from '../queries/members.ts'
import { MeForm, PasswordForm } from '../schemas.ts'

const may = { config: { may: 'members.me' } }

export default function routes(app: FastifyInstance, { db, signIn }: Deps): void {
  const self = (req: FastifyRequest) => found(req.member).id
  const page = async (req: FastifyRequest, more: { form?: 'me' | 'password'; refusal?: Refusal; typed?: Typed } = {}) =>
    ({ member: found(await memberPage(db, self(req))), ...more })

  app.get('/me', may, async (req, reply) => reply.view(MeView, await page(req)))
  app.post('/me', may, (req, reply) =>
    write(req, reply, {
      schema: MeForm,
      run: saveMe,
      refused: async (refusal, typed) => reply.view(MeView, await page(req, { form: 'me', refusal, typed }), { status: refusal.status }),
    }))
  app.post('/me/password', may, (req, reply) =>
    write(req, reply, {
      schema: PasswordForm,
      run: async (tx, ctx, input) => {
        const changed = await changePassword(tx, ctx, signIn, input)
        if (!changed.ok) return changed
        setSignInCookie(req, reply, changed.value.secret)
        return { ok: true, value: changed.value.done }
      },
      refused: async (refusal) => reply.view(MeView, await page(req, { form: 'password', refusal }), { status: refusal.status }),
    }))

  app.get('/me/data', may, async (req, reply) =>
    reply.header('content-type', 'application/json; charset=utf-8').header('content-disposition', 'attachment; filename="my-data.json"')
      .header('cache-control', 'no-store').send(JSON.stringify(await ownData(db, self(req)), null, 2)))
}
