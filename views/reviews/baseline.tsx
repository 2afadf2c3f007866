import type { BaselineLine, ProgressPage } from '../../src/features/reviews/progress/model.ts'
import { Button, CheckField, Form, format, hours, Sheet, Table, TextArea, usePage, useTimes, type Column, type FormRefusal, type PageClub, type TimeWords, type Typed } from '../shared/index.ts'

/** The work plan as it stands is agreed on, for the first time or anew. */
export function AgreeSheet({ build, progress, plan, hasTasks, refusal, typed }: ProgressPage & { refusal?: FormRefusal; typed?: Typed }) {
  const page = usePage()
  const times = useTimes()
  const { baseline } = progress
  if (!page.may('reviews.agree') || build.state === 'launched') return null
  const why = !hasTasks ? 'She has no tasks yet, so there is nothing to agree on.' : build.state === 'paused' ? 'She is paused, so the plan leaves her out: let her go on first.' : plan === null ? 'There is no work plan yet.' : null
  return (
    <Sheet title={baseline ? 'Agree the plan anew' : 'Agree on the plan'}>
      <p>
        {baseline
          ? 'What was agreed before is kept with its dates. From then on progress is measured against the plan as it stands now, with all that was added.'
          : 'Her work plan as it stands now becomes the agreed one: progress is measured against it. It never changes by itself.'}
      </p>
      {why !== null && <p class="muted">{why}</p>}
      {why === null && plan && (
        <p>As planned now she is launched {plan.launchAt === null ? 'on no date yet' : times.day(plan.launchAt)}{build.launchTarget && `; wanted by ${times.day(noon(build.launchTarget))}`}.</p>
      )}
      <Form action={`/builds/${build.id}/progress/agree`} hidden={{ plan: plan?.id ?? '' }} refusal={refusal} typed={typed} label="Agree on the plan">
        {baseline && <TextArea name="reason" label="Why anew" rows={2} hint="Kept beside it: more work than thought, a pause, another target" />}
        {plan !== null && plan.unplanned.length > 0 && (
          <>
            <p>Can’t be planned yet: {plan.unplanned.join(' · ')}.</p>
            <CheckField name="withUnplanned" label="Agree all the same" hint="They count as due when the rest is done" />
          </>
        )}
        {/* With a reason in the way the button stays away; a form that was refused keeps it, so that it can be sent again. */}
        {(why === null || refusal) && <Button kind={baseline ? 'plain' : 'main'}>{baseline ? 'Agree anew' : 'Agree on this plan'}</Button>}
      </Form>
    </Sheet>
  )
}

const noon = (day: string): number => Date.parse(`${day}T12:00:00Z`) / 60_000

export function BaselineTable({ baselines }: { baselines: readonly BaselineLine[] }) {
  const { club, may } = usePage()
  const times = useTimes()
  if (baselines.length === 0) return null
  return <Table caption="Plans that were agreed" columns={columns(times, club, may('builds.money'))} rows={baselines} rowKey={(b) => b.id} />
}

const columns = (times: TimeWords, club: PageClub | null, withMoney: boolean): Column<BaselineLine>[] => [
  { key: 'no', heading: 'No.', isName: true, cell: (b) => String(b.no) },
  { key: 'at', heading: 'Agreed', cell: (b) => `${times.date(b.agreedAt)}${b.by ? `, ${b.by}` : ''}` },
  { key: 'why', heading: 'Why', cell: (b) => b.reason || 'the first' },
  { key: 'work', heading: 'Work', cell: (b) => hours(b.totalMin) },
  { key: 'launch', heading: 'Launch as planned', cell: (b) => (b.launchAt === null ? 'no date' : times.day(b.launchAt)) },
  { key: 'target', heading: 'Wanted by', cell: (b) => (b.targetOn === null ? '–' : times.day(noon(b.targetOn))) },
  ...(withMoney ? [{ key: 'budget', heading: 'Materials', cell: (b: BaselineLine) => (b.budgetCents === null ? 'nothing priced' : format.wholeMoney(b.budgetCents, club)) }] : []),
]
