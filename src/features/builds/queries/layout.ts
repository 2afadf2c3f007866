/** How she is cut out of sheets and rolls, in the sizes that the stores have. */
import type { Line } from '../../../core/estimate/types.ts'
import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import { guessed } from '../facts/material-choice.ts'
import { layoutOf } from '../layout/layout.ts'
import type { Cutting, LayoutModel, RollSource, SheetSource, Sizes } from '../layout/types.ts'
import { boatView } from './boat.ts'
import { buildHead, type BuildHead } from './build-page.ts'
import { knownNames, storeChoices } from './store-choices.ts'

export type LayoutPageModel = { build: BuildHead; model: LayoutModel }

export async function layoutPage(db: Reader, buildId: string, cutting: Cutting): Promise<LayoutPageModel> {
  const [build, asked] = [await buildHead(db, buildId), await boatView(db, buildId)]
  // Her own figures were looked at when they were saved.
  const view = found(asked.ok ? asked.value : null)
  return { build, model: layoutOf(view, await sizesOf(db, buildId, view.lines), cutting) }
}

/** Sheet and roll sizes by the material's name: of the item that her tasks are tied to, else what the club says the name is, else what its name says. */
export async function sizesOf(db: Reader, buildId: string, lines: readonly Pick<Line, 'rule' | 'material' | 'unit'>[]): Promise<Sizes> {
  const wanted = new Map(lines.filter((l) => l.rule === 'ply' || l.rule === 'cloth').map((l) => [l.material, l]))
  const [rows, known, { items }] = [
    await db.taskMaterial.findMany({
      where: { task: { buildId }, name: { in: [...wanted.keys()] }, itemId: { not: null } }, select: { name: true, itemId: true }, orderBy: [{ taskId: 'asc' }, { id: 'asc' }],
    }),
    await knownNames(db), await storeChoices(db),
  ]
  const sizes = new Map((await db.item.findMany({ select: { id: true, name: true, widthMm: true, lengthMm: true } })).map((i) => [i.id, i]))
  const [sheets, rolls] = [new Map<string, SheetSource>(), new Map<string, RollSource>()]
  for (const [material, { rule, unit }] of wanted) {
    const choice = known.get(material) ?? guessed(material, [unit], items)
    const item = sizes.get(rows.find((r) => r.name === material)?.itemId ?? (choice.is === 'item' ? choice.id : ''))
    if (!item?.widthMm) continue
    const named = { id: item.id, name: item.name }
    if (rule === 'cloth') rolls.set(material, { widthMm: item.widthMm, item: named })
    else if (item.lengthMm) sheets.set(material, { lengthMm: item.lengthMm, widthMm: item.widthMm, item: named })
  }
  return { sheets, rolls }
}
