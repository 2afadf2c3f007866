/** The page of what she takes: the estimate by part of the boat and by material, each line with what the club learnt and where its figures are measured. */
import { ok, refuse } from '../../../core/result.ts'
import type { Input } from '../../../core/estimate/types.ts'
import type { Reader } from '../../../platform/database.ts'
import { inputPlace, thingPath, type Place } from '../facts/estimate-links.ts'
import { partsOf, type EstimatePart } from '../facts/estimate-parts.ts'
import { byMaterial, type MaterialSum } from '../facts/estimate-totals.ts'
import type { PricedLine } from '../facts/estimate-lines.ts'
import { buildHead, type BuildHead } from './build-page.ts'
import { guessesOf, readEstimate } from './estimate.ts'
import type { Learned } from './learned.ts'

/** place: where it is measured. */
export type ShownInput = Input & { readonly place: Place | null }
/** learned: what the club's weighings say of its rule, used or not; null: nothing weighed. */
export type ShownLine = Omit<PricedLine, 'inputs'> & { readonly inputs: readonly ShownInput[]; readonly learned: Learned | null }
export type ShownPart = Omit<EstimatePart, 'lines'> & { readonly lines: readonly ShownLine[] }

/** @returns refused: messages about measurements that her list does not take any more. */
export async function estimatePage(db: Reader, buildId: string, today: string) {
  const build = await buildHead(db, buildId)
  const read = await readEstimate(db, buildId, undefined, today)
  return read.ok ? ok(pageOf(build, read.value)) : refuse({ build, messages: Object.values(read.refusal) })
}

function pageOf(build: BuildHead, known: Parameters<typeof guessesOf>[0]) {
  const { model } = known
  const { view, things } = model
  const learned = view.learned.filter((l) => l.skill === view.state.skill)
  const parts = partsOf(model.lines, view.boat).map((part): ShownPart => ({
    ...part,
    lines: part.lines.map((line): ShownLine => ({
      ...line, learned: learned.find((l) => l.rule === line.rule) ?? null,
      inputs: line.inputs.map((input): ShownInput => ({ ...input, place: inputPlace(line, input, view.boat, view.list) })),
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
    swings: guessesOf(known).slice(0, 3).map((s) => ({ label: s.label, epoxy: s.epoxy, cost: s.cost, path: thingPath(s) })),
    learned: learned.filter((l) => l.used && model.lines.some((line) => line.rule === l.rule)),
  }
}
export type EstimatePageModel = ReturnType<typeof pageOf>
