import { transact, type Db, type Tx } from '../../../platform/database.ts'
import type { Ctx, Refusal } from '../../../platform/write.ts'
import { refuse, ok, type Result } from '../../../core/result.ts'
import { changeBoat, estimateOf } from '../../builds/public.ts'
import { loadSystems } from '../../stores/public.ts'
import type { NameBook } from '../model.ts'
import type { OptionResult, SheetOption } from '../option-sheets/model.ts'
import { estimatePart, type EstimatePart } from '../option-sheets/estimate-part.ts'
import { changeFor, leversOf, outOfReach } from '../option-sheets/queries/levers.ts'
import { SHOWN } from '../queries/plans.ts'
import { loadProblem, type Loaded } from '../queries/problem.ts'

/** One option as the boat would be with it: her estimate, and what the planner would be asked. */
export type OptionRead = { readonly loaded: Loaded; readonly names: NameBook; readonly estimate: EstimatePart; readonly tasks: OptionResult['tasks'] }
export type AllRead = {
  readonly buildVersion: number
  readonly planId: string | null
  /** As she is. */
  readonly own: OptionRead
  /** In the order of the options; the very `own` where an option changes nothing. */
  readonly options: readonly OptionRead[]
  /** Items of the stores that are one part of a system. */
  readonly resin: readonly { readonly resinId: string; readonly hardenerId: string }[]
}

class Undone extends Error {}
class Refused extends Error {
  readonly refusal: Refusal
  constructor(refusal: Refusal) {
    super(refusal.message)
    this.refusal = refusal
  }
}

const UNCHANGED = { redone: 0, added: [], removed: [], kept: [] }

/**
 * Reads every option of one moment: in one transaction each is tried on the boat herself, read, and undone to a savepoint, and the whole
 * is rolled back in the end. Planning comes after it, so nothing is locked while the planner thinks.
 */
export async function readOptions(db: Db, ctx: Ctx, buildId: string, options: readonly SheetOption[]): Promise<Result<AllRead, Refusal>> {
  let read: AllRead | null = null
  try {
    await transact(db, async (tx) => {
      read = await readAll(tx, ctx, buildId, options)
      throw new Undone()
    }, { isolation: 'repeatable read', timeoutMs: 60_000 })
  } catch (error) {
    if (error instanceof Refused) return refuse(error.refusal)
    if (!(error instanceof Undone)) throw error
  }
  if (read === null) throw new Error('an option sheet was read and nothing came of it')
  return ok(read)
}

async function readAll(tx: Tx, ctx: Ctx, buildId: string, options: readonly SheetOption[]): Promise<AllRead> {
  const build = await tx.build.findUniqueOrThrow({ where: { id: buildId }, select: { version: true } })
  const plan = await tx.plan.findFirst({ where: { status: { in: SHOWN } }, orderBy: { id: 'desc' }, select: { id: true } })
  const levers = await leversOf(tx, buildId)
  const varied = Object.keys(options[0]?.values ?? {})
  const own = await readOne(tx, ctx, buildId, options[0], varied, UNCHANGED)
  const all: OptionRead[] = []
  for (const option of options) {
    const gone = outOfReach(option.values, levers)
    if (gone && !gone.ok) throw new Refused(gone.refusal)
    const change = await changeFor(tx, buildId, option.values, levers)
    all.push(Object.keys(change).length === 0 ? own : await tried(tx, ctx, buildId, option, change, varied))
  }
  const resin = [...(await loadSystems(tx)).values()].map((s) => ({ resinId: s.resin.id, hardenerId: s.hardener.id }))
  return { buildVersion: build.version, planId: plan === null ? null : String(plan.id), own, options: all, resin }
}

async function tried(tx: Tx, ctx: Ctx, buildId: string, option: SheetOption, change: Record<string, number>, varied: readonly string[]): Promise<OptionRead> {
  await tx.$executeRaw`savepoint as_she_is`
  const done = await changeBoat(tx, ctx, buildId, { measured: change }, { why: 'an option is tried' })
  if (!done.ok) throw new Refused(done.refusal)
  const read = await readOne(tx, ctx, buildId, option, varied, done.value)
  await tx.$executeRaw`rollback to savepoint as_she_is`
  await tx.$executeRaw`release savepoint as_she_is`
  return read
}

async function readOne(tx: Tx, ctx: Ctx, buildId: string, option: SheetOption | undefined, varied: readonly string[], tasks: OptionResult['tasks']): Promise<OptionRead> {
  const estimate = await estimateOf(tx, buildId)
  if (!estimate.ok) throw new Refused({ status: 422, message: `Her figures don’t fit her job list: ${Object.values(estimate.refusal).join('; ')}.` })
  return {
    loaded: await loadProblem(tx, ctx.now),
    names: await namesOf(tx, buildId),
    estimate: estimatePart(estimate.value, option?.prices ?? {}, varied),
    tasks: { redone: tasks.redone, added: [...tasks.added], removed: [...tasks.removed], kept: [...tasks.kept] },
  }
}


/** Names for why she can't be launched, one after another as a transaction answers; of other builds' work there are none. */
async function namesOf(tx: Tx, buildId: string): Promise<NameBook> {
  const name = { select: { id: true, name: true } } as const
  const byId = (rows: readonly { id: string; name: string }[]) => new Map(rows.map((r) => [r.id, r.name]))
  const tasks = await tx.task.findMany({ where: { buildId }, select: { id: true, name: true, buildId: true } })
  const links = await tx.link.findMany({ where: { buildId }, select: { id: true, fromId: true, toId: true, kind: true, stage: true } })
  const items = await tx.item.findMany({ select: { id: true, name: true, unit: true } })
  return {
    builds: byId(await tx.build.findMany({ ...name, where: { id: buildId } })), people: new Map(), places: byId(await tx.place.findMany(name)),
    tools: byId(await tx.tool.findMany(name)), competences: byId(await tx.competence.findMany(name)),
    tasks: new Map(tasks.map((t) => [t.id, { name: t.name, buildId: t.buildId }])),
    links: new Map(links.map((l) => [l.id, { from: l.fromId, to: l.toId, kind: l.kind, stage: l.stage }])),
    items: new Map(items.map((i) => [i.id, { name: i.name, unit: i.unit }])),
  }
}
