import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { SplitTask } from '../../../../views/builds/split.tsx'
import { TaskForm } from '../../../../views/builds/task-form.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { addLink, removeLink } from '../commands/links.ts'
import { moveTask } from '../commands/move.ts'
import { pinPiece, unpin } from '../commands/pins.ts'
import { splitTask } from '../commands/split.ts'
import { addTask, deleteTask, editTask } from '../commands/task.ts'
import { buildHead } from '../queries/build-page.ts'
import { taskChoices, taskValues } from '../queries/task-form.ts'
import { NoForm } from '../schemas/logging.ts'
import { LinkForm, PinForm } from '../schemas/links.ts'
import { EditTaskForm, MoveForm, NewTaskForm, SplitForm } from '../schemas/task.ts'
import { idsOf, taskView } from './task-view.ts'

const EDIT = { config: { may: 'builds.edit' } }

export function taskRoutes(app: FastifyInstance, deps: Deps): void {
  const { db } = deps
  const show = taskView(deps)

  app.get('/builds/:buildId/tasks/:taskId', { config: { may: 'builds.view' } }, (req, reply) => show(req, reply))

  const newTask = async (req: FastifyRequest, reply: FastifyReply, refusal?: Refusal, typed?: Typed) => {
    const { buildId } = idsOf(req)
    const { after = '', phase = '' } = req.query as { after?: string; phase?: string }
    const values = { kind: 'shared', handsFrom: '1', handsTo: '2', setUp: '0', clearUp: '0', where: 'boat', smallest: '30', phaseId: phase, after }
    return reply.view(TaskForm, { build: await buildHead(db, buildId), choices: await taskChoices(db, buildId), task: null, values, refusal, typed }, { status: refusal?.status ?? 200 })
  }
  app.get('/builds/:buildId/tasks/new', EDIT, (req, reply) => newTask(req, reply))
  app.post('/builds/:buildId/tasks/new', EDIT, (req, reply) =>
    write(req, reply, { schema: NewTaskForm, run: (tx, ctx, input) => addTask(tx, ctx, idsOf(req).buildId, input), refused: (refusal, typed) => newTask(req, reply, refusal, typed) }))

  const edit = async (req: FastifyRequest, reply: FastifyReply, refusal?: Refusal, typed?: Typed) => {
    const { buildId, taskId } = idsOf(req)
    const values = await taskValues(db, buildId, taskId)
    return reply.view(TaskForm, { build: await buildHead(db, buildId), choices: await taskChoices(db, buildId), task: { id: taskId, name: String(values['name']) }, values, refusal, typed }, { status: refusal?.status ?? 200 })
  }
  app.get('/builds/:buildId/tasks/:taskId/edit', EDIT, (req, reply) => edit(req, reply))
  app.post('/builds/:buildId/tasks/:taskId/edit', EDIT, (req, reply) =>
    write(req, reply, {
      schema: EditTaskForm,
      run: (tx, ctx, input) => editTask(tx, ctx, idsOf(req).buildId, idsOf(req).taskId, input),
      refused: (refusal, typed) => edit(req, reply, refusal, typed),
    }))

  const split = async (req: FastifyRequest, reply: FastifyReply, refusal?: Refusal, typed?: Typed) => {
    const { buildId, taskId } = idsOf(req)
    const values = await taskValues(db, buildId, taskId)
    return reply.view(SplitTask, { build: await buildHead(db, buildId), taskId, values, refusal, typed }, { status: refusal?.status ?? 200 })
  }
  app.get('/builds/:buildId/tasks/:taskId/split', EDIT, (req, reply) => split(req, reply))
  app.post('/builds/:buildId/tasks/:taskId/split', EDIT, (req, reply) =>
    write(req, reply, {
      schema: SplitForm,
      run: (tx, ctx, input) => splitTask(tx, ctx, idsOf(req).buildId, idsOf(req).taskId, input),
      refused: (refusal, typed) => split(req, reply, refusal, typed),
    }))

  app.post('/builds/:buildId/tasks/:taskId/move', EDIT, (req, reply) =>
    write(req, reply, { schema: MoveForm, run: (tx, ctx, input) => moveTask(tx, ctx, idsOf(req).buildId, idsOf(req).taskId, input.to), refused: (refusal, typed) => show(req, reply, { form: 'task', refusal, typed }) }))
  app.post('/builds/:buildId/tasks/:taskId/delete', EDIT, (req, reply) =>
    write(req, reply, { schema: NoForm, run: (tx, ctx) => deleteTask(tx, ctx, idsOf(req).buildId, idsOf(req).taskId), refused: (refusal, typed) => show(req, reply, { form: 'task', refusal, typed }) }))

  app.post('/builds/:buildId/tasks/:taskId/links', EDIT, (req, reply) =>
    write(req, reply, { schema: LinkForm, run: (tx, ctx, input) => addLink(tx, ctx, idsOf(req).buildId, idsOf(req).taskId, input), refused: (refusal, typed) => show(req, reply, { form: 'link', refusal, typed }) }))
  app.post('/builds/:buildId/tasks/:taskId/links/:linkId/remove', EDIT, (req, reply) =>
    write(req, reply, {
      schema: NoForm,
      run: (tx, ctx) => removeLink(tx, ctx, idsOf(req).buildId, idsOf(req).taskId, (req.params as { linkId: string }).linkId),
      refused: (refusal, typed) => show(req, reply, { form: 'link', refusal, typed }),
    }))

  app.post('/builds/:buildId/tasks/:taskId/pins', EDIT, (req, reply) =>
    write(req, reply, {
      schema: PinForm,
      run: (tx, ctx, { day, from, until, ...rest }) => pinPiece(tx, ctx, idsOf(req).buildId, idsOf(req).taskId, { ...rest, day: found(day), from: found(from), until: found(until) }),
      refused: (refusal, typed) => show(req, reply, { form: 'pin', refusal, typed }),
    }))
  app.post('/builds/:buildId/tasks/:taskId/pins/:pinId/remove', EDIT, (req, reply) =>
    write(req, reply, {
      schema: NoForm,
      run: (tx, ctx) => unpin(tx, ctx, idsOf(req).buildId, idsOf(req).taskId, (req.params as { pinId: string }).pinId),
      refused: (refusal, typed) => show(req, reply, { form: 'pin', refusal, typed }),
    }))
}
