import type { Driver } from '../../src/core/forecast/types.ts'
import { CAUSES } from '../../src/core/forecast/types.ts'
import type { Drivers, ForecastModel } from '../../src/features/planning/forecast/model.ts'
import { attendanceWords, CAUSE_WORDS, CRAFT_WORDS, paceWords, Sheet, SOURCE_WORDS, spanWords, sureWords, Table, type Column } from '../shared/index.ts'
import { hours, list, sentence } from './words.ts'

type Row = { readonly key: string; readonly name: string } & Driver

/** What the time to the launch goes into, and what makes the range as wide as it is. */
export function DriversSheet({ drivers }: { drivers: Drivers }) {
  const causes: Row[] = CAUSES.map((c) => ({ key: c, name: sentence(CAUSE_WORDS[c]).replace(/\.$/, ''), ...drivers.causes[c] })).filter(told).sort(byTime)
  const phases: Row[] = drivers.phases.map((p) => ({ key: p.name, ...p })).filter(told)
  return (
    <Sheet title="What drives it">
      <p>{sentence(driversSay(drivers))}</p>
      <div class="table-pair">
        <Table caption="By what the way to the launch waits for" columns={columns('Cause')} rows={causes} rowKey={(r) => r.key} empty="Nothing is left on the way." />
        <Table caption="By phase" columns={columns('Phase')} rows={phases} rowKey={(r) => r.key} empty="Nothing is left on the way." />
      </div>
      <p class="muted">Days: the mean of the simulated launches, along what keeps each launch where it is. Share of the range: how much of its width goes with it.</p>
    </Sheet>
  )
}

const HALF_DAY = 720
const told = (d: Driver): boolean => d.minutes >= HALF_DAY || d.spread >= 0.02
const byTime = (a: Driver, b: Driver): number => b.minutes - a.minutes

const columns = (heading: string): Column<Row>[] => [
  { key: 'name', heading, isName: true, cell: (r) => r.name },
  { key: 'days', heading: 'On the way', cell: (r) => spanWords(r.minutes) },
  { key: 'spread', heading: 'Share of the range', numeric: true, cell: (r) => `${Math.round(r.spread * 100)} %` },
]

export function driversSay({ causes, sources, meanWork }: Drivers): string {
  const long = CAUSES.filter((c) => causes[c].minutes >= HALF_DAY).sort((a, b) => causes[b].minutes - causes[a].minutes).slice(0, 2)
  const wide = (Object.keys(SOURCE_WORDS) as (keyof typeof SOURCE_WORDS)[]).filter((s) => sources[s] >= 0.15).sort((a, b) => sources[b] - sources[a]).slice(0, 2)
  const left = `about ${hours(Math.round(meanWork))} of hands-on work are left, with what may have to be done again`
  const way = long.length === 0 ? '' : `; most of the way goes into ${list(long.map((c) => `${CAUSE_WORDS[c]} (${spanWords(causes[c].minutes)})`))}`
  const range = wide.length === 0 ? '' : `; the range is as wide as it is mostly because of ${list(wide.map((s) => `${SOURCE_WORDS[s]} (${Math.round(sources[s] * 100)} %)`))}`
  return `${left}${way}${range}`
}

type PaceRow = ForecastModel['pace'][number]

/** What her logged hours say, by kind of work; and how often the hours meant come. */
export function PaceSheet({ forecast: { pace, attendance } }: { forecast: ForecastModel }) {
  const known = pace.filter((p) => p.count > 0)
  const most = [...known].sort((a, b) => b.count - a.count)[0]
  const cols: Column<PaceRow>[] = [
    { key: 'craft', heading: 'Kind of work', isName: true, cell: (p) => sentence(CRAFT_WORDS[p.craft]).replace(/\.$/, '') },
    { key: 'factor', heading: 'Times the estimate', numeric: true, cell: (p) => p.factor.toFixed(2) },
    { key: 'range', heading: 'Four times in five', numeric: true, cell: (p) => `${p.low.toFixed(2)}–${p.high.toFixed(2)}` },
    { key: 'count', heading: 'Her tasks', numeric: true, cell: (p) => String(p.count) },
    { key: 'sure', heading: 'How sure', cell: (p) => sureWords(p) },
  ]
  return (
    <Sheet title="Pace and attendance">
      <p>{sentence(most ? `${CRAFT_WORDS[most.craft]} ${paceWords(most)}` : 'none of her tasks tells a pace yet, so what is known of the club’s other builds is taken, and what is usual')}</p>
      <Table caption="Hours worked beside hours estimated, by kind of work" columns={cols} rows={pace} rowKey={(p) => p.craft} />
      <p>{sentence(attendanceWords(attendance))} {attendance.weeks > 0 && 'Meant is what people had answered, or usually do, when the week began.'}</p>
      <p class="muted">Few tasks count for little: the factor stays near what other builds show, and near 1 where there are none. Set-up and clear-up are not counted. Pauses and weeks with nothing meant are no evidence.</p>
    </Sheet>
  )
}
