import type { CatchUp } from '../../src/core/forecast/types.ts'
import type { Range } from '../../src/features/planning/forecast/compute.ts'
import type { ForecastModel } from '../../src/features/planning/forecast/model.ts'
import { Button, CAUSE_WORDS, CheckField, chanceWords, Form, NumberField, Sheet, Table, useField, type Column } from '../shared/index.ts'
import type { ForecastPageProps } from './forecast-props.ts'
import { hours, sentence, taskName, type TimeWords, type Words } from './words.ts'

type Lever = { readonly key: string; readonly what: string; readonly half: string; readonly four: string }

/** What would make her target the even date, and the date of four in five; or what binds. */
export function CatchUpSheet({ data, forecast, w }: { data: ForecastPageProps; forecast: ForecastModel; w: Words }) {
  const { half, fourInFive } = forecast.catchUp
  if (half === null || fourInFive === null) {
    const why = data.build.launchTarget === null
      ? 'She has no target. With one, it is said here what would make it; without, try your own figures below.'
      : Date.parse(`${data.build.launchTarget}T00:00:00Z`) / 60_000 > forecast.madeAt
        ? 'What would make her target is being worked out: it comes a little after the forecast. Meanwhile, try your own figures below.'
        : 'Her target is over, and nothing makes a date that is over: agree on another, or try your own figures below.'
    return <Sheet title="What would bring it forward"><p>{why}</p></Sheet>
  }
  const { times } = w
  const rows: Lever[] = [
    { key: 'now', what: 'As it is', half: launchWords(times, forecast.p50), four: launchWords(times, forecast.p80) },
    { key: 'extra', what: 'More hours each week from now on', half: extraWords(times, half), four: extraWords(times, fourInFive) },
    { key: 'helper', what: 'One more helper in every session', half: helperWords(times, half), four: helperWords(times, fourInFive) },
    { key: 'warmer', what: 'A warmer shop', half: warmerWords(times, half), four: warmerWords(times, fourInFive) },
  ]
  const columns: Column<Lever>[] = [
    { key: 'what', heading: 'With', isName: true, cell: (r) => r.what },
    { key: 'half', heading: 'Even chance of the target', cell: (r) => r.half },
    { key: 'four', heading: 'Four in five', cell: (r) => r.four },
  ]
  return (
    <Sheet title="What would bring it forward">
      <p>{sentence(summary(w, half, fourInFive))}</p>
      <Table caption={`What makes her target of ${times.day(half.target - 1)}`} columns={columns} rows={rows} rowKey={(r) => r.key} />
      <p class="muted">Each alone, the rest as it is. A helper knows what anyone may do; machines and resin still need somebody checked on them. Warmth shortens cures, not the work: keep to what the data sheets allow.</p>
    </Sheet>
  )
}

function summary(w: Words, half: CatchUp, four: CatchUp): string {
  if (half.extraPerWeek === null && four.extraPerWeek === null) return 'four in five launches make her target as it is: nothing more is needed'
  const parts: string[] = []
  if (half.extraPerWeek === null) parts.push('her target has an even chance as it is')
  else if (half.extraPerWeek !== 'not by hours') parts.push(`${hours(half.extraPerWeek)} a week more from now on give her target an even chance`)
  if (four.extraPerWeek !== null && four.extraPerWeek !== 'not by hours') parts.push(`${hours(four.extraPerWeek)} a week more make it four in five`)
  const binds = half.binds ?? four.binds
  if (binds) {
    const what = binds.taskId === null ? (binds.what ?? '') : taskName(w, binds.taskId)
    parts.push(`${half.binds ? 'no hours, helper or warmth make it' : 'four in five can’t be had'}: most of the way waits for ${CAUSE_WORDS[binds.cause]}${what === '' ? '' : ` (${what})`}`)
  }
  return parts.length > 0 ? parts.join('; ') : 'see what each would do'
}

const launchWords = (times: TimeWords, t: number | null): string => (t === null ? 'not within two years' : times.date(t))
const then = (times: TimeWords, t: number | null): string => (t === null ? '' : `: ${times.date(t)}`)

function extraWords(times: TimeWords, c: CatchUp): string {
  if (c.extraPerWeek === null) return 'not needed'
  if (c.extraPerWeek === 'not by hours') return `hours alone don’t make it${then(times, c.launches.extra)}`
  return `${hours(c.extraPerWeek)} a week${then(times, c.launches.extra)}`
}
function helperWords(times: TimeWords, c: CatchUp): string {
  if (c.helper === null) return 'not needed'
  return `${c.helper ? 'makes it' : 'not enough'}${then(times, c.launches.helper)}`
}
function warmerWords(times: TimeWords, c: CatchUp): string {
  if (c.warmer === null) return 'not needed'
  if (c.warmer === 'not by warmth') return `warmth doesn’t make it${then(times, c.launches.warmer)}`
  return `${Math.round(c.warmer * 10) / 10} °C${then(times, c.launches.warmer)}`
}

/** Somebody's own figures; nothing is changed by them. */
export function TrySheet({ data, w }: { data: ForecastPageProps; w: Words }) {
  const { build, tried, refusal, typed } = data
  return (
    <Sheet title="Try your own figures">
      <Form action={`/builds/${build.id}/forecast`} method="get" layout="row" label="Try figures" refusal={refusal} typed={typed}>
        <NumberField name="hours" label="More hours a week" unit="h" hint="Of all hands together" />
        <NumberField name="warmer" label="Shop warmer by" unit="°C" />
        <HelperField />
        <Button kind="main">What then?</Button>
      </Form>
      {tried && <TriedTable tried={tried} w={w} />}
      <p class="muted">Nothing is changed by it: the same launches are simulated with your figures.</p>
    </Sheet>
  )
}

function HelperField() {
  const field = useField('helper')
  return <CheckField name="helper" value="yes" label="One more helper" checked={field.ticked('yes', false)} />
}

function TriedTable({ tried: { input, result }, w }: { tried: NonNullable<ForecastPageProps['tried']>; w: Words }) {
  const { times } = w
  const asked = [
    input.hours !== null && input.hours > 0 ? `${hours(Math.round(input.hours * 60))} more a week` : '', input.helper ? 'one more helper' : '', input.warmer !== null && input.warmer > 0 ? `${input.warmer} °C warmer` : '',
  ].filter((t) => t !== '').join(', ')
  const rows: { key: string; name: string; range: Range }[] = [{ key: 'now', name: 'As it is', range: result.now }, { key: 'then', name: sentence(asked).replace(/\.$/, ''), range: result.then }]
  const columns: Column<(typeof rows)[number]>[] = [
    { key: 'name', heading: 'With', isName: true, cell: (r) => r.name },
    { key: 'half', heading: 'Even chance by', cell: (r) => launchWords(times, r.range.p50) },
    { key: 'four', heading: 'Four in five by', cell: (r) => launchWords(times, r.range.p80) },
    { key: 'span', heading: 'Eight in ten within', cell: (r) => (r.range.p10 === null ? '–' : `${times.date(r.range.p10)} to ${launchWords(times, r.range.p90)}`) },
    ...(result.now.targetChance === null ? [] : [{ key: 'target', heading: 'Her target has', cell: (r: (typeof rows)[number]) => (r.range.targetChance === null ? '–' : chanceWords(r.range.targetChance)) }]),
  ]
  return <Table caption="What your figures would do" columns={columns} rows={rows} rowKey={(r) => r.key} />
}
