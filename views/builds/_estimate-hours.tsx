import type { EstimatePageModel } from '../../src/features/builds/queries/estimate-page.ts'
import { format, plural, Sheet, usePage } from '../shared/index.ts'
import { hoursWords, inputWords, minutesWords } from './_estimate-words.ts'

type Phase = EstimatePageModel['totals']['byPhase'][number]
type Task = Phase['tasks'][number]

/** Hours by phase, each phase opening to its tasks and how each one's hours came about. */
export function EstimateHours({ totals, buildId }: { totals: EstimatePageModel['totals']; buildId: string }) {
  const { club } = usePage()
  return (
    <Sheet title="Hours by phase">
      {totals.byPhase.length === 0 && <div class="empty"><p>She has no tasks yet: hours come with them.</p></div>}
      {totals.byPhase.length > 0 && (
        <p>
          {hoursWords(totals.hours, club)} of all hands together. The ends are sums of all lows and of all highs, and those never all happen.
          {' '}<a href={`/builds/${buildId}/plan`}>When it can be done</a>
        </p>
      )}
      {totals.byPhase.map((phase) => (
        <details key={phase.name} class="estimate-phase">
          <summary><b>{phase.name}</b> <span class="quiet">{minutesWords(phase.minutes, club)}, {plural(phase.tasks.length, 'task', 'tasks')}</span></summary>
          <ul class="estimate-inputs">{phase.tasks.map((t) => <li key={t.id ?? t.name}><TaskLine task={t} buildId={buildId} /></li>)}</ul>
        </details>
      ))}
    </Sheet>
  )
}

function TaskLine({ task, buildId }: { task: Task; buildId: string }) {
  const { club } = usePage()
  return (
    <>
      {task.id === null ? task.name : <a href={`/builds/${buildId}/tasks/${task.id}`}>{task.name}</a>}: {minutesWords(task.minutes, club)}{task.kind === 'together' && ' of hands'}
      {task.kind === 'together' && `, ${task.hands} together`}{task.kind === 'unattended' && ', by itself'}{task.isDone && ', finished'}
      <br /><span class="quiet">{ruleWords(task, club)}</span>
      {task.stated !== null && <><br /><span class="quiet">The task itself says {minutesWords(task.stated, club)}.</span></>}
    </>
  )
}

function ruleWords({ rule, kind }: Task, club: ReturnType<typeof usePage>['club']): string {
  if (rule === null) return 'As a person put it in.'
  const n = (x: number) => format.number(x, club, 2)
  const [low, likely, high] = rule.base
  const base = `${minutesWords({ low, likely, high }, club)}${kind === 'together' ? ' with everybody at once' : ''} on the boat that the list is made for`
  if (rule.by.length === 0) return rule.grade === 1 ? `${base}; does not grow with the boat.` : `${base}, × ${n(rule.grade)} for the finish.`
  const said = (value: number, unit: string) => inputWords({ value, unit }, club)
  const by = rule.by.map((b) => `${b.label.toLowerCase()} ${said(b.value, b.unit)} against ${said(b.calibrated, b.unit)}`).join(' and ')
  const part = rule.share === 1 ? 'all of it grows' : `${format.percent(rule.share, club)} of it grows`
  return `${base}; ${part} with ${by}${rule.grade === 1 ? '' : `, × ${n(rule.grade)} for the finish`}: × ${n(rule.factor)} in all.`
}
