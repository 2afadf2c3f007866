import { civil, dateOf, dayNumber, dayOf } from '../../../core/calendar/index.ts'
import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import type { CompetenceInput, Held } from '../schemas.ts'
import { dateColumn } from '../../../platform/times.ts'

type Answer = Promise<Result<Done, Refusal>>

async function nameIsFree(tx: Tx, name: string, exceptId?: string): Promise<Refusal | null> {
  await tx.$executeRaw`select pg_advisory_xact_lock(hashtextextended('competence names', 0))`
  const other = await tx.competence.findFirst({ where: { name: { equals: name, mode: 'insensitive' }, ...(exceptId && { id: { not: exceptId } }) }, select: { isActive: true } })
  if (!other) return null
  return refused(422, 'Nothing was changed.', { fields: { name: `There is a competence “${name}” already${other.isActive ? '' : ', given up: it can be taken up again'}` } }).refusal
}

export async function addCompetence(tx: Tx, ctx: Ctx, input: CompetenceInput): Answer {
  const taken = await nameIsFree(tx, input.name)
  if (taken) return { ok: false, refusal: taken }
  const { id } = await tx.competence.create({ data: input, select: { id: true } })
  await audit(tx, ctx, { what: 'added a competence', entity: 'competence', entityId: id, after: input })
  return ok({ location: '/competences', flash: `${input.name} is on the list.` })
}

export async function saveCompetence(tx: Tx, ctx: Ctx, id: string, input: CompetenceInput & { isActive: boolean }): Answer {
  const before = await tx.competence.findUnique({ where: { id } })
  if (!before) return refused(404, 'There is no such competence.')
  const taken = await nameIsFree(tx, input.name, id)
  if (taken) return { ok: false, refusal: taken }
  if (!input.isActive) {
    const [tool] = await tx.tool.findMany({ where: { competenceId: id, isActive: true }, select: { name: true }, orderBy: { name: 'asc' }, take: 1 })
    if (tool) return refused(422, `The tool “${tool.name}” asks for it: change the tool first.`, { fields: { isActive: `${tool.name} asks for it` } })
    if ((await tx.taskCompetence.count({ where: { competenceId: id, task: { finishedAt: null, build: { state: { not: 'launched' } } } } })) > 0) {
      return refused(422, 'Tasks still to be done ask for it: take it off them first.', { fields: { isActive: 'Tasks still to be done ask for it' } })
    }
  }
  await tx.competence.update({ where: { id }, data: input })
  await audit(tx, ctx, { what: 'changed a competence', entity: 'competence', entityId: id, before, after: input })
  await requestReplan(tx, `the competence ${input.name} was changed`, ctx)
  return ok({ location: '/competences', flash: `${input.name}: saved.` })
}

/** The same day some years on; 29 February becomes 28. */
export function yearsOn(date: string, years: number): string {
  const { year, month, day } = civil(dayOf(date))
  const last = civil(dayNumber(year + years, month + 1, 1) - 1).day
  return dateOf(dayNumber(year + years, month, Math.min(day, last)))
}

export async function holdCompetence(tx: Tx, ctx: Ctx, memberId: string, input: Held, today: string): Answer {
  const member = await tx.member.findUnique({ where: { id: memberId }, select: { name: true } })
  const competence = await tx.competence.findUnique({ where: { id: input.competenceId } })
  if (!member) return refused(404, 'There is no such member.')
  if (!competence?.isActive) return refused(422, 'Nothing was changed.', { fields: { competenceId: 'Choose from the list' } })
  if (input.checkedOn > today) return refused(422, 'Nothing was changed.', { fields: { checkedOn: 'The check can’t be later than today' } })
  const refreshOn = input.refreshOn ?? (competence.refreshYears === null ? null : yearsOn(input.checkedOn, competence.refreshYears))
  if (refreshOn !== null && refreshOn < input.checkedOn) return refused(422, 'Nothing was changed.', { fields: { refreshOn: 'It can’t end before it was checked' } })
  const data = { level: input.level, checkedOn: dateColumn(input.checkedOn), checkedBy: ctx.member.id, refreshOn: refreshOn === null ? null : dateColumn(refreshOn) }
  const key = { memberId, competenceId: competence.id }
  const before = await tx.memberCompetence.findUnique({ where: { memberId_competenceId: key } })
  await tx.memberCompetence.upsert({ where: { memberId_competenceId: key }, create: { ...key, ...data }, update: data })
  await audit(tx, ctx, { what: 'checked a competence', entity: 'member', entityId: memberId, before, after: { ...key, ...data } })
  await requestReplan(tx, `${member.name} was checked on ${competence.name}`, ctx)
  return ok({ location: `/members/${memberId}`, flash: `${member.name}: ${competence.name} noted${refreshOn ? `, to be refreshed by ${refreshOn}` : ''}.` })
}

export async function dropCompetence(tx: Tx, ctx: Ctx, memberId: string, competenceId: string): Answer {
  const held = await tx.memberCompetence.findUnique({
    where: { memberId_competenceId: { memberId, competenceId } }, select: { level: true, checkedOn: true, member: { select: { name: true } }, competence: { select: { name: true } } },
  })
  if (!held) return refused(404, 'It was taken off before.')
  await tx.memberCompetence.delete({ where: { memberId_competenceId: { memberId, competenceId } } })
  await audit(tx, ctx, { what: 'took off a competence', entity: 'member', entityId: memberId, before: held })
  await requestReplan(tx, `${held.member.name} no longer holds ${held.competence.name}`, ctx)
  return ok({ location: `/members/${memberId}`, flash: `${held.member.name} no longer holds ${held.competence.name}.` })
}
