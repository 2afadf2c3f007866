import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { ChooseVariedPage, OptionsFormPage } from '../../../../views/planning/options-form.tsx'
import { OptionSheetPage, type SheetRefused } from '../../../../views/planning/options-sheet.tsx'
import { OptionSheetsPage } from '../../../../views/planning/options.tsx'
import { refuse, type Result } from '../../../core/result.ts'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { isUuid } from '../../../platform/request.ts'
import { fromZod, refused, write, type Ctx, type Refusal, type Typed } from '../../../platform/write.ts'
import { solveInThread } from '../jobs/thread.ts'
import { workOut } from '../jobs/work-out.ts'
import { LAUNCHED, removeSheet, saveSheet } from './commands/save.ts'
import { keepResults, WORKED_MEANWHILE, type Worked } from './commands/results.ts'
import { takeOption } from './commands/take.ts'
import { isAnswered } from './queries/answered.ts'
import { choosePage, editSheetForm, newSheetForm, type SheetFormPage } from './queries/form.ts'
import { sheetBuild, sheetPage, sheetsPage } from './queries/sheet.ts'
import { askedPrices, withPrices } from './prices.ts'
import { NewSheetQuery, RemoveSheetForm, SheetForm, TakeOptionForm, WorkForm, type WorkInput } from './schemas.ts'
import { inTurn } from './turns.ts'

const VIEW = { config: { may: 'builds.view' } }
const EDIT = { config: { may: 'builds.edit' } }
const buildOf = (req: FastifyRequest): string => found(req.build).id
const sheetOf = (req: FastifyRequest): string => {
  const { sheetId } = req.params as { sheetId?: unknown }
  return found(isUuid(sheetId) ? sheetId : null)
}

