import { ok, type Result } from '../../../core/result.ts'
import type { z } from 'zod'
import { isTaken, type Tx } from '../../../platform/database.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { dateColumn, isoDate, localDate } from '../../../platform/times.ts'
import { buildValues } from '../queries/build-form.ts'
import type { EditBuildForm, PauseForm, TeamForm } from '../schemas/build.ts'
import { changed } from './changed.ts'
import { activeMembers } from './found.ts'

const stale = async (tx: Tx, buildId: string) =>
  refused(409, 'Somebody changed this build while the page was open. Nothing of yours is saved yet: where the two differ, both are shown. Send it again to keep yours.', { current: await buildValues(tx, buildId) })

const lock = async (tx: Tx, buildId: string) => {
  await tx.$queryRaw`select id from build where id = ${buildId}::uuid for update`
  return tx.build.findUniqueOrThrow({ where: { id: buildId } })
}

export async function editBuild(tx: Tx, ctx: Ctx, buildId: string, input: z.output<typeof EditBuildForm>): Promise<Result<Done, Refusal>> {
  const build = await lock(tx, buildId)
  if (build.version !== input.version) return stale(tx, buildId)
  const place = await tx.place.findFirst({ where: { id: input.placeId, isActive: true }, select: { name: true, bays: true } })
  if (!place) return refused(422, 'That place is not in use any more.', { fields: { placeId: 'Choose another' } })
  const taken = await bayTaken(tx, input.placeId, buildId)
  const data = {
    name: input.name, design: input.design, placeId: input.placeId, launchTarget: input.launchTarget === null ? null : dateColumn(input.launchTarget),
    priority: input.priority, visibility: input.visibility,
  }
  try {
    await tx.build.update({ where: { id: buildId }, data: { ...data, version: { increment: 1 } } })
  } catch (error) {
    if (isTaken(error)) return refused(422, `There is a build called “${input.name}” already.`, { fields: { name: 'Taken: choose another name' } })
    throw error
  }
  await audit(tx, ctx, { what: 'build edited', entity: 'build', entityId: buildId, buildId, before: build, after: data })
  await changed(tx, ctx, buildId, `${input.name}: ${changes(build, data)}`)
  const full = build.placeId !== input.placeId && taken >= place.bays ? ` ${place.name} has ${place.bays} ${place.bays === 1 ? 'bay' : 'bays'}, and ${taken} other ${taken === 1 ? 'build stands' : 'builds stand'} there.` : ''
  return ok({ location: `/builds/${buildId}`, flash: `${input.name} is saved.${full}` })
}

/** Builds that are not launched and stand in a place. */
export const bayTaken = (tx: Tx, placeId: string, butId?: string) => tx.build.count({ where: { placeId, state: { not: 'launched' }, ...(butId ? { id: { not: butId } } : {}) } })

function changes(before: { launchTarget: Date | null; priority: number; placeId: string }, after: { launchTarget: Date | null; priority: number; placeId: string }): string {
  const said = [
    ...(before.launchTarget?.getTime() === after.launchTarget?.getTime() ? [] : [after.launchTarget === null ? 'no launch target' : `launch target ${isoDate(after.launchTarget)}`]),
    ...(before.priority === after.priority ? [] : [`priority ${after.priority}`]),
    ...(before.placeId === after.placeId ? [] : ['another place']),
  ]
  return said.length === 0 ? 'changed' : said.join(', ')
}

export async function setTeam(tx: Tx, ctx: Ctx, buildId: string, input: z.output<typeof TeamForm>): Promise<Result<Done, Refusal>> {
  const build = await lock(tx, buildId)
  if (build.version !== input.version) return stale(tx, buildId)
  const members = await activeMembers(tx, input.team)
  if (!members.ok) return members
  const before = (await tx.buildMember.findMany({ where: { buildId }, select: { memberId: true } })).map((m) => m.memberId)
  // Someone who left the club stays on the team that they built with.
  const gone = (await tx.member.findMany({ where: { id: { in: before }, isActive: false }, select: { id: true } })).map((m) => m.id)
  const team = [...new Set([...input.team, ...gone])]
  await tx.buildMember.deleteMany({ where: { buildId, memberId: { notIn: team } } })
  await tx.buildMember.createMany({ data: team.map((memberId) => ({ buildId, memberId })), skipDuplicates: true })
  await tx.build.update({ where: { id: buildId }, data: { version: { increment: 1 } } })
  await audit(tx, ctx, { what: 'team changed', entity: 'build', entityId: buildId, buildId, before, after: team })
  await changed(tx, ctx, buildId, `The team of ${build.name} changed`)
  const out = !input.team.includes(ctx.member.id) && before.includes(ctx.member.id) ? ' You are not in it any more.' : ''
  const location = out !== '' && build.visibility === 'team' && !ctx.member.roles.includes('officer') ? '/builds' : `/builds/${buildId}`
  return ok({ location, flash: `${build.name} has a team of ${input.team.length}.${out}` })
}

export async function pauseBuild(tx: Tx, ctx: Ctx, buildId: string, input: z.output<typeof PauseForm>): Promise<Result<Done, Refusal>> {
  const build = await lock(tx, buildId)
  if (build.version !== input.version) return stale(tx, buildId)
  if (build.state !== 'active') return refused(422, build.state === 'paused' ? `${build.name} is paused already.` : `${build.name} is launched: nothing is left to pause.`)
  await tx.build.update({ where: { id: buildId }, data: { state: 'paused', pausedOn: dateColumn(localDate(ctx.clubZone, ctx.now)), pauseNote: input.note, version: { increment: 1 } } })
  await audit(tx, ctx, { what: 'paused', entity: 'build', entityId: buildId, buildId, after: { note: input.note } })
  await changed(tx, ctx, buildId, `${build.name} is paused`)
  return ok({ location: `/builds/${buildId}`, flash: `${build.name} is paused. Her bay and what she holds stay hers; her films go on curing.` })
}

export async function resumeBuild(tx: Tx, ctx: Ctx, buildId: string, version: number): Promise<Result<Done, Refusal>> {
  const build = await lock(tx, buildId)
  if (build.version !== version) return stale(tx, buildId)
  if (build.state !== 'paused') return refused(422, `${build.name} is not paused.`)
  await tx.build.update({ where: { id: buildId }, data: { state: 'active', pausedOn: null, pauseNote: '', version: { increment: 1 } } })
  await audit(tx, ctx, { what: 'resumed', entity: 'build', entityId: buildId, buildId, before: { pausedOn: build.pausedOn, note: build.pauseNote } })
  await changed(tx, ctx, buildId, `${build.name} goes on`)
  return ok({ location: `/builds/${buildId}`, flash: `${build.name} goes on.` })
}

export async function renamePhase(tx: Tx, ctx: Ctx, buildId: string, phaseId: string, name: string): Promise<Result<Done, Refusal>> {
  const { count } = await tx.phase.updateMany({ where: { id: phaseId, buildId }, data: { name } })
  if (count === 0) return refused(404, 'This phase is not there any more.')
  await audit(tx, ctx, { what: 'phase renamed', entity: 'phase', entityId: phaseId, buildId, after: { name } })
  return ok({ location: `/builds/${buildId}`, flash: `The phase is called “${name}” now.` })
}
