import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { ChargesPage } from '../../../../views/builds/charges.tsx'
import { BuildCosts } from '../../../../views/builds/costs.tsx'
import { OwnCharges } from '../../../../views/builds/own-charges.tsx'
import { SettlementPage } from '../../../../views/builds/settlement.tsx'
import { ok } from '../../../core/result.ts'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { isUuid } from '../../../platform/request.ts'
import { localDate } from '../../../platform/times.ts'
import { write, type Refusal } from '../../../platform/write.ts'
import { setSharedBy, settle } from '../commands/settle.ts'
import { entriesCsv, totalsCsv } from '../facts/charges-csv.ts'
import { digest, SHARED_BY } from '../facts/charges.ts'
import { chargeEntries, chargesPage, settlementPage } from '../queries/charges.ts'
import { buildCosts, ownCharges } from '../queries/costs.ts'
import { idsOf } from './task-view.ts'

const MONEY = { config: { may: 'stores.money' } }
/** More entries than that are in the list for the treasurer. */
const SHOWN = 200
const INCOMPLETE = 'The page is incomplete: open it again'

const SettleForm = z.object({
  upTo: z.string().regex(/^\d{1,19}$/, INCOMPLETE).transform(BigInt).refine((n) => n < 2n ** 63n, INCOMPLETE),
  digest: z.string({ error: INCOMPLETE }).max(100_000),
  note: z.string().trim().max(500, 'Note: at most 500 characters').default(''),
})
const RuleForm = z.object({ sharedBy: z.enum(SHARED_BY, { error: 'Choose how shared use is spread' }) })

const csv = (reply: FastifyReply, name: string, text: string) =>
  reply.header('content-type', 'text/csv; charset=utf-8; header=present').header('content-disposition', `attachment; filename="${name}.csv"`).send(text)

export function chargeRoutes(app: FastifyInstance, { db, clock }: Deps): void {
  const show = async (req: FastifyRequest, reply: FastifyReply, sent: { refusal?: Refusal; form?: 'settle' | 'rule' } = {}) => {
    const page = await chargesPage(db, found(req.member), clock.now())
    return reply.view(ChargesPage, { ...page, digest: digest(page.open), ...sent }, { status: sent.refusal?.status ?? 200 })
  }
  app.get('/stores/charges', MONEY, (req, reply) => show(req, reply))
  app.post('/stores/charges', MONEY, (req, reply) =>
    write(req, reply, {
      schema: SettleForm,
      run: async (tx, ctx, input) => {
        const settled = await settle(tx, ctx, input)
        return settled.ok ? ok({ location: `/stores/charges/${settled.value.settlementId}`, flash: `Settlement ${settled.value.number} is made. Print it, or take the lists for the treasurer.` }) : settled
      },
      refused: (refusal) => show(req, reply, { refusal, form: 'settle' }),
    }))
  app.post('/stores/charges/rule', MONEY, (req, reply) =>
    write(req, reply, {
      schema: RuleForm,
      run: async (tx, ctx, input) => {
        const set = await setSharedBy(tx, ctx, input.sharedBy)
        return set.ok ? ok({ location: '/stores/charges', flash: 'The rule for shared use is changed, from the next settlement on.' }) : set
      },
      refused: (refusal) => show(req, reply, { refusal, form: 'rule' }),
    }))
  const today = (req: FastifyRequest) => localDate(found(req.club).zone, clock.now())
  app.get('/stores/charges/entries.csv', MONEY, async (req, reply) =>
    csv(reply, `charges-open-${today(req)}-entries`, entriesCsv(await chargeEntries(db, { open: true }, found(req.member)), found(req.club).currency)))
  app.get('/stores/charges/totals.csv', MONEY, async (req, reply) => {
    const { open } = await chargesPage(db, found(req.member), clock.now())
    const lines = [...open.builds, ...open.members].map((l) => ({ ...l, ownCents: l.totalCents - l.sharedCents }))
    return csv(reply, `charges-open-${today(req)}-totals`, totalsCsv(lines, found(req.club).currency))
  })

  const settlement = async (req: FastifyRequest) => {
    const { settlementId } = req.params as { settlementId: string }
    return found(isUuid(settlementId) ? await settlementPage(db, settlementId, found(req.member)) : null)
  }
  app.get('/stores/charges/:settlementId', MONEY, async (req, reply) => {
    const page = await settlement(req)
    return reply.view(SettlementPage, { ...page, charges: await chargeEntries(db, { settlementId: page.id }, found(req.member), SHOWN) })
  })
  app.get('/stores/charges/:settlementId/entries.csv', MONEY, async (req, reply) => {
    const { id, number } = await settlement(req)
    return csv(reply, `settlement-${number}-entries`, entriesCsv(await chargeEntries(db, { settlementId: id }, found(req.member)), found(req.club).currency))
  })
  app.get('/stores/charges/:settlementId/totals.csv', MONEY, async (req, reply) => {
    const { number, lines } = await settlement(req)
    return csv(reply, `settlement-${number}-totals`, totalsCsv(lines, found(req.club).currency))
  })

  app.get('/stores/charges/own', { config: { may: 'stores.draw' } }, async (req, reply) => reply.view(OwnCharges, await ownCharges(db, found(req.member))))
  app.get('/builds/:buildId/costs', { config: { may: 'builds.money' } }, async (req, reply) => reply.view(BuildCosts, await buildCosts(db, idsOf(req).buildId)))
}
