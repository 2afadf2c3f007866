import type { ForecastModel, Step } from '../../src/features/planning/forecast/model.ts'
import { Breadcrumb, ButtonLink, ButtonRow, Empty, forecastSentence, LaunchFan, Layout, Notice, partWords, Sheet, spanWords, Table, toldParts, type Column } from '../shared/index.ts'
import { CatchUpSheet, TrySheet } from './forecast-catch-up.tsx'
import { DriversSheet, PaceSheet } from './forecast-drivers.tsx'
import type { ForecastPageProps } from './forecast-props.ts'
import { useWords } from './use-words.ts'
import { launchDay, sentence, taskName, unplannedReason, type Words } from './words.ts'

/** When will she be launched: a range, the reason it moved, what drives it and what would bring it forward. */
export function ForecastPage(data: ForecastPageProps) {
  const w = useWords(data.names)
  const { build, forecast } = data
  const isLive = build.state === 'active' && forecast !== null
  return (
    <Layout title={`${build.name}: forecast`} section="builds" wide live={['plan']} above={<Breadcrumb items={[{ href: '/builds', text: 'Builds' }, { href: `/builds/${build.id}`, text: build.name }]} />}>
      {isLive && <p class="lead">{forecastSentence(w.times, forecast)}</p>}
      <ButtonRow>
        <ButtonLink href={`/builds/${build.id}/plan`}>Her plan, piece by piece</ButtonLink>
        <ButtonLink href={`/builds/${build.id}/weeks`}>Week by week</ButtonLink>
        <ButtonLink href={`/builds/${build.id}/options`}>Compare options</ButtonLink>
      </ButtonRow>
      <WhyNone data={data} w={w} />
      {isLive && <p class="muted">{madeWords(w, data, forecast)}</p>}
      {isLive && (
        <>
          {forecast.step !== null && <StepSheet step={forecast.step} />}
          <CatchUpSheet data={data} forecast={forecast} w={w} />
          <TrySheet data={data} w={w} />
        </>
      )}
      {forecast !== null && <Sheet title="How the forecast moved"><LaunchFan name={build.name} weeks={forecast.fan} target={build.launchTarget ?? forecast.targetOn} /></Sheet>}
      {isLive && (
        <>
          <DriversSheet drivers={forecast.drivers} />
          <PaceSheet forecast={forecast} />
          <Notice><p>Pauses are normal: a boat that rests is not behind. A week without a session, or with her paused, teaches the forecast nothing.</p></Notice>
        </>
      )}
    </Layout>
  )
}

function madeWords({ times }: Words, { launch }: ForecastPageProps, f: ForecastModel): string {
  const isLater = launch !== null && f.p50 !== null && f.p50 > launch.start
  const planned = launch === null ? '' : ` If all went as planned she would be launched ${launchDay({ times }, launch)}${isLater ? '; the range is later because things come in between' : ''}.`
  return `Worked out ${times.dayTime(f.madeAt)} from ${f.runs.toLocaleString('en-GB')} simulated launches, each with other work, other people coming, other weather and other faults.${planned}`
}

function WhyNone({ data, w }: { data: ForecastPageProps; w: Words }) {
  const { build, forecast, hasPlan, launch, unplanned } = data
  if (build.state === 'paused') return <Notice title="Paused"><p>She rests, so nothing is forecast. When she goes on, so does her forecast.</p></Notice>
  if (build.state === 'launched') return <Notice kind="good" title="Launched"><p>She is in the water: nothing is left to forecast.</p></Notice>
  if (!hasPlan) return <Empty action={<ButtonLink href={`/builds/${build.id}/forecast`}>Look again</ButtonLink>}>No plan is made yet, and a forecast follows a plan.</Empty>
  if (launch === null) {
    return (
      <Notice kind="care" title={forecast === null ? 'No forecast yet' : 'The forecast below is from before'}>
        <p>By the plan as it is she has no launch: something before it can’t be planned.</p>
        <ul class="unplanned">
          {unplanned.map((u) => (
            <li key={u.taskId}><a href={taskHref(w, build.id, u.taskId)}>{sentence(taskName(w, u.taskId)).replace(/\.$/, '')}</a>: {sentence(unplannedReason(w, u.reason))}</li>
          ))}
        </ul>
        {unplanned.length === 0 && <p><a href={`/builds/${build.id}/plan`}>See her plan</a>.</p>}
      </Notice>
    )
  }
  if (forecast === null) return <Empty action={<ButtonLink href={`/builds/${build.id}/forecast`}>Look again</ButtonLink>}>The forecast is being worked out: it comes some seconds after the plan.</Empty>
  return null
}

/** A wash is found at the coat it is for. */
function taskHref({ names }: Words, buildId: string, taskId: string): string {
  const id = taskId.startsWith('wash:') ? (names.links.get(taskId.slice(5))?.to ?? '') : taskId
  return `/builds/${buildId}/tasks/${id}`
}

function StepSheet({ step }: { step: Step }) {
  const parts = toldParts(step)
  const columns: Column<(typeof parts)[number]>[] = [
    { key: 'what', heading: 'What moved it', isName: true, cell: (p) => sentence(partWords(p)).replace(/\.$/, '') },
    { key: 'by', heading: 'By', cell: (p) => `${spanWords(p.minutes)} ${p.minutes > 0 ? 'later' : 'sooner'}` },
    { key: 'detail', heading: 'In figures', cell: (p) => (p.cause === 'took-longer' || p.cause === 'fewer-hands' ? p.detail : '') },
  ]
  return (
    <Sheet title="Why it moved since the week before">
      {parts.length === 0 ? <p>It stands where it stood: nothing moved it by half a day or more.</p> : <Table caption="Parts of the move of the even date; together they are the whole" columns={columns} rows={parts} rowKey={(p) => p.cause} />}
      <p class="muted">The same launches were simulated again with each reason taken out, one after another. What no other reason takes falls to sessions, deliveries, windows and other builds.</p>
    </Sheet>
  )
}
