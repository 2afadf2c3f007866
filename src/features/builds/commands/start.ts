import { randomUUID } from 'node:crypto'
import { ok, type Result } from '../../../core/result.ts'
import { isTaken, type Tx } from '../../../platform/database.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { OWN_LIST, startList } from '../facts/lists.ts'
import { listNames, type ListNames } from '../facts/mapping.ts'
import { guessed, isStructural, readChoice, tieOf, type Choice } from '../facts/material-choice.ts'
import { dateColumn, localDate } from '../../../platform/times.ts'
import { instantiate } from '../job-lists/instantiate.ts'
import type { BoatState } from '../job-lists/geometry.ts'
import type { BuildDraft } from '../job-lists/types.ts'
import type { StartInput } from '../schemas/build.ts'
import { bayTaken } from './build.ts'
import { changed } from './changed.ts'
import { activeMembers } from './found.ts'
import { insertTasks, linkColumns, type Mapping } from './insert-tasks.ts'
import { remember, tieFault } from './materials.ts'
import { asFields, settingsOf } from '../queries/boat.ts'
import { knownNames, storeChoices } from '../queries/store-choices.ts'

export type StartBuild = StartInput & { measured: Record<string, number> }

/** Starts a build from a standard job list: its rows with ids of the club's own, and a note of what was left out on the way. */
export async function startBuild(tx: Tx, ctx: Ctx, input: StartBuild): Promise<Result<Done, Refusal>> {
  const list = startList(input.list)
  if (!list) return refused(422, 'There is no such job list: choose one.')
  const state: BoatState = { measured: input.measured, geometry: {}, skill: input.skill, grade: input.grade }
  const draft = instantiate(list, state, await settingsOf(tx, input.skill))
  if (!draft.ok) return refused(422, 'Some measurements don’t fit this list.', { fields: asFields(draft.refusal) })
  const place = await tx.place.findFirst({ where: { id: input.placeId, isActive: true } })
  if (!place) return refused(422, 'That place is not in use any more.', { fields: { placeId: 'Choose another' } })
  if (input.launchTarget !== null && input.launchTarget < localDate(ctx.clubZone, ctx.now)) return refused(422, 'The launch target has passed.', { fields: { launchTarget: 'In the past: leave it empty or choose a coming day' } })
  const team = await activeMembers(tx, input.team)
  if (!team.ok) return refused(422, team.refusal.message, { fields: { team: 'Choose members of the club' } })
  const notes: string[] = []
  const mapped = await mapNames(tx, listNames(draft.value), input, place.siteId, notes)
  if (!mapped.ok) return mapped

  let build
  try {
    build = await tx.build.create({
      data: {
        name: input.name, design: input.design, placeId: place.id, priority: input.priority, visibility: input.visibility,
        launchTarget: input.launchTarget === null ? null : dateColumn(input.launchTarget), startedOn: dateColumn(localDate(ctx.clubZone, ctx.now)), createdAt: ctx.now,
        listKey: list === OWN_LIST ? null : list.key, listVersion: list === OWN_LIST ? null : list.version, measurements: input.measured, grade: input.grade, skill: input.skill,
        team: { create: team.value.map((m) => ({ memberId: m.id })) },
      },
    })
  } catch (error) {
    if (isTaken(error)) return refused(422, `There is a build called “${input.name}” already.`, { fields: { name: 'Taken: choose another name' } })
    throw error
  }
  await placeNotes(tx, draft.value, place, build.id, notes)
  await insertDraft(tx, build.id, draft.value, mapped.value, place.bays > 0)
  await audit(tx, ctx, {
    what: 'build started', entity: 'build', entityId: build.id, buildId: build.id,
    after: { list: list.key, version: list.version, grade: input.grade, skill: input.skill, measured: input.measured, notes },
  })
  await changed(tx, ctx, build.id, `${build.name} started`)
  return ok({ location: `/builds/${build.id}/started`, flash: `${build.name} is started.` })
}

const given = (input: StartBuild, field: string): string => {
  const value = input[field]
  return typeof value === 'string' ? value.trim() : ''
}

async function mapNames(tx: Tx, names: ListNames, input: StartBuild, siteId: string, notes: string[]): Promise<Result<Mapping, Refusal>> {
  const materials = await mapMaterials(tx, names.materials, input, notes)
  if (!materials.ok) return materials
  const mapping: Mapping = { tools: new Map(), competences: new Map(), places: new Map(), products: new Map(), ties: materials.value }
  const [tools, competences, places, products] = [await tx.tool.findMany(), await tx.competence.findMany(), await tx.place.findMany({ where: { isActive: true } }), await tx.cureProduct.findMany()]
  const wrong = (field: string, message: string) => refused(422, 'One of the names has no match yet.', { fields: { [field]: message } })
  for (const name of names.competences) {
    const choice = given(input, `competence.${name}`)
    if (choice === 'add') mapping.competences.set(name, competences.find((c) => c.name === name)?.id ?? (await tx.competence.create({ data: { name } })).id)
    else if (choice === '') mapping.competences.set(name, null)
    else if (competences.some((c) => c.id === choice)) mapping.competences.set(name, choice)
    else return wrong(`competence.${name}`, 'Choose from the list')
    if (choice === '') notes.push(`Competence “${name}” was left out: nobody is asked for it.`)
  }
  for (const { name, most } of names.tools) {
    const choice = given(input, `tool.${name}`)
    const known = choice === 'add' ? tools.find((t) => t.name === name) : tools.find((t) => t.id === choice)
    if (choice === '') {
      mapping.tools.set(name, null)
      notes.push(`“${name}” was left out: her tasks don’t wait for it.`)
    } else if (choice === 'add' && !known) {
      const tool = await tx.tool.create({ data: { name, count: most, siteId } })
      mapping.tools.set(name, { id: tool.id, count: most })
      notes.push(`“${name}” (${most}) was added to the club’s tools: check how many there are, and who may use it.`)
    } else if (known) {
      mapping.tools.set(name, { id: known.id, count: known.count })
      if (known.count < most) notes.push(`Tasks ask for ${most} of “${name}”; the club has ${known.count} of “${known.name}”, so that many are entered.`)
    } else {
      return wrong(`tool.${name}`, 'Choose from the list')
    }
  }
  for (const role of names.places) {
    const choice = given(input, `place.${role}`)
    if (choice === '') continue
    if (!places.some((p) => p.id === choice)) return wrong(`place.${role}`, 'Choose from the list')
    mapping.places.set(role, choice)
  }
  for (const role of names.products) {
    const choice = given(input, `product.${role}`)
    if (!products.some((p) => p.id === choice)) return wrong(`product.${role}`, 'Choose a cure product: without one nobody knows when her next coat may go on')
    mapping.products.set(role, choice)
  }
  return ok(mapping)
}

