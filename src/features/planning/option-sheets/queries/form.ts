import type { Reader } from '../../../../platform/database.ts'
import { found } from '../../../../platform/errors.ts'
import { MOST_VARIED, type Lever, type TypedPrice } from '../model.ts'
import { blankDraft, draftOf, presetsFor, type Draft, type PresetKey } from '../presets.ts'
import { leversOf } from './levers.ts'
import { sheetPage, type SheetBuild } from './sheet.ts'
import type { Actor } from '../../../../platform/write.ts'

export const KIT = 'Kit of cut panels'

export type SheetFormPage = {
  readonly build: SheetBuild
  /** null: a new one. */
  readonly sheetId: string | null
  readonly version: number | null
  readonly draft: Draft
  readonly levers: readonly Lever[]
  readonly kitPrice: TypedPrice | null
}
export type ChoosePage = { readonly build: SheetBuild; readonly levers: readonly Lever[]; readonly most: number }

type Asked = { readonly preset: string; readonly vary: readonly string[] }

/** The form of a new sheet; null where it is not said yet what is to be varied. */
export async function newSheetForm(db: Reader, build: SheetBuild, { preset, vary }: Asked): Promise<SheetFormPage | null> {
  const levers = await leversOf(db, build.id)
  const known = presetsFor(levers).find((p) => p.key === preset)?.key
  const varied = levers.filter((l) => vary.includes(l.key)).slice(0, MOST_VARIED)
  if (known === undefined && varied.length === 0) return null
  const draft = known === undefined ? blankDraft(varied.map((l) => l.key), levers) : draftOf(known as PresetKey, levers)
  return { build, sheetId: null, version: null, draft, levers: levers.filter((l) => draft.vary.includes(l.key)), kitPrice: null }
}

export async function choosePage(db: Reader, build: SheetBuild): Promise<ChoosePage> {
  return { build, levers: await leversOf(db, build.id), most: MOST_VARIED }
}

export async function editSheetForm(db: Reader, member: Actor, buildId: string, sheetId: string): Promise<SheetFormPage> {
  const { build, sheet, levers } = await sheetPage(db, member, buildId, sheetId)
  const first = found(sheet.options[0])
  return {
    build, levers, sheetId, version: sheet.version, kitPrice: first.prices[KIT] ?? null,
    draft: { question: sheet.question, vary: Object.keys(first.values), options: sheet.options },
  }
}
