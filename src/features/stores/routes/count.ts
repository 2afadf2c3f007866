import type { FastifyInstance, FastifyRequest } from 'fastify'
import { CountFormPage, CountPage, CountSheetPage, CountsPage } from '../../../../views/stores/count.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { isUuid } from '../../../platform/request.ts'
import { write } from '../../../platform/write.ts'
import { takeStock } from '../commands/count.ts'
import { countPage, countsPage, lotsToCount, type CountPart } from '../queries/count.ts'
import { CountForm } from '../schemas/count.ts'
import { idIn } from './items.ts'

const VIEW = { config: { may: 'stores.view' } }
const COUNT = { config: { may: 'stores.draw' } }

const text = (value: unknown): string => (typeof value === 'string' ? value : '')
function partOf(req: FastifyRequest): CountPart {
  const query = req.query as Record<string, unknown>
  const [shelf, kind, item] = [text(query['shelf']), text(query['kind']), query['item']]
  return { ...(shelf !== '' && { shelf }), ...(kind !== '' && { kind }), ...(isUuid(item) && { item }) }
}

export default function count(app: FastifyInstance, { db, clock }: Deps): void {
  app.get('/stores/count', VIEW, async (_req, reply) => reply.view(CountsPage, await countsPage(db)))
  app.get('/stores/count/sheet', VIEW, async (req, reply) =>
    reply.view(CountSheetPage, { lots: await lotsToCount(db, clock.now(), partOf(req)), part: partOf(req), withBook: text((req.query as Record<string, unknown>)['book']) !== '' }))
  const form = async (req: FastifyRequest) => ({ lots: await lotsToCount(db, clock.now(), partOf(req)), part: partOf(req) })
  app.get('/stores/count/new', COUNT, async (req, reply) => reply.view(CountFormPage, await form(req)))
  app.post('/stores/count/new', COUNT, (req, reply) =>
    write(req, reply, {
      schema: CountForm,
      run: takeStock,
      refused: async (refusal, typed) => reply.view(CountFormPage, { ...(await form(req)), refusal, typed }, { status: refusal.status }),
    }))
  app.get('/stores/count/:countId', VIEW, async (req, reply) => reply.view(CountPage, await countPage(db, idIn(req, 'countId'))))
}
