import type { FastifyInstance } from 'fastify'
import { SetUpView, type SetUpProps } from '../../../../views/sessions/set-up.tsx'
import { ok } from '../../../core/result.ts'
import type { Deps } from '../../../platform/deps.ts'
import { setSignInCookie } from '../../../platform/request.ts'
import { writePublic } from '../../../platform/write.ts'
import { startClub } from '../commands/set-up.ts'
import { SetUpForm } from '../schemas/set-up.ts'

const may = { config: { may: 'sessions.setUp' } }

export default function routes(app: FastifyInstance, { signIn }: Deps): void {
  app.get('/set-up', may, async (req, reply) => (req.club ? reply.redirect('/', 303) : reply.view<SetUpProps>(SetUpView, {})))

  app.post('/set-up', may, (req, reply) =>
    writePublic(req, reply, {
      schema: SetUpForm,
      run: async (tx, ctx, input) => {
        const started = await startClub(tx, ctx, signIn, input)
        if (!started.ok) return started
        setSignInCookie(req, reply, await signIn.enterWithin(tx, started.value.userId))
        return ok({ location: '/workshop', flash: `${input.club} is set up. This is what it begins with: correct places, tools and products to what is really there, then start a build.` })
      },
      refused: (refusal, typed) => reply.view<SetUpProps>(SetUpView, { refusal, typed }, { status: refusal.status }),
    }))
}
