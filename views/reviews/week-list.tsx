import type { ReviewList, WeekLine } from '../../src/features/reviews/week/queries/review.ts'
import { Breadcrumb, ButtonLink, ButtonRow, Empty, hours, Layout, Swatch, Table, Tag, usePage } from '../shared/index.ts'
import { reviewWords, type ReviewWords } from './review-words.ts'

/** All weeks of a build: signed, drafted, or not looked at; gaps are normal. */
export function WeekReviews({ build, weeks }: ReviewList) {
  const page = usePage()
  const w = reviewWords(page.club ?? { zone: 'UTC', locale: 'en-GB', units: 'metric', currency: 'EUR' }, String(page.now.getUTCFullYear()))
  const at = `/builds/${build.id}/reviews`
  const [current, last] = [weeks.find((x) => x.isNow), weeks[weeks.findIndex((x) => x.isNow) + 1]]
  const mayEdit = page.may('reviews.edit')
  return (
    <Layout title={`Week reviews of ${build.name}`} section="builds" above={<Breadcrumb items={[{ href: '/builds', text: 'Builds' }, { href: `/builds/${build.id}`, text: build.name }]} />}>
      <p class="lead">One page a week: what was meant, what was done, what slipped and why, and what is next. A week without one is nothing to make up for.</p>
      <ButtonRow>
        {current && last && <ButtonLink href={`${at}/${last.monday}`} kind={last.state === 'signed' ? 'plain' : 'main'}>{last.state === 'signed' || !mayEdit ? 'Last week' : 'Review last week'}</ButtonLink>}
        {current && <ButtonLink href={`${at}/${current.monday}`} kind={last && last.state !== 'signed' ? 'plain' : 'main'}>This week so far</ButtonLink>}
      </ButtonRow>
      {weeks.length === 0 ? <Empty>Her first week has not begun yet.</Empty> : (
        <Table
          caption={`Every week of ${build.name}, newest first`} rows={weeks} rowKey={(x) => x.monday}
          columns={[
            { key: 'week', heading: 'Her week', cell: (x) => <><a href={`${at}/${x.monday}`}>Week {x.no}</a>{x.isNow && <> <Tag>now</Tag></>}</> },
            { key: 'iso', heading: 'Calendar', cell: (x) => <>{x.isoWeek}, {w.day(x.monday)} to {w.day(x.sunday)}</> },
            { key: 'worked', heading: 'Worked', numeric: true, cell: (x) => (x.workedMin > 0 ? hours(x.workedMin) : '–') },
            { key: 'state', heading: 'Review', cell: (x) => <State line={x} w={w} /> },
          ]}
        />
      )}
    </Layout>
  )
}

function State({ line: x, w }: { line: WeekLine; w: ReviewWords }) {
  if (x.state === 'signed') return <Swatch state="done">signed by {x.signedBy}{x.signedAt === null ? '' : `, ${w.dayAt(x.signedAt)}`}</Swatch>
  if (x.state === 'draft') return <Swatch state="under-way">draft</Swatch>
  if (x.pause) return <Swatch state="paused">paused{x.pause.note === '' ? '' : `: ${x.pause.note}`}</Swatch>
  if (x.workedMin === 0 && x.entries === 0) return <span class="muted">{x.isNow ? 'nothing logged yet' : 'nothing logged: a quiet week'}</span>
  return <span class="muted">{x.isNow ? 'under way' : 'none'}</span>
}
