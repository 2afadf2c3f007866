import type { Reader } from '../../../platform/database.ts'
import { byName, listNames, placeFor, productFor, type ListNames } from '../facts/mapping.ts'
import { choiceText, guessed } from '../facts/material-choice.ts'
import { jobListByKey } from '../job-lists/index.ts'
import { completeMeasurements, instantiate } from '../job-lists/instantiate.ts'
import type { Grade, JobList, MeasurementDef } from '../job-lists/types.ts'
import { buildChoices } from './build-form.ts'
import { knownNames, storeChoices } from './store-choices.ts'

export type MeasurementLine = Pick<MeasurementDef, 'key' | 'label' | 'unit' | 'min' | 'max' | 'help'> & { value: number; guessed: boolean }
type Choice = { id: string; name: string }

/** Everything the start page of one list needs; null while length and beam are not known. */
export async function startForm(db: Reader, list: JobList, known: Record<string, number>, grade: Grade) {
  const measurements: MeasurementLine[] = []
  const complete = completeMeasurements(list, known, grade)
  for (const def of list.measurements) {
    const { value, guessed } = complete[def.key]!
    measurements.push({ key: def.key, label: def.label, unit: def.unit, min: def.min, max: def.max, help: def.help, value: Math.round(value * 1000) / 1000, guessed })
  }
  const draft = instantiate(list, known, grade)
  const names: ListNames = draft.ok ? listNames(draft.value) : { tools: [], competences: [], places: [], products: [], materials: [] }
  const [choices, tools, competences, products] = [
    await buildChoices(db),
    await db.tool.findMany({ where: { isActive: true }, select: { id: true, name: true, count: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] }),
    await db.competence.findMany({ where: { isActive: true }, select: { id: true, name: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] }),
    await db.cureProduct.findMany({ where: { isActive: true }, select: { id: true, name: true, kind: true, hazard: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] }),
  ]
  const [stores, ties] = [await storeChoices(db), await knownNames(db)]
  const match = (row: Choice | null, otherwise = '') => row?.id ?? otherwise
  return {
    list: { key: list.key, name: list.name, about: list.about, calibratedFor: list.calibratedFor }, grade, measurements, refusal: draft.ok ? null : draft.refusal,
    tools: names.tools.map((t) => ({ ...t, chosen: match(byName(t.name, tools), 'add') })),
    competences: names.competences.map((name) => ({ name, chosen: match(byName(name, competences), 'add') })),
    places: names.places.map((role) => ({ role, chosen: match(placeFor(role, choices.places)) })),
    products: names.products.map((role) => ({ role, chosen: match(productFor(role, products)) })),
    materials: names.materials.map(({ name, units }) => ({ name, units, chosen: choiceText(ties.get(name) ?? guessed(name, units, stores.items)) })),
    choices: { ...choices, tools, competences, products, items: stores.items },
  }
}
export type StartFormModel = Awaited<ReturnType<typeof startForm>>

/** Measurements of a build that is under way, given and guessed. */
export async function measurementsForm(db: Reader, buildId: string) {
  const b = await db.build.findUniqueOrThrow({ where: { id: buildId }, select: { listKey: true, measurements: true, grade: true, version: true } })
  const list = b.listKey === null ? undefined : jobListByKey(b.listKey)
  if (!list) return null
  const complete = completeMeasurements(list, b.measurements as Record<string, number>, b.grade)
  const measurements = list.measurements.map((def): MeasurementLine => {
    const { value, guessed } = complete[def.key]!
    return { key: def.key, label: def.label, unit: def.unit, min: def.min, max: def.max, help: def.help, value: Math.round(value * 1000) / 1000, guessed }
  })
  return { list: { name: list.name }, grade: b.grade, version: b.version, measurements }
}
export type MeasurementsModel = NonNullable<Awaited<ReturnType<typeof measurementsForm>>>
