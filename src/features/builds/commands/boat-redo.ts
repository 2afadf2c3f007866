/** Hours, materials and names of tasks that nobody began, as the changed boat has them; what people changed by hand stays. */
import type { DraftMaterial, DraftTask } from '../job-lists/types.ts'
import { sameAmount, sameWork } from '../facts/listed.ts'
import { tiesOf } from './boat-add.ts'
import { isBegun, type BoatTask, type Changing } from './boat-task.ts'
import { materialColumns } from './insert-tasks.ts'

type Row = BoatTask['materials'][number]

/** @returns how many tasks changed */
export async function redoTasks(c: Changing, gone: ReadonlySet<string>): Promise<number> {
  const { tx, before, after, tasks, isOld } = c
  const [was, will] = [new Map(before.tasks.map((t) => [t.listKey, t])), new Map(after.tasks.map((t) => [t.listKey, t]))]
  const shares = sharesOfHalves(tasks.filter((t) => !gone.has(t.id)))
  const ties = await tiesOf(c)
  let redone = 0
  for (const task of tasks) {
    if (gone.has(task.id) || isBegun(task)) continue
    const [old, now] = task.listKey === null ? [undefined, undefined] : [was.get(task.listKey), will.get(task.listKey)]
    const work = old !== undefined && now !== undefined && sameWork(task, old) && !sameWork(task, now)
    const name = old !== undefined && now !== undefined && task.name === old.name && now.name !== old.name
    const { drop, put } = old && now ? materialsOf(task, old, now, shares, isOld && task.version === 1) : { drop: [], put: halves(task, after.lines, shares) }
    if (!work && !name && drop.length === 0 && put.length === 0) continue
    redone++
    // Also where only its materials are others: a form that was open meanwhile would put the old ones back, as typed by hand.
    await tx.task.update({
      where: { id: task.id },
      data: { ...(work ? { workLowMin: now!.workLowMin, workLikelyMin: now!.workLikelyMin, workHighMin: now!.workHighMin } : {}), ...(name ? { name: now!.name } : {}), version: { increment: 1 } },
    })
    if (drop.length > 0) await tx.taskMaterial.deleteMany({ where: { id: { in: drop } } })
    for (const { row, material } of put) {
      const tie = row && row.name === material.name ? {} : ties(material.name, task.productId, material.unit)
      if (row) await tx.taskMaterial.update({ where: { id: row.id }, data: { ...materialColumns(material), ...tie } })
      else await tx.taskMaterial.create({ data: { ...materialColumns(material), taskId: task.id, ...ties(material.name, task.productId, material.unit) } })
    }
  }
  return redone
}

/** Names of tasks that are begun or done, and would take other goods by now: her panels are cut from what they are cut from. */
export function begunOtherwise({ before, after, tasks }: Changing, gone: ReadonlySet<string>): string[] {
  const goodsOf = (draft: DraftTask | undefined): string => (draft?.materials ?? []).map((m) => m.name).sort().join('\n')
  const [was, will] = [new Map(before.tasks.map((t) => [t.listKey, t])), new Map(after.tasks.map((t) => [t.listKey, t]))]
  return tasks.flatMap((task) => {
    if (gone.has(task.id) || !isBegun(task) || task.listKey === null) return []
    const [old, now] = [was.get(task.listKey), will.get(task.listKey)]
    return old && now && goodsOf(old) !== goodsOf(now) ? [task.name] : []
  })
}

type Plan = { drop: string[]; put: { row: Row | null; material: DraftMaterial }[] }

/** Rows of the list's lines are the list's; one that somebody typed anew or deleted is not put back. */
function materialsOf(task: BoatTask, old: DraftTask, now: DraftTask, shares: Shares, isOld: boolean): Plan {
  if (isOld) return { drop: task.materials.map((m) => m.id), put: now.materials.map((material) => ({ row: null, material })) }
  const plan: Plan = { drop: [], put: [] }
  const lines = new Set(now.materials.map((m) => m.line))
  for (const row of task.materials) {
    if (row.line !== null && !lines.has(row.line) && old.materials.some((m) => m.line === row.line)) plan.drop.push(row.id)
  }
  for (const listed of now.materials) {
    const row = task.materials.find((m) => m.line === listed.line) ?? null
    if (row === null && old.materials.some((m) => m.line === listed.line)) continue
    const material = row === null ? listed : halved(listed, row, shares)
    if (row === null || !sameAmount(row, material)) plan.put.push({ row, material })
  }
  return plan
}

/** Of lines that a split task takes too: what each row has of all rows. */
type Shares = ReadonlyMap<string, number>

function sharesOfHalves(tasks: readonly BoatTask[]): Shares {
  const split = new Set(tasks.filter((t) => t.listKey === null).flatMap((t) => t.materials.flatMap((m) => m.line ?? [])))
  const all = new Map<string, number>()
  for (const m of tasks.flatMap((t) => t.materials)) if (m.line !== null && split.has(m.line)) all.set(m.line, (all.get(m.line) ?? 0) + m.likely)
  return all
}

const cents = (n: number): number => Math.round(n * 100) / 100

function halved(listed: DraftMaterial, row: Row, shares: Shares): DraftMaterial {
  const all = shares.get(row.line ?? '')
  if (all === undefined || all <= 0) return listed
  return scaled(listed, row.likely / all / listed.share)
}

const scaled = (m: DraftMaterial, by: number): DraftMaterial => ({ ...m, low: cents(m.low * by), likely: cents(m.likely * by), high: cents(m.high * by), share: m.share * by })

/** The other half of a task that was split has no key in the list; its lines follow in proportion. */
function halves(task: BoatTask, lines: Changing['after']['lines'], shares: Shares): Plan['put'] {
  if (task.listKey !== null) return []
  return task.materials.flatMap((row) => {
    const [line, all] = [lines.find((l) => l.key === row.line), shares.get(row.line ?? '')]
    if (!line || all === undefined || all <= 0) return []
    const part = row.likely / all
    const amount = (end: 'low' | 'likely' | 'high') => cents((line.net[end] + line.waste[end]) * part)
    const material: DraftMaterial = {
      name: line.material, unit: line.unit, low: amount('low'), likely: amount('likely'), high: amount('high'),
      rule: row.rule, line: line.key, ruleKey: line.rule, factor: line.factor, share: part,
    }
    return sameAmount(row, material) ? [] : [{ row, material }]
  })
}
