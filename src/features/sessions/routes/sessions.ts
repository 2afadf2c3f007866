import type { FastifyInstance, FastifyRequest } from 'fastify'
import { SessionView, type SessionProps } from '../../../../views/sessions/session.tsx'
import { EditSessionView, NewSessionView } from '../../../../views/sessions/session-form.tsx'
import { SessionListView } from '../../../../views/sessions/session-list.tsx'
import { addDays } from '../../../core/calendar/index.ts'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { Version } from '../../../platform/form-fields.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { answerSession, takeKey } from '../commands/answers.ts'
import { cancelSession, editSession, enterSessions, restoreSession, sessionFields } from '../commands/sessions.ts'
import { sessionChoices, sessionList, sessionPage } from '../queries/sessions.ts'
import { AnswerForm, CancelForm, EditSessionForm, firstOn, KeyForm, NewSessionForm } from '../schemas/session.ts'
import { dateColumn } from '../times.ts'
import { dayWords } from '../words.ts'
import { idIn, todayIn } from './params.ts'

const view = { config: { may: 'sessions.view' } }
const edit = { config: { may: 'sessions.edit' } }
const answer = { config: { may: 'sessions.answer' } }
/** Coming sessions on the list. */
const SHOWN = 16
type Sent = { refusal?: Refusal; typed?: Typed }

export default function routes(app: FastifyInstance, { db, clock }: Deps): void {
  app.get('/sessions', view, async (req, reply) => reply.view(SessionListView, await sessionList(db, found(req.member).id, clock.now(), SHOWN)))

  const newPage = async (req: FastifyRequest, sent: Sent = {}) => {
    const saturday = firstOn(todayIn(req, clock.now()), 6)
    const choices = await sessionChoices(db)
    return { choices, fields: { siteId: choices.sites[0]?.id ?? '', date: saturday, starts: '10:00', ends: '16:00', untilOn: addDays(saturday, 12 * 7) }, ...sent }
  }
  app.get('/sessions/new', edit, async (req, reply) => reply.view(NewSessionView, await newPage(req)))
  app.post('/sessions/new', edit, (req, reply) =>
    write(req, reply, {
      schema: NewSessionForm,
      run: enterSessions,
      refused: async (refusal, typed) => reply.view(NewSessionView, await newPage(req, { refusal, typed }), { status: refusal.status }),
    }))

  const page = async (req: FastifyRequest, sent: Sent & Pick<SessionProps, 'form'> = {}) => ({ ...found(await sessionPage(db, idIn(req, 'sessionId'), clock.now())), ...sent })
  app.get('/sessions/:sessionId', view, async (req, reply) => reply.view(SessionView, await page(req)))
  app.post('/sessions/:sessionId/answer', answer, (req, reply) =>
    write(req, reply, {
      schema: AnswerForm,
      run: (tx, ctx, input) => answerSession(tx, ctx, idIn(req, 'sessionId'), input),
      refused: async (refusal, typed) => reply.view(SessionView, await page(req, { form: 'answer', refusal, typed }), { status: refusal.status }),
    }))
  app.post('/sessions/:sessionId/key', answer, (req, reply) =>
    write(req, reply, {
      schema: KeyForm,
      run: (tx, ctx, input) => takeKey(tx, ctx, idIn(req, 'sessionId'), input),
      refused: async (refusal) => reply.view(SessionView, await page(req, { refusal }), { status: refusal.status }),
    }))
  app.post('/sessions/:sessionId/cancel', edit, (req, reply) =>
    write(req, reply, {
      schema: CancelForm,
      run: (tx, ctx, input) => cancelSession(tx, ctx, idIn(req, 'sessionId'), input),
      refused: async (refusal, typed) => reply.view(SessionView, await page(req, { form: 'cancel', refusal, typed }), { status: refusal.status }),
    }))
  app.post('/sessions/:sessionId/restore', edit, (req, reply) =>
    write(req, reply, {
      schema: Version,
      run: (tx, ctx, { version }) => restoreSession(tx, ctx, idIn(req, 'sessionId'), version),
      refused: async (refusal) => reply.view(SessionView, await page(req, { refusal }), { status: refusal.status }),
    }))

  const editPage = async (req: FastifyRequest, sent: Sent = {}) => {
    const { session } = found(await sessionPage(db, idIn(req, 'sessionId'), clock.now()))
    const row = { ...session, date: dateColumn(session.date) }
    return { session, title: dayWords(row), choices: await sessionChoices(db), fields: sessionFields(row), ...sent }
  }
  app.get('/sessions/:sessionId/edit', edit, async (req, reply) => reply.view(EditSessionView, await editPage(req)))
  app.post('/sessions/:sessionId/edit', edit, (req, reply) =>
    write(req, reply, {
      schema: EditSessionForm,
      run: (tx, ctx, input) => editSession(tx, ctx, idIn(req, 'sessionId'), input),
      refused: async (refusal, typed) => reply.view(EditSessionView, await editPage(req, { refusal, typed }), { status: refusal.status }),
    }))
}