/** Two or more ways to build a thing, compared and taken. */
export function optionRoutes(app: FastifyInstance, deps: Deps): void {
  const { db, clock } = deps
  app.get('/builds/:buildId/options', VIEW, async (req, reply) => reply.view(OptionSheetsPage, await sheetsPage(db, buildOf(req))))

  app.get('/builds/:buildId/options/new', EDIT, async (req, reply) => {
    const build = await sheetBuild(db, buildOf(req))
    const asked = NewSheetQuery.parse(req.query)
    const form = await newSheetForm(db, build, asked)
    if (form) return reply.view(OptionsFormPage, form)
    // The button was pressed with nothing ticked.
    const refusal = !asked.isChosen ? undefined : { status: 422, message: 'Nothing is chosen yet.', fields: { vary: 'Choose at least one measurement that the options differ in' } }
    return reply.view(ChooseVariedPage, { ...(await choosePage(db, build)), refusal }, refusal ? { status: 422 } : {})
  })

  const units = (req: FastifyRequest) => found(req.club).units
  app.post('/builds/:buildId/options', EDIT, (req, reply) => {
    const buildId = buildOf(req)
    return write(req, reply, {
      schema: SheetForm,
      run: (tx, ctx, input) => saveSheet(tx, ctx, { buildId, sheetId: null, units: units(req) }, input),
      refused: async (refusal, typed) => {
        const build = await sheetBuild(db, buildId)
        const form = await newSheetForm(db, build, { preset: '', vary: [typed['vary'] ?? []].flat() })
        if (!form) return reply.view(ChooseVariedPage, { ...(await choosePage(db, build)), refusal }, { status: refusal.status })
        return again(reply, form, refusal, typed)
      },
    })
  })

  app.get('/builds/:buildId/options/:sheetId/edit', EDIT, async (req, reply) =>
    reply.view(OptionsFormPage, await editSheetForm(db, found(req.member), buildOf(req), sheetOf(req))))
  app.post('/builds/:buildId/options/:sheetId/edit', EDIT, (req, reply) => {
    const [buildId, sheetId] = [buildOf(req), sheetOf(req)]
    return write(req, reply, {
      schema: SheetForm,
      run: (tx, ctx, input) => saveSheet(tx, ctx, { buildId, sheetId, units: units(req) }, input),
      refused: async (refusal, typed) => again(reply, await editSheetForm(db, found(req.member), buildId, sheetId), refusal, typed),
    })
  })

  const sheet = async (req: FastifyRequest, reply: FastifyReply, not?: SheetRefused) => {
    const page = await sheetPage(db, found(req.member), buildOf(req), sheetOf(req))
    return reply.view(OptionSheetPage, { ...page, prices: askedPrices(page.sheet.options, page.sheet.results), not }, { status: not?.refusal.status ?? 200 })
  }
  app.get('/builds/:buildId/options/:sheetId', VIEW, (req, reply) => sheet(req, reply))

  app.post('/builds/:buildId/options/:sheetId/take', EDIT, (req, reply) => {
    const where = { buildId: buildOf(req), sheetId: sheetOf(req) }
    return write(req, reply, { schema: TakeOptionForm, run: (tx, ctx, input) => takeOption(tx, ctx, where, input), refused: (refusal, typed) => sheet(req, reply, { form: 'take', refusal, typed }) })
  })
  app.post('/builds/:buildId/options/:sheetId/remove', EDIT, (req, reply) =>
    write(req, reply, {
      schema: RemoveSheetForm,
      run: (tx, ctx, input) => removeSheet(tx, ctx, buildOf(req), sheetOf(req), input.version),
      refused: (refusal, typed) => sheet(req, reply, { form: 'remove', refusal, typed }),
    }))

  const solver = solveInThread()
  app.addHook('preClose', async () => solver.close())
  const turn = inTurn()

  /** Outside of any transaction of the write: only what came of it is kept in one. */
  const worked = async (req: FastifyRequest, input: WorkInput): Promise<Result<Worked, Refusal>> => {
    const { build, sheet: row } = await sheetPage(db, found(req.member), buildOf(req), sheetOf(req))
    if (row.version !== input.version) return refused(409, WORKED_MEANWHILE)
    if (build.state === 'launched') return refused(422, LAUNCHED)
    const { options, fields } = req.may('builds.money') ? withPrices(row.options, row.results, input.prices) : { options: [...row.options], fields: {} }
    if (Object.keys(fields).length > 0) return refused(422, 'Some prices can’t be read. Nothing was worked out.', { fields })
    const ctx: Ctx = { now: clock.now(), member: found(req.member), clubZone: req.club?.zone ?? 'UTC', log: req.log, may: (permission, onTeam) => req.may(permission, onTeam) }
    const results = await workOut({ db, solver, log: req.log, club: req.club }, ctx, build.id, options)
    return results.ok ? { ok: true, value: { options, results: results.value } } : results
  }

  app.post('/builds/:buildId/options/:sheetId/work', EDIT, (req, reply) =>
    // Whoever presses it second waits, and is shown what came of it.
    turn(async () => {
      const body = (req.body ?? {}) as Typed
      const asked = WorkForm.safeParse(body)
      // A form sent twice gets the answer of its first time; nothing is worked out again for it.
      const result = !asked.success ? refuse(fromZod(asked.error)) : (await isAnswered(db, String(body['once']))) ? null : await worked(req, asked.data)
      return write(req, reply, {
        schema: WorkForm,
        run: async (tx, ctx, input) => {
          if (result === null) return refused(409, WORKED_MEANWHILE)
          return result.ok ? keepResults(tx, ctx, { buildId: buildOf(req), sheetId: sheetOf(req), version: input.version }, result.value) : result
        },
        refused: (refusal, typed) => sheet(req, reply, { form: 'work', refusal, typed }),
      })
    }))
}

const again = (reply: FastifyReply, form: SheetFormPage, refusal: Refusal, typed: Typed) => reply.view(OptionsFormPage, { ...form, refusal, typed }, { status: refusal.status })
