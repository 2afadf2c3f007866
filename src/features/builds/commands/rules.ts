/** The estimate's figures as this club has them, and which of its own weighings it goes by. No task changes by that. */
import { SKILL_WORDS } from '../../../../views/builds/rule-words.ts'
import { coefficientAbout, ruleAbout } from '../../../core/estimate/index.ts'
import { ok, type Result } from '../../../core/result.ts'
import type { RuleKey, Skill } from '../../../core/estimate/types.ts'
import type { Tx } from '../../../platform/database.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { figureField, type Ends } from '../facts/figure-text.ts'

const LATER = 'Builds take it when they are measured or worked out anew.'

/** `stored`: the version that was shown, 0 for none. */
export async function setFigure(tx: Tx, ctx: Ctx, key: string, input: Ends & { note: string; stored: number }): Promise<Result<Done, Refusal>> {
  const about = coefficientAbout.get(key)
  if (!about) return refused(404, 'There is no such figure.')
  const { stored, ...figure } = input
  const before = await tx.estimateRule.findUnique({ where: { key } })
  if ((before?.version ?? 0) !== stored) return stale(before)
  const written = before === null
    ? await tx.estimateRule.createMany({ data: { key, ...figure }, skipDuplicates: true })
    : await tx.estimateRule.updateMany({ where: { key, version: stored }, data: { ...figure, version: { increment: 1 } } })
  if (written.count === 0) return stale(await tx.estimateRule.findUnique({ where: { key } }))
  await audit(tx, ctx, { what: 'estimate figure set', entity: 'estimate_rule', entityId: key, before, after: figure })
  return ok({ location: `/estimate-rules#${key}`, flash: `“${about.label}” is this club’s own figure now. ${LATER}` })
}

const stale = (row: (Ends & { note: string }) | null) =>
  refused(409, 'Somebody changed this figure while the page was open. Nothing of yours is saved yet.', {
    current: row === null ? {} : { low: figureField(row.low), likely: figureField(row.likely), high: figureField(row.high), note: row.note },
  })

/** Back to what is usual. */
export async function resetFigure(tx: Tx, ctx: Ctx, key: string): Promise<Result<Done, Refusal>> {
  const about = coefficientAbout.get(key)
  if (!about) return refused(404, 'There is no such figure.')
  const before = await tx.estimateRule.findUnique({ where: { key } })
  if (before) {
    await tx.estimateRule.deleteMany({ where: { key } })
    await audit(tx, ctx, { what: 'estimate figure back to the usual', entity: 'estimate_rule', entityId: key, before })
  }
  return ok({ location: `/estimate-rules#${key}`, flash: `“${about.label}” is the usual figure again. ${LATER}` })
}

/** Whether a learnt factor is used. */
export async function switchLearned(tx: Tx, ctx: Ctx, rule: RuleKey, skill: Skill, isUsed: boolean): Promise<Result<Done, Refusal>> {
  const row = { ruleKey: rule, skill }
  if (isUsed) await tx.learnedOff.deleteMany({ where: row })
  else await tx.learnedOff.createMany({ data: row, skipDuplicates: true })
  await audit(tx, ctx, { what: isUsed ? 'learnt factor used' : 'learnt factor not used', entity: 'learned_off', entityId: `${rule} ${skill}` })
  const which = `What was learnt about “${ruleAbout[rule].name}” (${SKILL_WORDS[skill]})`
  return ok({ location: '/estimate-rules#learnt', flash: `${which} is ${isUsed ? 'used from now on' : 'not used any more'}. ${LATER}` })
}
