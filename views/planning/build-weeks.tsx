import type { BuildWeeks, WeekRow } from '../../src/features/planning/queries/build-weeks.ts'
import { Breadcrumb, ButtonLink, ButtonRow, Empty, Layout, LineChart, Table, Tag, type Column } from '../shared/index.ts'
import { useTimes } from '../shared/time.tsx'
import { launchDay } from './words/moves.ts'
import { hours, sentence, type TimeWords } from './words.ts'

/** For every ISO week: hours available, planned, logged, work left, and the launch as it was projected. */
export function BuildWeeksPage(data: BuildWeeks) {
  const times = useTimes()
  const { build, rows } = data
  const chart = around(rows)
  return (
    <Layout title={`${build.name}, week by week`} section="builds" wide above={<Breadcrumb items={[{ href: '/builds', text: 'Builds' }, { href: `/builds/${build.id}`, text: build.name }]} />}>
      <p class="lead">{says(times, data)}</p>
      <ButtonRow><ButtonLink href={`/builds/${build.id}/plan`}>Her plan, piece by piece</ButtonLink></ButtonRow>
      {rows.length === 0 && <Empty>No week has begun yet.</Empty>}
      {chart.length > 1 && (
        <LineChart
          caption={`Hours a week on ${build.name}`}
          says={`Hours her team can come, planned and logged, ${label(chart[0])} to ${label(chart.at(-1))}.`}
          unit="h" xHeading="Week" x={chart.map((r) => label(r))}
          nowAt={chart.findIndex((r) => r.isNow)}
          series={[
            { name: 'Available', values: chart.map((r) => inHours(r.available)) },
            { name: 'Planned', values: chart.map((r) => inHours(r.planned)) },
            { name: 'Logged', values: chart.map((r) => (r.isPast || r.isNow ? inHours(r.logged) : null)) },
          ]}
        />
      )}
      <Table caption={`Every week of ${build.name}`} columns={columns(times)} rows={rows} rowKey={(r) => r.monday} />
      <p class="muted">
        Available: hours that her team comes, answered or usual; they may go into other builds too. Planned: for past weeks what the plan meant when the week began. Work left: hands-on hours when a past
        week began, after this week and the ones to come if all goes as planned. A dash: from before there was a plan.
      </p>
    </Layout>
  )
}

const label = (r: WeekRow | undefined): string => (r ? `week ${Number(r.label.split('-W')[1])}` : '')
const inHours = (minutes: number | null): number | null => (minutes === null ? null : Math.round(minutes / 6) / 10)
const cell = (minutes: number | null): string => (minutes === null ? '–' : hours(minutes))

/** A quarter back, half a year ahead: more can't be read. */
function around(rows: readonly WeekRow[]): WeekRow[] {
  const now = Math.max(0, rows.findIndex((r) => r.isNow))
  return rows.slice(Math.max(0, now - 13), now + 27)
}

function columns(times: TimeWords): Column<WeekRow>[] {
  return [
    { key: 'week', heading: 'Week', isName: true, cell: (r) => <>{r.label}{r.isNow && <> <Tag>now</Tag></>}{r.isLaunchWeek && <> <Tag>launch</Tag></>}</> },
    { key: 'from', heading: 'From', cell: (r) => times.date(Date.parse(`${r.monday}T12:00:00Z`) / 60_000) },
    { key: 'available', heading: 'Available', numeric: true, cell: (r) => cell(r.available) },
    { key: 'planned', heading: 'Planned', numeric: true, cell: (r) => cell(r.planned) },
    { key: 'logged', heading: 'Logged', numeric: true, cell: (r) => (r.isPast || r.isNow ? hours(r.logged) : '') },
    { key: 'left', heading: 'Work left', numeric: true, cell: (r) => cell(r.left) },
    { key: 'launch', heading: 'Projected launch', cell: (r) => (r.launch === null ? (r.isPast || r.isNow ? '–' : '') : times.week(r.launch)) },
  ]
}

function says(times: TimeWords, { rows, launch, leftNow, build, hasPlan }: BuildWeeks): string {
  const now = rows.find((r) => r.isNow)
  const left = `${hours(leftNow)} of hands-on work ${leftNow === 60 ? 'is' : 'are'} left`
  if (build.state === 'paused') return `${sentence(left)} She is paused.`
  if (!hasPlan) return `${sentence(left)} The plan is being worked out.`
  const this_ = now ? `this week ${hours(now.logged)} ${now.logged === 60 ? 'is' : 'are'} logged of ${cell(now.planned)} planned, with ${cell(now.available)} available` : ''
  const when = launch === null ? 'something before the launch can’t be planned yet' : `as planned she is launched ${launchDay({ times }, launch)}`
  return `${sentence(left)} ${sentence(this_)} ${sentence(when)}`
}
