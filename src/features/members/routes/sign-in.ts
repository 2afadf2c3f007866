import type { FastifyInstance } from 'fastify'
import { Invited } from '../../../../views/members/invited.tsx'
import { SignIn } from '../../../../views/members/sign-in.tsx'
import { ok } from '../../../core/result.ts'
import type { Deps } from '../../../platform/deps.ts'
import { clearSignInCookie, safePath, setSignInCookie } from '../../../platform/request.ts'
import { COOKIE } from '../../../platform/sign-in.ts'
import { writePublic } from '../../../platform/write.ts'
import { takeUpInvitation } from '../commands/invitation.ts'
import { InvitedForm, NoForm, SignInForm } from '../schemas.ts'

const may = { config: { may: 'members.signIn' } }

export default function routes(app: FastifyInstance, { db, signIn }: Deps): void {
  app.get('/sign-in', may, async (req, reply) => {
    const then = safePath((req.query as { then?: unknown }).then)
    if (!req.club) return reply.redirect('/set-up', 303)
    if (req.member) return reply.redirect(then, 303)
    return reply.view(SignIn, { then })
  })

  app.post('/sign-in', may, (req, reply) =>
    writePublic(req, reply, {
      schema: SignInForm,
      run: async (_tx, _ctx, input) => {
        const entered = await signIn.enter({ ...input, address: req.ip })
        if (!entered.ok) return entered
        setSignInCookie(req, reply, entered.value.secret)
        return ok({ location: safePath(input.then) })
      },
      refused: (refusal, typed) => reply.view(SignIn, { then: safePath(typed['then']), refusal, typed }, { status: refusal.status }),
    }))

  app.post('/sign-out', may, (req, reply) =>
    writePublic(req, reply, {
      schema: NoForm,
      run: async () => {
        const secret = req.cookies[COOKIE]
        if (secret) await signIn.leave(secret)
        clearSignInCookie(req, reply)
        return ok({ location: '/sign-in', flash: 'You are signed out.' })
      },
      refused: (refusal) => reply.view(SignIn, { then: '/', refusal }, { status: refusal.status }),
    }))

  app.get('/invite/:token', may, async (req, reply) => {
    const { token } = req.params as { token: string }
    const open = await signIn.invitation(db, token)
    return reply.view(Invited, { token, open }, { status: open ? 200 : 404 })
  })

  app.post('/invite/:token', may, (req, reply) => {
    const { token } = req.params as { token: string }
    return writePublic(req, reply, {
      schema: InvitedForm,
      run: async (tx, ctx, input) => {
        const taken = await takeUpInvitation(tx, ctx, signIn, token, input)
        if (!taken.ok) return taken
        setSignInCookie(req, reply, taken.value)
        return ok({ location: '/', flash: 'Welcome. You are signed in on this device for 30 days.' })
      },
      refused: async (refusal, typed) => reply.view(Invited, { token, open: await signIn.invitation(db, token), refusal, typed }, { status: refusal.status }),
    })
  })
}
