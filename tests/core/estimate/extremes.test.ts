/** Figures as far out as the pages let them be set: what a club may type never makes an estimate that is no number, below nothing or upside down. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  coefficientAbout, defaultCoefficients, estimate, filletLeg, layUpOf, panelOf, plyMaterial, plyPart, stripDeflection, withOverrides, type Override,
} from '../../../src/core/estimate/index.ts'
import type { Boat, Line, PlySpecies, RuleKey, Skill } from '../../../src/core/estimate/types.ts'
import { ruleAbout } from '../../../src/core/estimate/rules.ts'
import { bare, cloth, extra, fig, joint, panel, primer, seam, surface, tape, timber } from './boats.ts'

const boat = (angles: readonly number[], radius: number, coats: number): Boat => ({
  ...bare,
  panels: [panel('bottom', 1.2, 3600, 450, { count: 2, ply: { species: 'sapele', thicknessMm: 7.5 } })],
  readyCut: [panel('sides', 1.5, 3600, 480)],
  seams: [seam('keel', 3.5, angles, radius, [tape('inside'), tape('outside')])],
  surfaces: [surface('face', 5, {
    cloth: { ...cloth(200)!, lap: { widthMm: fig(50), alongM: fig(9) } }, fillCoats: coats, sealCoats: coats, topUpCoats: coats, paints: [{ ...primer, coats }],
    fairedShare: 0.5, sanded: true,
  })],
  joints: [joint('scarfs', 0.2)], timbers: [timber('rail', 8)], extras: [extra('rope', { unit: 'm' })],
})

function mustHold(lines: readonly Line[]): void {
  for (const l of lines) {
    for (const what of ['net', 'waste', 'kg'] as const) {
      const { low, likely, high } = l[what]
      const holds = low >= 0 && low <= likely * (1 + 1e-12) && likely <= high * (1 + 1e-12) && Number.isFinite(high)
      if (!holds) throw new Error(`${l.key} ${what}: ${low} ${likely} ${high}`)
    }
    for (const i of l.inputs) if (!Number.isFinite(i.value)) throw new Error(`${l.key}: ${i.label} is ${i.value}`)
    if (/NaN|Infinity|e[-+]\d/.test(l.formula)) throw new Error(`${l.key}: ${l.formula}`)
  }
}

/** Any figures that may be set, the very ends among them. */
const overrides = fc.record(Object.fromEntries([...coefficientAbout].map(([key, { min, max }]) => {
  const end = fc.oneof(fc.constant(min), fc.constant(max), fc.double({ min, max, noNaN: true }))
  return [key, fc.tuple(end, end, end)]
}))).map((all) => Object.entries(all).map(([key, ends]): Override => {
  const [low, likely, high] = [...ends].sort((a, b) => a - b) as [number, number, number]
  return { key, low, likely, high }
}))
const skill = fc.constantFrom<Skill>('first', 'some', 'practised')
const angles = fc.oneof(
  fc.array(fc.constantFrom(180, 179.9, 90, 30, 5, 1), { minLength: 1, maxLength: 9 }), fc.array(fc.double({ min: 1, max: 180, noNaN: true }), { minLength: 1, maxLength: 9 }),
)

describe('an estimate at the ends of what can be set', () => {
  test('stays finite, not below nothing, and runs from low by likely to high', () => {
    fc.assert(fc.property(overrides, skill, angles, fc.constantFrom(0, 1, 18, 100), fc.integer({ min: 0, max: 9 }), (rows, hands, course, radius, coats) => {
      mustHold(estimate(boat(course, radius, coats), { skill: hands, coefficients: withOverrides(defaultCoefficients, rows), factors: new Map() }))
    }))
  })

  test('whatever was learnt, too, of every rule at once', () => {
    fc.assert(fc.property(fc.double({ min: 0.05, max: 20, noNaN: true }), skill, (factor, hands) => {
      const factors = new Map((Object.keys(ruleAbout) as RuleKey[]).map((rule) => [rule, factor]))
      mustHold(estimate(boat([120, 150], 18, 3), { skill: hands, coefficients: defaultCoefficients, factors }))
    }))
  })

  // A course of nine equal angles, or of two, is the single angle.
  test.each([2, 9])('%d angles that are alike are one angle all along', (n) => {
    const epoxy = (course: number[]) => estimate(boat(course, 18, 0), { skill: 'some', coefficients: defaultCoefficients, factors: new Map() }).find((l) => l.key === 'keel.fillet')!.net.likely
    expect(epoxy(Array.from({ length: n }, () => 115))).toBeCloseTo(epoxy([115]), 9)
  })

  test('a seam that lies flat takes no fillet and reaches up no side', () => {
    const lines = estimate(boat([180], 18, 0), { skill: 'some', coefficients: defaultCoefficients, factors: new Map() })
    expect(lines.filter((l) => l.rule === 'fillet').map((l) => l.net.high)).toEqual([0, 0])
    expect(filletLeg(180, 18)).toBeCloseTo(0, 12)
  })
})

describe('sheets of any species and thickness', () => {
  const species = fc.constantFrom<PlySpecies>('okoume', 'sapele', 'birch', 'fir')
  const thickness = fc.double({ min: 0.5, max: 60, noNaN: true })

  test('have an odd number of veneers, a mass and a stiffness, bare and under glass', () => {
    fc.assert(fc.property(species, thickness, (wood, thicknessMm) => {
      const ply = { species: wood, thicknessMm }
      const { veneers } = layUpOf(ply)
      expect(veneers.length % 2).toBe(1)
      const none = panelOf({ ply, outside: null, inside: null })
      const glassed = panelOf({ ply, outside: { arealMass: 80, layers: 1, glassFraction: 0.43 }, inside: null })
      for (const f of [none, glassed]) for (const n of Object.values(f)) expect(n > 0 && Number.isFinite(n)).toBe(true)
      expect(stripDeflection({ ei: none.eiAlong, spanMm: 400, widthMm: 300, loadN: 785, ends: 'clamped' })).toBeGreaterThan(0)
    }))
  })

  test('of a thickness that no table has are told as they are: 7.5 mm, five veneers of 1.5', () => {
    expect(layUpOf({ species: 'okoume', thicknessMm: 7.5 }).veneers.map((v) => v.thicknessMm)).toEqual([1.5, 1.5, 1.5, 1.5, 1.5])
    expect(plyMaterial('okoume', 7.5)).toBe('Okoume plywood 7.5 mm')
    expect(plyPart('okoume', 7.5)).toBe('ply-okoume-7.5')
  })
})

test('panels that come cut have edges like those cut here, and no sheets', () => {
  const settings = { skill: 'some', coefficients: defaultCoefficients, factors: new Map() } as const
  const [here, cut] = [estimate({ ...bare, panels: [panel('side', 1.5, 3600, 480)] }, settings), estimate({ ...bare, readyCut: [panel('side', 1.5, 3600, 480)] }, settings)]
  expect(cut).toEqual(here.filter((l) => l.rule === 'edge-seal'))
  expect(cut.map((l) => l.key)).toEqual(['edges.edge-seal'])
})
