import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { Measurements } from '../../../../views/builds/measurements.tsx'
import { PanelPage } from '../../../../views/builds/panel.tsx'
import { Panels } from '../../../../views/builds/panels.tsx'
import { SeamPage } from '../../../../views/builds/seam.tsx'
import { Seams } from '../../../../views/builds/seams.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { decideFate, saveMeasured, savePanel, saveSeam, type Fate, type Part } from '../commands/geometry.ts'
import { buildHead } from '../queries/build-page.ts'
import { panelForm, seamForm, unlikely } from '../queries/geometry-forms.ts'
import { measurementsPage, panelsPage, seamsPage } from '../queries/geometry.ts'
import { VersionForm } from '../schemas/build.ts'
import { GeometryForm, MeasurementsForm } from '../schemas/geometry.ts'

const VIEW = { config: { may: 'builds.view' } }
const EDIT = { config: { may: 'builds.edit' } }
const idOf = (req: FastifyRequest): string => found(req.build).id
const keyOf = (req: FastifyRequest, name: 'panelKey' | 'seamKey'): string => (req.params as Record<string, string>)[name] ?? ''
const unitsOf = (req: FastifyRequest) => found(req.club).units

export function geometryRoutes(app: FastifyInstance, deps: Deps): void {
  measurementRoutes(app, deps)
  panelRoutes(app, deps)
  seamRoutes(app, deps)
  for (const [part, name] of [['panels', 'panelKey'], ['seams', 'seamKey']] as const) fateRoutes(app, deps, part, name)
}

function measurementRoutes(app: FastifyInstance, { db }: Deps): void {
  const page = async (req: FastifyRequest, reply: FastifyReply, refusal?: Refusal, typed?: Typed) => {
    const isDoubt = typed !== undefined && (await unlikely(db, idOf(req), typed, unitsOf(req)))
    return reply.view(Measurements, { build: await buildHead(db, idOf(req)), model: await measurementsPage(db, idOf(req)), isDoubt, refusal, typed }, { status: refusal?.status ?? 200 })
  }
  app.get('/builds/:buildId/measurements', VIEW, (req, reply) => page(req, reply))
  app.post('/builds/:buildId/measurements', EDIT, (req, reply) =>
    write(req, reply, {
      schema: MeasurementsForm,
      run: (tx, ctx, { version, grade, skill, ...sent }) => saveMeasured(tx, ctx, idOf(req), { version, grade, skill, sent, units: unitsOf(req) }),
      refused: (refusal, typed) => page(req, reply, refusal, typed),
    }))
}

function panelRoutes(app: FastifyInstance, { db }: Deps): void {
  app.get('/builds/:buildId/panels', VIEW, async (req, reply) => reply.view(Panels, { build: await buildHead(db, idOf(req)), model: await panelsPage(db, idOf(req)) }))

  /** Shown with what the address says was typed: more rows, another way to measure, the area before it is saved. */
  const page = async (req: FastifyRequest, reply: FastifyReply, key: string | null, refusal?: Refusal, typed?: Typed) => {
    const sent = typed ?? asked(req, 'how')
    const model = found(await panelForm(db, idOf(req), key, sent, unitsOf(req), sent ?? (req.query as Typed)))
    return reply.view(PanelPage, { build: await buildHead(db, idOf(req)), model, refusal: refusal ?? model.preview, typed: sent }, { status: refusal?.status ?? 200 })
  }
  const save = (req: FastifyRequest, reply: FastifyReply, key: string | null) =>
    write(req, reply, {
      schema: GeometryForm,
      run: (tx, ctx, { version, ...sent }) => savePanel(tx, ctx, idOf(req), key, { version, sent, units: unitsOf(req) }),
      refused: (refusal, typed) => page(req, reply, key, refusal, typed),
    })
  app.get('/builds/:buildId/panels/new', EDIT, (req, reply) => page(req, reply, null))
  app.post('/builds/:buildId/panels/new', EDIT, (req, reply) => save(req, reply, null))
  app.get('/builds/:buildId/panels/:panelKey', VIEW, (req, reply) => page(req, reply, keyOf(req, 'panelKey')))
  app.post('/builds/:buildId/panels/:panelKey', EDIT, (req, reply) => save(req, reply, keyOf(req, 'panelKey')))
}

function seamRoutes(app: FastifyInstance, { db }: Deps): void {
  app.get('/builds/:buildId/seams', VIEW, async (req, reply) => reply.view(Seams, { build: await buildHead(db, idOf(req)), model: await seamsPage(db, idOf(req)) }))

  const page = async (req: FastifyRequest, reply: FastifyReply, key: string | null, refusal?: Refusal, typed?: Typed) => {
    const sent = typed ?? asked(req, 'length')
    const model = found(await seamForm(db, idOf(req), key, sent, unitsOf(req), sent ?? (req.query as Typed)))
    return reply.view(SeamPage, { build: await buildHead(db, idOf(req)), model, refusal: refusal ?? model.preview, typed: sent }, { status: refusal?.status ?? 200 })
  }
  const save = (req: FastifyRequest, reply: FastifyReply, key: string | null) =>
    write(req, reply, {
      schema: GeometryForm,
      run: (tx, ctx, { version, ...sent }) => saveSeam(tx, ctx, idOf(req), key, { version, sent, units: unitsOf(req) }),
      refused: (refusal, typed) => page(req, reply, key, refusal, typed),
    })
  app.get('/builds/:buildId/seams/new', EDIT, (req, reply) => page(req, reply, null))
  app.post('/builds/:buildId/seams/new', EDIT, (req, reply) => save(req, reply, null))
  app.get('/builds/:buildId/seams/:seamKey', VIEW, (req, reply) => page(req, reply, keyOf(req, 'seamKey')))
  app.post('/builds/:buildId/seams/:seamKey', EDIT, (req, reply) => save(req, reply, keyOf(req, 'seamKey')))
}

/** What the address holds of the form, where one of its buttons sent it there. */
function asked(req: FastifyRequest, field: string): Typed | undefined {
  const query = req.query as Typed
  return field in query ? query : undefined
}

const FATES: readonly Fate[] = ['guess', 'leave-out', 'take-in', 'remove']
function fateRoutes(app: FastifyInstance, { db }: Deps, part: Part, name: 'panelKey' | 'seamKey'): void {
  for (const fate of FATES) {
    app.post(`/builds/:buildId/${part}/:${name}/${fate}`, EDIT, (req, reply) =>
      write(req, reply, {
        schema: VersionForm,
        run: (tx, ctx, { version }) => decideFate(tx, ctx, idOf(req), part, keyOf(req, name), fate, version),
        refused: async (refusal) => {
          const build = await buildHead(db, idOf(req))
          const { status } = refusal
          return part === 'panels'
            ? reply.view(Panels, { build, model: await panelsPage(db, idOf(req)), refusal }, { status })
            : reply.view(Seams, { build, model: await seamsPage(db, idOf(req)), refusal }, { status })
        },
      }))
  }
}
