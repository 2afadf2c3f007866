/** Drafts of the dinghy without a database. */
import { defaultCoefficients } from '../../../src/core/estimate/index.ts'
import type { EstimateSettings, Skill } from '../../../src/core/estimate/types.ts'
import type { BoatState } from '../../../src/features/builds/job-lists/geometry.ts'
import { sailingDinghy } from '../../../src/features/builds/job-lists/index.ts'
import { instantiate } from '../../../src/features/builds/job-lists/instantiate.ts'
import type { BuildDraft, Grade } from '../../../src/features/builds/job-lists/types.ts'

export const settingsFor = (skill: Skill = 'some'): EstimateSettings => ({ skill, coefficients: defaultCoefficients, factors: new Map() })
export const stateOf = (measured: Record<string, number>, grade: Grade = 'good', over: Partial<BoatState> = {}): BoatState => ({ measured, geometry: {}, skill: 'some', grade, ...over })

export function draftOf(measured: Record<string, number>, grade: Grade = 'good', over: Partial<BoatState> = {}): BuildDraft {
  const state = stateOf(measured, grade, over)
  const r = instantiate(sailingDinghy, state, settingsFor(state.skill))
  if (!r.ok) throw new Error(JSON.stringify(r.refusal))
  return r.value
}