/** Names of materials tied to items as the form says, or without a word of it as they are known. */
async function mapMaterials(tx: Tx, names: ListNames['materials'], input: StartBuild, notes: string[]): Promise<Result<Mapping['ties'], Refusal>> {
  const [stores, known] = [await storeChoices(tx), await knownNames(tx)]
  const chosen = new Map<string, Choice>()
  const wrong = (name: string, message: string) => refused(422, 'One of the materials can’t be taken from the stores like this.', { fields: { [`material.${name}`]: `${name}: ${message}` } })
  for (const { name, units } of names) {
    const said = readChoice(given(input, `material.${name}`))
    if (said?.is === 'product') return wrong(name, 'choose from the list')
    const choice = said ?? known.get(name) ?? { is: 'not' }
    const fault = tieFault(choice, units, stores)
    if (fault !== null && said !== null) return wrong(name, fault)
    chosen.set(name, fault === null ? choice : { is: 'not' })
    // “Not in the stores” is only worth keeping where something else was offered.
    const isSaid = said !== null && (said.is !== 'not' || known.has(name) || guessed(name, units, stores.items).is !== 'not')
    if (isSaid) await remember(tx, name, said)
  }
  const out = names.filter(({ name }) => chosen.get(name)?.is === 'not').map(({ name }) => `“${name}”`)
  if (out.length > 0) notes.push(`Not from the stores: ${out.join(', ')}. Nobody is warned when they run short; you can tie them to items later, under “Materials”.`)
  return ok((name, productId) => {
    const tie = tieOf(chosen.get(name) ?? { is: 'not' }, productId)
    return { ...tie, structural: isStructural(tie, stores.items, stores.products) }
  })
}

async function placeNotes(tx: Tx, draft: BuildDraft, place: { id: string; name: string; bays: number }, buildId: string, notes: string[]): Promise<void> {
  if (!draft.holds.some((h) => h.toolName === null)) return
  if (place.bays === 0) notes.push(`${place.name} has no bays, so none is held for her: give the place bays if boats queue for it.`)
  const taken = await bayTaken(tx, place.id, buildId)
  if (place.bays > 0 && taken >= place.bays) notes.push(`${place.name} has ${place.bays} ${place.bays === 1 ? 'bay' : 'bays'} and ${taken} other ${taken === 1 ? 'build stands' : 'builds stand'} there: from her stitching on she waits for one to be free.`)
}

/** Rows of a draft, with the club's ids in place of the list's names. */
async function insertDraft(tx: Tx, buildId: string, draft: BuildDraft, mapping: Mapping, hasBays: boolean): Promise<void> {
  const phases = draft.phases.map((p, i) => ({ id: randomUUID(), buildId, name: p.name, position: i + 1, key: p.key }))
  await tx.phase.createMany({ data: phases.map(({ key: _key, ...p }) => p) })
  // In the order of the page: phase by phase.
  const inOrder = phases.flatMap((p) => draft.tasks.filter((t) => t.phase === p.key).map((task) => ({ task, phaseId: p.id })))
  const ids = await insertTasks(tx, buildId, inOrder.map((t, i) => ({ ...t, position: i + 1 })), mapping)
  const idOf = (key: string): string => ids.get(key)!
  const sander = [...mapping.tools].find(([name, tool]) => /sander/i.test(name) && tool !== null)?.[1]
  await tx.link.createMany({ data: draft.links.map((link) => linkColumns(link, buildId, idOf, sander ? [sander.id] : [])) })
  await tx.hold.createMany({
    data: draft.holds.flatMap((h) => {
      const tool = h.toolName === null ? null : (mapping.tools.get(h.toolName) ?? undefined)
      if (tool === undefined || (tool === null && !hasBays)) return []
      return [{ buildId, toolId: tool?.id ?? null, amount: tool === null ? h.amount : Math.min(h.amount, tool.count), fromTaskId: idOf(h.fromKey), toTaskId: idOf(h.toKey) }]
    }),
  })
  if (draft.launchKey !== null) await tx.build.update({ where: { id: buildId }, data: { launchTaskId: idOf(draft.launchKey) } })
}
