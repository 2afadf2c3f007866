import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { localDate, localMoment } from '../../../platform/times.ts'
import { audit, refused, type Ctx, type Refusal } from '../../../platform/write.ts'
import { ruleAt, rules } from '../queries/value.ts'
import type { CostRuleInput } from '../schemas/money.ts'

const AHEAD_MS = 2 * 366 * 86_400_000

/** Changes the costing rule from an instant on. What is booked already keeps the cost it was booked at. */
export async function changeCostRule(tx: Tx, ctx: Ctx, { rule, day, time, why }: CostRuleInput): Promise<Result<{ fromAt: Date; isNow: boolean }, Refusal>> {
  // One change at a time, so that each sees the one before.
  await tx.$queryRaw`select id from club where id = 1 for update`
  const isNow = day === null && time === null
  const fromAt = isNow ? ctx.now : localMoment(ctx.clubZone, day ?? localDate(ctx.clubZone, ctx.now), time ?? '00:00')
  const wrong = (field: 'day' | 'rule', message: string) => refused(422, 'The rule was not changed: see the note at the field.', { fields: { [field]: message } })
  if (fromAt < ctx.now) return wrong('day', 'From: this has passed, and what is booked keeps its cost. Leave day and time empty for from now on, or choose a time to come')
  if (fromAt.getTime() > ctx.now.getTime() + AHEAD_MS) return wrong('day', 'From: at most two years ahead')
  const all = await rules(tx)
  const same = all.find((r) => r.fromAt.getTime() === fromAt.getTime())
  if (ruleAt(all, fromAt) === rule && (same !== undefined || !all.some((r) => r.fromAt > fromAt))) return wrong('rule', 'This is the rule then already')
  const row = await tx.costRuleChange.create({ data: { rule, fromAt, byId: ctx.member.id, why } })
  await audit(tx, ctx, { what: 'costing rule changed', entity: 'cost_rule_change', entityId: String(row.id), after: { rule, fromAt, why } })
  return ok({ fromAt, isNow })
}
