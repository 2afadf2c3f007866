/** The layout's search against another way to the fewest sheets: all sets that one sheet takes, covered by a general-purpose solver (HiGHS). */
import { expect, test } from 'vitest'
import { nest } from '../../../src/features/builds/layout/nest.ts'
import type { Part } from '../../../src/features/builds/layout/sheet.ts'
import { dice } from '../../support/dice.ts'
import { fewestSets, isPacked, possibleSets } from '../../support/sheets-oracle.ts'

const SHEET = { lengthMm: 2440, widthMm: 1220, kerfMm: 0, trimMm: 0 }

test.each(Array.from({ length: 16 }, (_, i) => i + 1))('list %i: as few sheets as any choice of sets that the packing library gets on a sheet', async (seed) => {
  const d = dice(seed)
  const side = (whole: number) => Math.round(whole * 0.2 * 5 ** d.roll())
  const parts = Array.from({ length: d.between(6, 11) }, (_, i): Part => ({ id: String(i), lengthMm: side(2440), widthMm: side(1220), mayTurn: false }))
  const possible = possibleSets(parts, SHEET, 20_000)!
  // Up to six on a sheet are tried in every order; what is more goes by the bound alone and can only make the solver's answer smaller.
  const sets = possible.filter((s) => s.length > 6 || isPacked(s.map((i) => parts[i]!), SHEET))
  const { sheets, bound } = nest(parts, SHEET)
  expect(sheets.length).toBe(await fewestSets(sets, parts.length))
  expect(bound.strong).toBeLessThanOrEqual((await fewestSets(possible, parts.length))!)
})
