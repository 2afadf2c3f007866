import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { CostRulePage } from '../../../../views/stores/cost-rule.tsx'
import { ValuePage } from '../../../../views/stores/value.tsx'
import { ok } from '../../../core/result.ts'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { localDate, localParts } from '../../../platform/times.ts'
import { fromZod, write, type Refusal, type Typed } from '../../../platform/write.ts'
import { changeCostRule } from '../commands/cost-rule.ts'
import { amountField, moneyField } from '../facts/amount-text.ts'
import { toCsv } from '../facts/csv.ts'
import { costRulePage, ruleAt, rules, stockValue } from '../queries/value.ts'
import { CostRuleForm, ValueQuery } from '../schemas/money.ts'

const MONEY = { config: { may: 'stores.money' } }

export default function moneyRoutes(app: FastifyInstance, { db, clock }: Deps): void {
  const rule = async (reply: FastifyReply, refusal?: Refusal, typed?: Typed) =>
    reply.view(CostRulePage, { ...(await costRulePage(db, clock.now())), refusal, typed }, { status: refusal?.status ?? 200 })
  app.get('/stores/cost-rule', MONEY, (_req, reply) => rule(reply))
  app.post('/stores/cost-rule', MONEY, (req, reply) =>
    write(req, reply, {
      schema: CostRuleForm,
      run: async (tx, ctx, input) => {
        const changed = await changeCostRule(tx, ctx, input)
        if (!changed.ok) return changed
        const { date, time } = localParts(ctx.clubZone, changed.value.fromAt)
        return ok({ location: '/stores/cost-rule', flash: changed.value.isNow ? 'The costing rule is changed from now on.' : `The costing rule will change on ${date} at ${time}.` })
      },
      refused: (refusal, typed) => rule(reply, refusal, typed),
    }))

  const stretch = (req: FastifyRequest) => {
    const today = localDate(found(req.club).zone, clock.now())
    const asked = ValueQuery.safeParse(req.query)
    const to = (asked.success && asked.data.to) || today
    const from = (asked.success && asked.data.from) || `${to.slice(0, 4)}-01-01`
    return { from, to, refusal: asked.success ? undefined : fromZod(asked.error) }
  }
  app.get('/stores/value', MONEY, async (req, reply) => {
    const { from, to, refusal } = stretch(req)
    const value = await stockValue(db, found(req.club).zone, from, to)
    const all = await rules(db)
    return reply.view(ValuePage, { ...value, from, to, rule: ruleAt(all, clock.now()), refusal, typed: refusal && (req.query as Typed) }, { status: refusal?.status ?? 200 })
  })
  app.get('/stores/value.csv', MONEY, async (req, reply) => {
    const { from, to } = stretch(req)
    const { zone, currency } = found(req.club)
    const { lines } = await stockValue(db, zone, from, to)
    const text = toCsv(
      ['item', 'unit', 'from', 'to', 'opening', 'opening_value', 'came_in', 'came_in_value', 'went_out', 'went_out_value', 'closing', 'closing_value', 'closing_periodic_average', 'currency'],
      lines.map((l) => [
        l.name, l.unit, from, to, ...[l.opening, l.cameIn, l.wentOut, l.closing].flatMap((p) => [amountField(p.milli), moneyField(p.cents)]),
        l.periodicCents === null ? '' : moneyField(l.periodicCents), currency,
      ]),
    )
    return reply.header('content-type', 'text/csv; charset=utf-8; header=present').header('content-disposition', `attachment; filename="stock-value-${from}-${to}.csv"`).send(text)
  })
}
