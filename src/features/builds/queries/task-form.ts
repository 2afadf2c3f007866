import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import { hoursField } from '../facts/parse-hours.ts'
import { choiceOf, choiceText } from '../facts/material-choice.ts'
import { isoDate } from '../../../platform/times.ts'
import { storeChoices } from './store-choices.ts'

/** A task as its form sends it. */
export type FormValues = Record<string, string | string[]>

const text = (n: number | null): string => (n === null ? '' : String(n))

export async function taskValues(db: Reader, buildId: string, taskId: string): Promise<FormValues> {
  const t = found(await db.task.findFirst({
    where: { id: taskId, buildId },
    include: {
      places: { orderBy: { placeId: 'asc' } }, tools: { orderBy: { toolId: 'asc' } }, competences: { orderBy: { competenceId: 'asc' } },
      materials: { orderBy: [{ name: 'asc' }, { id: 'asc' }] }, steps: { orderBy: [{ position: 'asc' }, { id: 'asc' }] },
    },
  }))
  return {
    version: String(t.version),
    name: t.name, phaseId: t.phaseId, newPhase: '', note: t.note, caution: t.caution, kind: t.kind,
    low: hoursField(t.workLowMin), likely: hoursField(t.workLikelyMin), high: hoursField(t.workHighMin),
    handsFrom: String(t.handsFrom), handsTo: String(t.handsTo), smallest: text(t.smallestMin), setUp: String(t.setUpMin), clearUp: String(t.clearUpMin),
    where: t.places.length > 0 ? 'places' : t.portable ? 'anywhere' : 'boat', places: t.places.map((p) => p.placeId),
    ...(t.dusty ? { dusty: 'yes' } : {}),
    craft: t.craft ?? '',
    productId: t.productId ?? '', minAir: text(t.minAir), maxAir: text(t.maxAir), maxHumidity: text(t.maxHumidity), dewPointMargin: text(t.dewPointMargin),
    releaseOn: t.releaseOn === null ? '' : isoDate(t.releaseOn),
    competences: t.competences.map((c) => c.competenceId),
    steps: t.steps.map((s) => s.text).join('\n'),
    ...Object.fromEntries(t.tools.flatMap((u) => [[`tool.${u.toolId}`, String(u.count)], [`held.${u.toolId}`, u.heldUntil ?? '']])),
    materialName: t.materials.map((m) => m.name), materialUnit: t.materials.map((m) => m.unit), materialLow: t.materials.map((m) => String(m.low)),
    materialLikely: t.materials.map((m) => String(m.likely)), materialHigh: t.materials.map((m) => String(m.high)), materialRule: t.materials.map((m) => m.rule),
    materialFrom: t.materials.map((m) => choiceText(choiceOf(m, t.productId))), materialUse: t.materials.map((m) => (m.structural ? 'structure' : 'any')),
  }
}

/** What a task's form offers to choose from. */
export async function taskChoices(db: Reader, buildId: string) {
  const [phases, tasks, products, places, tools, competences] = [
    await db.phase.findMany({ where: { buildId }, select: { id: true, name: true }, orderBy: [{ position: 'asc' }, { id: 'asc' }] }),
    await db.task.findMany({ where: { buildId }, select: { id: true, name: true, phaseId: true }, orderBy: [{ position: 'asc' }, { id: 'asc' }] }),
    await db.cureProduct.findMany({ where: { isActive: true }, select: { id: true, name: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] }),
    await db.place.findMany({ where: { isActive: true }, select: { id: true, name: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] }),
    await db.tool.findMany({ where: { isActive: true }, select: { id: true, name: true, count: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] }),
    await db.competence.findMany({ where: { isActive: true }, select: { id: true, name: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] }),
  ]
  return { phases, tasks, products, places, tools, competences, stores: await storeChoices(db) }
}
export type TaskChoices = Awaited<ReturnType<typeof taskChoices>>
