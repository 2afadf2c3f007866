/** Which kind of work a task is, for its pace. Pure. */
import type { Craft } from '../../../core/forecast/types.ts'
import type { Prisma } from '../../../platform/generated/client.ts'

/** What of a task's row `craftOf` looks at. */
export const craftSelect = {
  craft: true, kind: true, handsFrom: true, dusty: true, name: true,
  product: { select: { kind: true } },
  materials: { select: { line: true, productId: true, item: { select: { kind: true } } } },
  tools: { select: { tool: { select: { name: true } } } },
} satisfies Prisma.TaskSelect
export type CraftFacts = Prisma.TaskGetPayload<{ select: typeof craftSelect }>

const BY_PRODUCT: Readonly<Record<string, Craft>> = { epoxy: 'resin', glue: 'resin', fairing: 'sanding', primer: 'finish', paint: 'finish', varnish: 'finish' }
/** From so many hands on, work without anything that cures is lifting and turning. */
const LIFTING_HANDS = 3
/** Cutting, planing and milling make dust too; sanding says so in its name. */
const SANDS = /\b(sand(s|ed|ing|er)?|scuff\w*|flat(s|ted|ting|ten)? (the|down|back)|fair(ed|ing)?|long-?board\w*|abrade\w*|rub(bed|bing)? down)\b/i

/**
 * What a person chose, or the list says; else what the task shows: a product that cures tells most, then what it takes from the stores
 * (mixed resin, abrasives), its tools, its hands. What shows nothing of it is making and fitting.
 */
export function craftOf(task: CraftFacts): Craft {
  if (task.craft !== null) return task.craft
  const byProduct = task.product === null ? undefined : BY_PRODUCT[task.product.kind]
  if (byProduct !== undefined) return byProduct
  if (task.materials.some((m) => m.productId !== null)) return 'resin'
  if (task.dusty && sands(task)) return 'sanding'
  if (task.kind === 'together' && task.handsFrom >= LIFTING_HANDS && task.product === null) return 'handling'
  return 'wood'
}

/** Abrasives by their line of the estimate or their kind in the stores, a sander among the tools, or a name that says it. */
function sands({ materials, tools, name }: CraftFacts): boolean {
  return materials.some((m) => m.item?.kind === 'abrasive' || (m.line?.endsWith('.abrasive') ?? false))
    || tools.some((t) => /\bsander\b/i.test(t.tool.name))
    || SANDS.test(name)
}
