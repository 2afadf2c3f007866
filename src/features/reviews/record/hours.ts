import type { Craft } from '../../../core/forecast/types.ts'
import type { Reader } from '../../../platform/database.ts'
import { localDate } from '../../../platform/times.ts'
import { craftOf, craftSelect } from '../../builds/public.ts'
import type { RecordHours, Stretch } from './model.ts'

/** All stretches of work on a build that were not taken back, oldest first. */
export async function stretchesOf(db: Reader, buildId: string): Promise<Stretch[]> {
  const logs = await db.$queryRaw<{ at: Date; task: string; elapsed: number; hands: number; note: string }[]>`
    select w.started_at as at, w.task_id as task, w.elapsed_min as elapsed, (select count(*) from work_log_person p where p.work_log_id = w.id)::int as hands, w.note
    from work_log w where w.build_id = ${buildId}::uuid and w.reverses_id is null and not exists (select from work_log r where r.reverses_id = w.id)
    order by w.started_at, w.id`
  const tasks = await db.task.findMany({ where: { buildId }, select: { id: true, phase: { select: { name: true } }, ...craftSelect } })
  const byId = new Map(tasks.map((t) => [t.id, { task: t.name, phase: t.phase.name, craft: craftOf(t) }]))
  return logs.flatMap((l) => {
    const task = byId.get(l.task)
    return task ? [{ at: l.at, ...task, elapsedMin: l.elapsed, hands: l.hands, note: l.note }] : []
  })
}

/** By phase in the order of her list, and by kind of work; never by person. */
export function hoursOf(stretches: readonly Stretch[], phases: readonly string[], zone: string): RecordHours {
  const add = (sums: Partial<Record<Craft, number>>, craft: Craft, minutes: number) => void (sums[craft] = (sums[craft] ?? 0) + minutes)
  const byPhase = new Map<string, RecordHours['byPhase'][number]>([...new Set(phases)].map((phase) => [phase, { phase, minutes: 0, byCraft: {} }]))
  const byCraft: Partial<Record<Craft, number>> = {}
  for (const s of stretches) {
    const minutes = s.elapsedMin * s.hands
    const row = byPhase.get(s.phase)
    if (row) {
      row.minutes += minutes
      add(row.byCraft, s.craft, minutes)
    }
    add(byCraft, s.craft, minutes)
  }
  const day = (s: Stretch | undefined) => (s ? localDate(zone, s.at) : null)
  return {
    totalMin: stretches.reduce((n, s) => n + s.elapsedMin * s.hands, 0), byPhase: [...byPhase.values()].filter((p) => p.minutes > 0), byCraft,
    firstOn: day(stretches[0]), lastOn: day(stretches.at(-1)),
  }
}
