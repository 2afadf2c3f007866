import type { PhaseProgress, Progress as ProgressModel, ProgressPage as Model, WeekPoint } from '../../src/features/reviews/progress/model.ts'
import { weekLabel } from '../../src/core/calendar/index.ts'
import {
  Breadcrumb, ButtonLink, ButtonRow, DefinitionRows, format, hours, Layout, LineChart, Notice, Progress, Sheet, Table, usePage, weekWords, type Column, type FormRefusal, type Typed,
} from '../shared/index.ts'
import { AgreeSheet, BaselineTable } from './baseline.tsx'
import { chartWords, earnedWords, EXTRA_WHY, extraWords, massWords, moneyWords, progressSentence, shapeWords } from './progress-words.ts'

export type ProgressProps = Model & { refusal?: FormRefusal; typed?: Typed }

/** How far she is by work, beside the plan that was agreed. */
export function ProgressPage(props: ProgressProps) {
  const { build, progress: p, makesGood } = props
  const { club, may } = usePage()
  const at = `/builds/${build.id}`
  const shape = build.state === 'launched' ? null : shapeWords(p, club)
  const extra = extraWords(p)
  const mass = massWords(p, props.estimatedG, club)
  return (
    <Layout title={`${build.name}: progress`} section="builds" wide above={<Breadcrumb items={[{ href: '/builds', text: 'Builds' }, { href: at, text: build.name }]} />}>
      <p class="lead">{progressSentence(p, makesGood)}</p>
      {build.state === 'paused' && <Notice><p>She is paused; pauses are quite usual. Weeks of rest count like any other beside the agreed plan: agree it anew when she goes on.</p></Notice>}
      <Progress share={p.share}>{format.percent(p.share, club)} of her work is done, counted in hours</Progress>
      {shape && <p>{shape}</p>}
      <ButtonRow>
        <ButtonLink href={`${at}/forecast`}>Forecast</ButtonLink>
        <ButtonLink href={`${at}/reviews`}>Week reviews</ButtonLink>
        <ButtonLink href={`${at}/plan`}>Work plan</ButtonLink>
      </ButtonRow>
      <Weeks p={p} name={build.name} />
      <Sheet title="By phase">
        <Table caption={`Phases of ${build.name}`} quietCaption columns={phaseColumns(club)} rows={p.phases} rowKey={(r) => r.name} empty="Her tasks have no hands-on work yet." />
        <p class="muted">A task that is finished has earned all its agreed hours; one that is begun what its ticked steps weigh, at most nine tenths; without steps nothing until it is finished.</p>
      </Sheet>
      <Sheet title="Hours">
        <DefinitionRows
          rows={[
            [p.baseline ? 'Earned, of what was agreed' : 'Earned, of what is estimated', earnedWords(p)],
            ['Meant by now', p.plannedMin === null ? null : hours(p.plannedMin)],
            ['Worked so far', `${hours(p.workedMin)}, with setting up, clearing up and what was done again`],
            ['Left to do', hours(p.leftMin)],
            ['Of it, not in the agreed plan', p.baseline ? hours(p.extraMin) : null],
          ]}
        />
        {extra && <p>{extra}</p>}
        {p.extras.length > 0 && (
          <ul class="plain-list">
            {p.extras.map((e) => <li key={`${e.taskId}${e.why}`}><a href={`${at}/tasks/${e.taskId}`}>{e.name}</a>: {hours(e.leftMin)} left, {EXTRA_WHY[e.why]}</li>)}
          </ul>
        )}
        {p.gone.length > 0 && <p class="muted">Taken off since: {p.gone.map((g) => g.name).join(' · ')}.</p>}
      </Sheet>
      {may('builds.money') && (
        <Sheet title="Money and weight" actions={<ButtonLink href={`${at}/costs`}>What she cost</ButtonLink>}>
          <p>{moneyWords(p, club)}</p>
          <Money p={p} />
          {mass && <p>{mass}</p>}
        </Sheet>
      )}
      {!may('builds.money') && mass && <Sheet title="Weight"><p>{mass}</p></Sheet>}
      <AgreeSheet {...props} />
      <BaselineTable baselines={p.baselines} />
    </Layout>
  )
}

const inHours = (minutes: number | null): number | null => (minutes === null ? null : Math.round(minutes / 6) / 10)
const MOST_BACK = 30
const MOST_AHEAD = 22

function Weeks({ p, name }: { p: ProgressModel; name: string }) {
  const nowAt = p.series.findLastIndex((w) => w.earned !== null)
  const shown = p.series.slice(Math.max(0, nowAt - MOST_BACK), nowAt + MOST_AHEAD)
  if (shown.length < 2 || p.totalMin === 0) return null
  const label = (w: WeekPoint) => weekWords(weekLabel(w.monday))
  const short = (w: WeekPoint) => label(w).replace(/ of \d+$/, '')
  return (
    <LineChart
      caption={`Work done on ${name}, by week`} says={chartWords(p)} unit="h" xHeading="By the end of" x={shown.map(short)} nowAt={shown.findLastIndex((w) => w.earned !== null)}
      series={[
        ...(p.baseline ? [{ name: 'Agreed plan', values: shown.map((w) => inHours(w.planned)) }] : []),
        { name: 'Earned', values: shown.map((w) => inHours(w.earned)) },
      ]}
    />
  )
}

const phaseColumns = (club: ReturnType<typeof usePage>['club']): Column<PhaseProgress>[] => [
  { key: 'name', heading: 'Phase', isName: true, cell: (r) => r.name },
  { key: 'total', heading: 'Work', numeric: true, cell: (r) => hours(r.totalMin) },
  { key: 'earned', heading: 'Earned', numeric: true, cell: (r) => hours(r.earnedMin) },
  { key: 'share', heading: 'Done', numeric: true, cell: (r) => format.percent(r.earnedMin / r.totalMin, club) },
]

function Money({ p: { money, baseline } }: { p: ProgressModel }) {
  const { club } = usePage()
  if (money === null) return baseline ? <p class="muted">No material had a price when the plan was agreed, so there is no budget to hold that against.</p> : null
  const unpriced = baseline?.unpriced ?? []
  return (
    <>
      <DefinitionRows
        rows={[
          ['Budget, materials only', format.money(money.budget, club)],
          ['The work done was to take', format.money(money.earned, club)],
          ['Charged to her', format.money(money.spent, club)],
          ['At the end, if the rest takes what was agreed', format.money(money.atEnd, club)],
        ]}
      />
      {unpriced.length > 0 && <p class="muted">Not in the budget, for they had no price: {unpriced.join(', ')}.</p>}
      <p class="muted">Hours are never priced.</p>
    </>
  )
}
