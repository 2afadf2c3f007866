/** The page of what she takes: the estimate by part of the boat and by material, each line with what the club learnt and where its figures are measured. */
import type { Input } from '../../../core/estimate/types.ts'
import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import { inputPath, thingPath } from '../facts/estimate-links.ts'
import { partsOf, type EstimatePart } from '../facts/estimate-parts.ts'
import { byMaterial, type MaterialSum } from '../facts/estimate-totals.ts'
import type { PricedLine } from '../facts/estimate-lines.ts'
import { buildHead } from './build-page.ts'
import { estimateOf } from './estimate.ts'
import type { Learned } from './learned.ts'

/** path: where it is measured, under the build's address. */
export type ShownInput = Input & { readonly path: string | null }
/** learned: what the club's weighings say of its rule, used or not; null: nothing weighed. */
export type ShownLine = Omit<PricedLine, 'inputs'> & { readonly inputs: readonly ShownInput[]; readonly learned: Learned | null }
export type ShownPart = Omit<EstimatePart, 'lines'> & { readonly lines: readonly ShownLine[] }

export async function estimatePage(db: Reader, buildId: string, today: string) {
  const build = await buildHead(db, buildId)
  const asked = await estimateOf(db, buildId, undefined, today)
  // A build's own figures were looked at when they were saved; a list that was tightened since must not hide the page.
  const model = found(asked.ok ? asked.value : null)
  const { view, things } = model
  const learned = view.learned.filter((l) => l.skill === view.state.skill)
  const parts = partsOf(model.lines, view.boat).map((part): ShownPart => ({
    ...part,
    lines: part.lines.map((line): ShownLine => ({
      ...line, learned: learned.find((l) => l.rule === line.rule) ?? null,
      inputs: line.inputs.map((input): ShownInput => ({ ...input, path: inputPath(line, input, view.boat, view.list) })),
    })),
  }))
  const count = (origin: string) => things.filter((t) => t.origin === origin).length
  return {
    build, parts,
    skill: view.state.skill,
    totals: model.totals,
    materials: byMaterial(model.lines, model.rest) satisfies MaterialSum[],
    rest: model.rest,
    toBuy: model.toBuy,
    figures: { all: things.length, guesses: count('guess'), panels: count('panels'), measured: count('measured') },
    swings: model.swings.slice(0, 3).map((s) => ({ label: s.label, epoxy: s.epoxy, cost: s.cost, path: thingPath(s) })),
    learned: learned.filter((l) => l.used && model.lines.some((line) => line.rule === l.rule)),
    paths: { hasList: view.build.listKey !== null },
  }
}
export type EstimatePageModel = Awaited<ReturnType<typeof estimatePage>>
