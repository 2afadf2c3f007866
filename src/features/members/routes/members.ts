import type { FastifyInstance, FastifyRequest } from 'fastify'
import { MemberView } from '../../../../views/members/member.tsx'
import { MembersView } from '../../../../views/members/members.tsx'
import { NewMemberView, type NewMemberProps } from '../../../../views/members/new-member.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { isUuid } from '../../../platform/request.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { dropCompetence, holdCompetence } from '../commands/competences.ts'
import { invite, newMember, saveMember } from '../commands/members.ts'
import { memberList, memberPage } from '../queries/members.ts'
import { HeldForm, MemberForm, NewMemberForm, NoForm } from '../schemas.ts'
import { localDate } from '../../../platform/times.ts'

const view = { config: { may: 'members.view' } }
const edit = { config: { may: 'members.edit' } }

const idOf = (req: FastifyRequest, name = 'id'): string => {
  const value = (req.params as Record<string, string>)[name]
  return found(isUuid(value) ? value : null)
}

export default function routes(app: FastifyInstance, { db, clock, config, signIn }: Deps): void {
  const base = (req: FastifyRequest) => (config.publicUrl ?? `${req.protocol}://${req.host}`).replace(/\/$/, '')
  const today = (req: FastifyRequest) => localDate(req.club?.zone ?? 'UTC', clock.now())
  const page = async (req: FastifyRequest, more: { form?: 'member' | 'held'; refusal?: Refusal; typed?: Typed } = {}) =>
    ({ member: found(await memberPage(db, idOf(req))), today: today(req), ...more })

  app.get('/members', view, async (req, reply) => reply.view(MembersView, { members: await memberList(db), today: today(req) }))
  app.get('/members/new', edit, async (_req, reply) => reply.view<NewMemberProps>(NewMemberView, {}))
  app.post('/members/new', edit, (req, reply) =>
    write(req, reply, {
      schema: NewMemberForm,
      run: newMember,
      refused: (refusal, typed) => reply.view(NewMemberView, { refusal, typed }, { status: refusal.status }),
    }))

  app.get('/members/:id', view, async (req, reply) => reply.view(MemberView, await page(req)))
  app.post('/members/:id', edit, (req, reply) =>
    write(req, reply, {
      schema: MemberForm,
      run: (tx, ctx, input) => saveMember(tx, ctx, idOf(req), input),
      refused: async (refusal, typed) => reply.view(MemberView, await page(req, { form: 'member', refusal, typed }), { status: refusal.status }),
    }))
  app.post('/members/:id/invite', edit, (req, reply) =>
    write(req, reply, {
      schema: NoForm,
      run: (tx, ctx) => invite(tx, ctx, signIn, idOf(req), base(req)),
      refused: async (refusal) => reply.view(MemberView, await page(req, { refusal }), { status: refusal.status }),
    }))
  app.post('/members/:id/competences', edit, (req, reply) =>
    write(req, reply, {
      schema: HeldForm,
      run: (tx, ctx, input) => holdCompetence(tx, ctx, idOf(req), input, today(req)),
      refused: async (refusal, typed) => reply.view(MemberView, await page(req, { form: 'held', refusal, typed }), { status: refusal.status }),
    }))
  app.post('/members/:id/competences/:competenceId/remove', edit, (req, reply) =>
    write(req, reply, {
      schema: NoForm,
      run: (tx, ctx) => dropCompetence(tx, ctx, idOf(req), idOf(req, 'competenceId')),
      refused: async (refusal) => reply.view(MemberView, await page(req, { refusal }), { status: refusal.status }),
    }))
}
