import type { Reader } from '../../../../platform/database.ts'
import { found } from '../../../../platform/errors.ts'
import { launchSlot } from '../../diff.ts'
import type { NameBook, Slot, StoredUnplanned } from '../../model.ts'
import { nameBook } from '../../queries/names.ts'
import { currentPlan } from '../../queries/plans.ts'
import { isoDate } from '../../times.ts'
import type { ForecastModel } from '../model.ts'
import { forecastOf } from './forecast.ts'

export type ForecastPageModel = {
  readonly names: NameBook
  readonly build: { readonly id: string; readonly name: string; readonly state: 'active' | 'paused' | 'launched'; readonly launchTarget: string | null }
  readonly forecast: ForecastModel | null
  /** Launch by the newest plan. */
  readonly launch: Slot | null
  readonly hasPlan: boolean
  /** Of her tasks, those that can't be planned for a reason of their own. */
  readonly unplanned: readonly StoredUnplanned[]
}

export async function forecastPage(db: Reader, buildId: string, now: Date): Promise<ForecastPageModel> {
  const build = found(await db.build.findUnique({ where: { id: buildId }, select: { id: true, name: true, state: true, launchTarget: true } }))
  const [names, plan, forecast] = await Promise.all([nameBook(db, [buildId]), currentPlan(db, { buildId }), forecastOf(db, buildId, now)])
  const hers = (u: StoredUnplanned) => names.tasks.has(u.taskId) || names.links.has(u.taskId.replace('wash:', ''))
  const unplanned = (plan?.unplanned ?? []).filter(hers)
  const first = unplanned.filter((u) => u.reason.kind !== 'before')
  return {
    names, build: { ...build, launchTarget: build.launchTarget && isoDate(build.launchTarget) }, forecast,
    launch: plan && launchSlot(plan, buildId), hasPlan: plan !== null, unplanned: first.length > 0 ? first : unplanned,
  }
}
