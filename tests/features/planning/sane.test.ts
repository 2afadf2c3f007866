import { expect, test } from 'vitest'
import { plan } from '../../../src/core/schedule/index.ts'
import { sane } from '../../../src/features/planning/sane.ts'
import { hour, problem, task } from '../../support/problem.ts'
import { minutes } from '../../../src/core/units/index.ts'

const need = (materialId: string) => ({ materialId, amount: 1000, structural: true })

test('material that the stores don’t know is not waited for, and the rest of the plan stands', () => {
  const mended = sane(problem({ tasks: [task('a', { materials: [need('gone'), need('resin')] })], materials: [{ id: 'resin', leadTime: minutes(0), supplies: [] }] }))
  expect(mended.tasks[0]!.materials).toEqual([need('resin')])
  expect(plan(mended, { seed: 1, maxSchedules: 1 }).ok).toBe(true)
})

test('two deliveries of one hour are one supply, sound and unfit ones apart', () => {
  const supply = (amount: number, fit: 'structure' | 'any') => ({ at: hour(24), amount, fit })
  const supplies = [supply(100, 'structure'), supply(20, 'any'), supply(3, 'structure')]
  const mended = sane(problem({ materials: [{ id: 'resin', leadTime: minutes(0), supplies }] }))
  expect(mended.materials[0]!.supplies).toEqual([supply(103, 'structure'), supply(20, 'any')])
  expect(plan(mended, { seed: 1, maxSchedules: 1 }).ok).toBe(true)
})
