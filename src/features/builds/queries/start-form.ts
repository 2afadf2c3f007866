import type { Reader } from '../../../platform/database.ts'
import { byName, listNames, placeFor, productFor, type ListNames } from '../facts/mapping.ts'
import { choiceText, guessed } from '../facts/material-choice.ts'
import { figuresOf } from '../job-lists/figures.ts'
import type { BoatState } from '../job-lists/geometry.ts'
import { instantiate } from '../job-lists/instantiate.ts'
import type { JobList, MeasurementDef } from '../job-lists/types.ts'
import { settingsOf } from './boat.ts'
import { buildChoices } from './build-form.ts'
import { knownNames, storeChoices } from './store-choices.ts'

export type MeasurementLine = Pick<MeasurementDef, 'key' | 'label' | 'group' | 'unit' | 'choices' | 'min' | 'max' | 'help'> & { value: number; guessed: boolean }
type Choice = { id: string; name: string }

/** Everything the start page of one list needs; measurements are guessed from each other as soon as length and beam are known. */
export async function startForm(db: Reader, list: JobList, state: BoatState) {
  const measurements = measurementLines(list, state)
  const draft = instantiate(list, state, await settingsOf(db, state.skill))
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
    list: { key: list.key, name: list.name, about: list.about, calibratedFor: list.calibratedFor }, grade: state.grade, skill: state.skill, measurements, refusal: draft.ok ? null : draft.refusal,
    tools: names.tools.map((t) => ({ ...t, chosen: match(byName(t.name, tools), 'add') })),
    competences: names.competences.map((name) => ({ name, chosen: match(byName(name, competences), 'add') })),
    places: names.places.map((role) => ({ role, chosen: match(placeFor(role, choices.places)) })),
    products: names.products.map((role) => ({ role, chosen: match(productFor(role, products)) })),
    materials: names.materials.map(({ name, units }) => ({ name, units, chosen: choiceText(ties.get(name) ?? guessed(name, units, stores.items)) })),
    choices: { ...choices, tools, competences, products, items: stores.items },
  }
}
export type StartFormModel = Awaited<ReturnType<typeof startForm>>

function measurementLines(list: JobList, state: BoatState): MeasurementLine[] {
  const figures = figuresOf(list, state)
  return list.measurements.map((def): MeasurementLine => {
    const { value, origin } = figures[def.key]!
    const { key, label, group, unit, min, max, help } = def
    return { key, label, group, unit, min, max, help, ...(def.choices ? { choices: def.choices } : {}), value: Math.round(value * 1000) / 1000, guessed: origin !== 'measured' }
  })
}
