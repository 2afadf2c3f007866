import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { ImportPage, ListsPage } from '../../../../views/stores/import.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { fromZod, write, type Ctx, type Refusal, type Typed } from '../../../platform/write.ts'
import { importList, previewImport, type ImportReport } from '../commands/import.ts'
import { ENTRY_LIST, IMPORTS, ITEM_LIST, LOT_LIST, MOST_LINES, type ImportKind } from '../facts/import-columns.ts'
import { entriesCsv, itemsCsv, lotsCsv } from '../queries/export.ts'
import { ImportForm, LONGEST_LIST } from '../schemas/import.ts'
import { todayOf } from './orders.ts'

const KEEP = { config: { may: 'stores.keep' } }
const LISTS = { items: ITEM_LIST, lots: LOT_LIST, entries: ENTRY_LIST } as const

const about = (kind: ImportKind) => ({ kind, columns: LISTS[kind].columns as readonly string[], required: LISTS[kind].required as readonly string[], most: MOST_LINES[kind] })

export default function lists(app: FastifyInstance, { db, clock }: Deps): void {
  app.get('/stores/import', KEEP, async (_req, reply) => reply.view(ListsPage, {}))

  const csv = async (req: FastifyRequest, reply: FastifyReply, name: string, text: string) =>
    reply.header('content-type', 'text/csv; charset=utf-8; header=present').header('cache-control', 'no-store')
      .header('content-disposition', `attachment; filename="${name}-${todayOf(req)}.csv"`).send(text)
  app.get('/stores/export/items.csv', KEEP, async (req, reply) => csv(req, reply, 'items', await itemsCsv(db)))
  app.get('/stores/export/lots.csv', KEEP, async (req, reply) => csv(req, reply, 'lots', await lotsCsv(db)))
  app.get('/stores/export/entries.csv', KEEP, async (req, reply) => csv(req, reply, 'entries', await entriesCsv(db, req.club?.zone ?? 'UTC', found(req.member))))

  /** What a command is told of whoever asks, for a preview that is no write. */
  const ctxOf = (req: FastifyRequest): Ctx => ({
    now: clock.now(), member: found(req.member), clubZone: req.club?.zone ?? 'UTC', log: req.log, may: (permission, onTeam) => req.may(permission, onTeam),
  })

  for (const kind of IMPORTS) {
    const show = (reply: FastifyReply, more: { report?: ImportReport; refusal?: Refusal; typed?: Typed } = {}) =>
      reply.view(ImportPage, { ...about(kind), ...more }, { status: more.refusal?.status ?? 200 })
    app.get(`/stores/import/${kind}`, KEEP, (_req, reply) => show(reply))
    // Three bytes a character at most where all are coded.
    app.post(`/stores/import/${kind}`, { ...KEEP, bodyLimit: 3 * LONGEST_LIST }, async (req, reply) => {
      const typed = (req.body ?? {}) as Typed
      if (typed['do'] === 'import') {
        return write(req, reply, {
          schema: ImportForm,
          run: (tx, ctx, input) => importList(tx, ctx, kind, input),
          refused: (refusal, sent) => show(reply, { refusal, typed: sent, ...(isReport(refusal.current) && { report: refusal.current }) }),
        })
      }
      const parsed = ImportForm.safeParse(typed)
      if (!parsed.success) return show(reply, { refusal: fromZod(parsed.error), typed })
      return show(reply, { report: await previewImport(db, ctxOf(req), kind, parsed.data.text), typed })
    })
  }
}

const isReport = (value: unknown): value is ImportReport => typeof value === 'object' && value !== null && 'lines' in value && 'faults' in value
