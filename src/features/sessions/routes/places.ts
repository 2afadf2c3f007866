import type { FastifyInstance, FastifyRequest } from 'fastify'
import { PlaceView, type PlaceProps } from '../../../../views/sessions/place.tsx'
import { NewPlaceView, SiteView } from '../../../../views/sessions/place-form.tsx'
import { WorkshopView } from '../../../../views/sessions/workshop.tsx'
import { temperature } from '../../../../views/shared/format.ts'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { Nothing, Version } from '../../../platform/form-fields.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { addClosure, addPlace, addReading, deleteClosure, deleteReading, editPlace, saveSite } from '../commands/places.ts'
import { climatePreset, climatePresets, isSouthern } from '../presets.ts'
import { placePage, sitePage, sites, workshop } from '../queries/workshop.ts'
import { ClosureForm, PlaceForm, placeFields, ReadingForm, SiteForm } from '../schemas/place.ts'
import { idIn, todayIn, unitsIn } from './params.ts'

const view = { config: { may: 'workshop.view' } }
const edit = { config: { may: 'workshop.edit' } }
const read = { config: { may: 'workshop.read' } }
type Sent = Pick<PlaceProps, 'form'> & { refusal?: Refusal; typed?: Typed }

export default function routes(app: FastifyInstance, { db, clock }: Deps): void {
  app.get('/workshop', view, async (req, reply) => {
    const { id, roles } = found(req.member)
    const sees = (b: { visibility: string; team: { memberId: string }[] }) => b.visibility === 'club' || roles.includes('officer') || b.team.some((t) => t.memberId === id)
    return reply.view(WorkshopView, await workshop(db, clock.now(), sees))
  })
  sitesOf(app, db)

  const newPage = async (req: FastifyRequest, sent: Sent = {}) => {
    const { like } = req.query as { like?: string }
    const preset = climatePreset(like, isSouthern(req.club?.zone ?? 'UTC', clock.now()))
    const fields = placeFields({ ...preset, name: '', siteId: '', bays: preset.key === 'tent' ? 0 : 1, isActive: true }, unitsIn(req))
    return { sites: await sites(db), fields, presets: climatePresets, preset: preset.key, ...sent }
  }
  app.get('/workshop/places/new', edit, async (req, reply) => reply.view(NewPlaceView, await newPage(req)))
  app.post('/workshop/places/new', edit, (req, reply) =>
    write(req, reply, {
      schema: PlaceForm(unitsIn(req)),
      run: addPlace,
      refused: async (refusal, typed) => reply.view(NewPlaceView, await newPage(req, { refusal, typed }), { status: refusal.status }),
    }))

  const page = async (req: FastifyRequest, sent: Sent = {}) => {
    const loaded = found(await placePage(db, idIn(req, 'placeId'), clock.now()))
    return { ...loaded, fields: placeFields(loaded.place, unitsIn(req)), today: todayIn(req, clock.now()), ...sent }
  }
  app.get('/workshop/places/:placeId', view, async (req, reply) => reply.view(PlaceView, await page(req)))
  app.post('/workshop/places/:placeId', edit, (req, reply) =>
    write(req, reply, {
      schema: PlaceForm(unitsIn(req)).and(Version),
      run: (tx, ctx, { version, ...input }) => editPlace(tx, ctx, idIn(req, 'placeId'), version, input, unitsIn(req)),
      refused: async (refusal, typed) => reply.view(PlaceView, await page(req, { form: 'place', refusal, typed }), { status: refusal.status }),
    }))
  app.post('/workshop/places/:placeId/readings', read, (req, reply) =>
    write(req, reply, {
      schema: ReadingForm(unitsIn(req)),
      run: (tx, ctx, input) => addReading(tx, ctx, idIn(req, 'placeId'), input, (celsius) => temperature(celsius, req.club)),
      refused: async (refusal, typed) => reply.view(PlaceView, await page(req, { form: 'reading', refusal, typed }), { status: refusal.status }),
    }))
  app.post('/workshop/places/:placeId/readings/:readingId/delete', read, (req, reply) =>
    write(req, reply, {
      schema: Nothing,
      run: (tx, ctx) => deleteReading(tx, ctx, idIn(req, 'placeId'), idIn(req, 'readingId')),
      refused: async (refusal) => reply.view(PlaceView, await page(req, { refusal }), { status: refusal.status }),
    }))
  app.post('/workshop/places/:placeId/closures', edit, (req, reply) =>
    write(req, reply, {
      schema: ClosureForm,
      run: (tx, ctx, input) => addClosure(tx, ctx, idIn(req, 'placeId'), input),
      refused: async (refusal, typed) => reply.view(PlaceView, await page(req, { form: 'closure', refusal, typed }), { status: refusal.status }),
    }))
  app.post('/workshop/places/:placeId/closures/:closureId/delete', edit, (req, reply) =>
    write(req, reply, {
      schema: Nothing,
      run: (tx, ctx) => deleteClosure(tx, ctx, idIn(req, 'placeId'), idIn(req, 'closureId')),
      refused: async (refusal) => reply.view(PlaceView, await page(req, { refusal }), { status: refusal.status }),
    }))
}

function sitesOf(app: FastifyInstance, db: Deps['db']): void {
  const page = async (siteId: string | null, sent: Sent = {}) => ({ ...found(await sitePage(db, siteId)), ...sent })
  for (const [url, idOf] of [['/workshop/sites/new', () => null], ['/workshop/sites/:siteId', (req: FastifyRequest) => idIn(req, 'siteId')]] as const) {
    app.get(url, edit, async (req, reply) => reply.view(SiteView, await page(idOf(req))))
    app.post(url, edit, (req, reply) =>
      write(req, reply, {
        schema: SiteForm,
        run: (tx, ctx, input) => saveSite(tx, ctx, idOf(req), input),
        refused: async (refusal, typed) => reply.view(SiteView, await page(idOf(req), { refusal, typed }), { status: refusal.status }),
      }))
  }
}
