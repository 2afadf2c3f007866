/** A build's boat with her estimate and the tasks that her list makes of it, as she is or as she would be. */
import { estimate } from '../../../core/estimate/index.ts'
import type { Boat, EstimateSettings, Figure, Line, Skill } from '../../../core/estimate/types.ts'
import { ok, refuse, type Result } from '../../../core/result.ts'
import type { Reader } from '../../../platform/database.ts'
import type { Build } from '../../../platform/generated/client.ts'
import { OWN_LIST } from '../facts/lists.ts'
import { boatOf, type BoatOf } from '../job-lists/boat.ts'
import type { BoatState, Geometry } from '../job-lists/geometry.ts'
import { jobListByKey } from '../job-lists/index.ts'
import { draftOf, unfit } from '../job-lists/instantiate.ts'
import type { BuildDraft, Grade, JobList, MeasurementDef } from '../job-lists/types.ts'
import { loadCoefficients } from './coefficients.ts'
import { factorsFor, loadLearned, type Learned } from './learned.ts'

/** What may change of a boat. `measured` is merged over what was measured; null: back to a guess. `geometry` takes the place of the old one. */
export type BoatChange = Partial<Omit<BoatState, 'measured'>> & { readonly measured?: Readonly<Record<string, number | null>> }

export interface BoatView {
  readonly build: {
    readonly id: string
    readonly name: string
    readonly version: number
    readonly grade: Grade
    readonly skill: Skill
    readonly massTargetG: number | null
    readonly listKey: string | null
  }
  readonly list: JobList
  readonly state: BoatState
  readonly figures: readonly { readonly def: MeasurementDef; readonly figure: Figure }[]
  readonly boat: Boat
  /** All panels, those too that come in a kit. */
  readonly panels: BoatOf['panels']
  readonly lines: readonly Line[]
  readonly draft: BuildDraft
  readonly settings: EstimateSettings
  readonly learned: readonly Learned[]
}

export type BoatRow = Pick<Build, 'measurements' | 'geometry' | 'skill' | 'grade'>
export const stateOf = (row: BoatRow): BoatState => ({ measured: row.measurements as Record<string, number>, geometry: row.geometry as Geometry, skill: row.skill, grade: row.grade })
export const listOf = (listKey: string | null): JobList => (listKey === null ? undefined : jobListByKey(listKey)) ?? OWN_LIST

export function changedState(state: BoatState, { measured, ...change }: BoatChange): BoatState {
  const merged: Record<string, number> = { ...state.measured }
  for (const [key, value] of Object.entries(measured ?? {})) {
    if (value === null) delete merged[key]
    else merged[key] = value
  }
  return { ...state, ...change, measured: merged }
}

/** The club's figures and what its weighings say, for hands of this skill. */
export async function settingsOf(db: Reader, skill: Skill): Promise<EstimateSettings> {
  return (await learnedSettings(db, skill)).settings
}

async function learnedSettings(db: Reader, skill: Skill): Promise<{ settings: EstimateSettings; learned: Learned[] }> {
  const [coefficients, learned] = [await loadCoefficients(db), await loadLearned(db)]
  return { settings: { skill, coefficients, factors: factorsFor(learned, skill) }, learned }
}

/** Messages for the fields of a measurements form. */
export const asFields = (refusal: Readonly<Record<string, string>>): Record<string, string> => Object.fromEntries(Object.entries(refusal).map(([key, text]) => [`m.${key}`, text]))

/** @returns the boat, or a message for each measurement (`m.<key>`) that can't be. */
export async function boatView(db: Reader, buildId: string, change: BoatChange = {}): Promise<Result<BoatView, Record<string, string>>> {
  const { measurements, geometry, ...build } = await db.build.findUniqueOrThrow({
    where: { id: buildId },
    select: { id: true, name: true, version: true, grade: true, skill: true, massTargetG: true, listKey: true, measurements: true, geometry: true },
  })
  const list = listOf(build.listKey)
  const state = changedState(stateOf({ measurements, geometry, skill: build.skill, grade: build.grade }), change)
  const refusal = unfit(list, state.measured)
  if (refusal) return refuse(asFields(refusal))
  const { settings, learned } = await learnedSettings(db, state.skill)
  const { boat, figures, panels } = boatOf(list, state)
  const lines = estimate(boat, settings)
  return ok({
    build, list, state, figures: list.measurements.flatMap((def) => (figures[def.key] ? [{ def, figure: figures[def.key]! }] : [])),
    boat, panels, lines, draft: draftOf(list, figures, lines, state.grade), settings, learned,
  })
}
