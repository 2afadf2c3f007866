import { sumSpreads } from '../../src/core/estimate/index.ts'
import type { BudgetRow } from '../../src/features/builds/facts/weight.ts'
import type { WeighInLine, WeightPageModel } from '../../src/features/builds/queries/weight.ts'
import {
  Button, ButtonLink, DateField, Empty, ErrorSummary, Field, Form, format, LineChart, Notice, NumberField, plural, RadioRow, Sheet, Table, TapForm, TextArea, usePage, type FormRefusal,
  type PageClub, type Typed,
} from '../shared/index.ts'
import { EstimateLinks } from './_estimate-links.tsx'
import { BuildLayout } from './_head.tsx'
import { againstWords, kg, kgSpread, roomWords } from './weight-words.ts'
import { dayWords } from './words.ts'

export type WeightProps = WeightPageModel & { form?: 'weigh' | 'target' | 'withdraw' | undefined; refusal?: FormRefusal | undefined; typed?: Typed | undefined }

/** What she should weigh, what she weighs as far as she is built, and what is left to the target. */
export function Weight(props: WeightProps) {
  const { build, budget, fields, form, refusal } = props
  const page = usePage()
  return (
    <BuildLayout build={build} title={`Weight of ${build.name}`} more={[{ href: `/builds/${build.id}/estimate`, text: 'Estimate' }]} live={[`build:${build.id}`]} wide>
      <EstimateLinks buildId={build.id} here="weight" />
      {form === 'withdraw' && refusal && <ErrorSummary refusal={refusal} />}
      <Says {...props} />
      {budget === null && <Notice kind="care" title="Her measurements can’t be worked with"><ul>{Object.values(fields).map((text) => <li key={text}>{text}</li>)}</ul></Notice>}
      {budget !== null && budget.all.high === 0 && <Empty action={<ButtonLink href={`/builds/${build.id}/measurements`}>Measurements</ButtonLink>}>The estimate has nothing that weighs: measure her panels and seams first.</Empty>}
      {budget !== null && budget.all.high > 0 && (
        <>
          <Target {...props} />
          <BudgetTable title="By material" heading="Material" rows={budget.byMatter} all={budget} />
        </>
      )}
      <WeighIns {...props} />
      {page.may('builds.log') && <AddWeighIn {...props} />}
      {budget !== null && budget.all.high > 0 && (
        <>
          <Chart {...props} />
          <BudgetTable title="By part of the boat" heading="Part" rows={budget.byPart} all={budget} />
        </>
      )}
    </BuildLayout>
  )
}

/** The page in a few sentences. */
function Says({ build, budget, latest, ahead, begun }: WeightProps) {
  const { club } = usePage()
  const locale = club?.locale ?? 'en-GB'
  if (budget === null || budget.all.high === 0) return null
  return (
    <>
      <p class="lead">
        {latest ? <><b>{kg(latest.massG / 1000, club)}</b> on {dayWords(latest.day, locale)}; {againstWords(latest, club)}.</> : <>{build.name} was not on the scales yet.</>}
      </p>
      <p>
        All of her: <b>{kgSpread(budget.all, club)}</b> by the estimate{ahead && latest?.against?.is !== 'nothing-done' ? <>; with what was weighed and what is still to come, <b>{kgSpread(ahead, club)}</b></> : null}.
        {' '}Finished so far: {budget.done.high > 0 ? kgSpread(budget.done, club) : 'nothing that weighs'}.
        {begun > 0 && ` ${plural(begun, 'task is', 'tasks are')} begun and not counted before ${begun === 1 ? 'it is' : 'they are'} finished.`}
      </p>
    </>
  )
}

/** So many rows are shown one by one, however small. */
const FEW = 10

function BudgetTable({ title, heading, rows, all }: { title: string; heading: string; rows: readonly BudgetRow[]; all: { all: BudgetRow['all']; done: BudgetRow['done'] } }) {
  const { club } = usePage()
  // Many small parts would hide the few that count.
  const isSmall = (r: BudgetRow) => rows.length > FEW && r.all.likely < 0.01 * all.all.likely
  const small = rows.filter(isSmall)
  const table = [
    ...rows.filter((r) => !isSmall(r)),
    ...(small.length > 0 ? [{ name: `${small.length} smaller parts, each below 1 %`, all: sumSpreads(small.map((r) => r.all)), done: sumSpreads(small.map((r) => r.done)) }] : []),
    { name: 'Together', ...all },
  ]
  return (
    <Sheet title={title}>
      <Table
        caption={`${title}: likely, and from the lightest to the heaviest`} quietCaption rows={table} rowKey={(r) => r.name} stack={false}
        columns={[
          { key: 'name', heading, cell: (r) => (r.name === 'Together' ? <b>{r.name}</b> : r.name) },
          { key: 'all', heading: 'All of her', numeric: true, cell: (r) => kgSpread(r.all, club) },
          { key: 'done', heading: 'In her so far', numeric: true, cell: (r) => (r.done.high > 0 ? kg(r.done.likely, club) : '–') },
        ]}
      />
      {title === 'By material' && <p class="quiet">Cured and dry, without waste. Fittings, sails and ropes are not in it unless the list has them; water that wood takes up isn’t either.</p>}
    </Sheet>
  )
}

const unitOf = (club: PageClub | null) => format.unitsOf(club?.units ?? 'metric').boat

function Target({ build, targetG, budget, ahead, form, refusal, typed }: WeightProps) {
  const page = usePage()
  const { club } = page
  const isMine = form === 'target'
  return (
    <Sheet title="Target">
      {targetG === null ? <p>She has no target: what she is meant to weigh, ready to sail.</p> : (
        <p>
          She is meant to weigh <b>{format.mass(targetG, club)}</b>, ready to sail. {budget && roomWords(targetG, budget.all, club)}
          {ahead && ` From the latest weighing on: ${roomWords(targetG, ahead, club)}`}
        </p>
      )}
      {page.may('builds.edit') && (
        <Form action={`/builds/${build.id}/weight/target`} version={build.version} layout="row" refusal={isMine ? refusal : undefined} typed={isMine ? typed : undefined}>
          <NumberField name="target" label="Target, ready to sail" value={targetG === null ? '' : format.boatMassField(targetG, club?.units ?? 'metric')} unit={unitOf(club).unit} hint="Empty: none" />
          <Button kind="plain">Save</Button>
        </Form>
      )}
    </Sheet>
  )
}

function WeighIns({ build, weighIns }: WeightProps) {
  const page = usePage()
  const { club } = page
  const locale = club?.locale ?? 'en-GB'
  const mayLog = page.may('builds.log')
  const struck = (w: WeighInLine, text: string) => (w.isWithdrawn ? <s>{text}</s> : text)
  return (
    <Sheet title="On the scales">
      <Table
        caption="Weighings, the latest first" quietCaption rows={weighIns.toReversed()} rowKey={(w) => w.id} stack empty="She was not weighed yet."
        columns={[
          { key: 'day', heading: 'Day', cell: (w) => <>{struck(w, dayWords(w.day, locale))}{w.isWithdrawn && ' (withdrawn)'}</> },
          { key: 'mass', heading: 'Mass', numeric: true, cell: (w) => struck(w, kg(w.massG / 1000, club)) },
          { key: 'what', heading: 'What hung there', cell: (w) => <>{w.what}{w.note !== '' && <><br /><span class="quiet">{w.note}</span></>}<br /><span class="quiet">{w.isWhole ? 'all of her' : 'a part of her'}{w.by !== '' && `, written down by ${w.by}`}</span></> },
          { key: 'expected', heading: 'Expected by then', cell: (w) => (w.expected && w.expected.high > 0 ? kgSpread(w.expected, club) : w.isWhole ? 'nothing finished' : 'a part: not compared') },
          { key: 'against', heading: 'Beside it', cell: (w) => (w.isWithdrawn ? '' : againstShort(w, club)) },
          ...(mayLog
            ? [{ key: 'off', heading: 'Change', cell: (w: WeighInLine) => (w.isWithdrawn ? null : <TapForm action={`/builds/${build.id}/weigh-ins/${w.id}/withdraw`} kind="care" about={`the weighing of ${dayWords(w.day, locale)}`}>Withdraw</TapForm>) }]
            : []),
        ]}
      />
    </Sheet>
  )
}

function againstShort({ against }: WeighInLine, club: PageClub | null): string {
  if (against === null || against.is === 'nothing-done') return '–'
  const by = kg(Math.abs(against.byKg), club)
  if (against.is === 'above') return `${by} above the range`
  if (against.is === 'below') return `${by} below the range`
  return `in the range, ${by} ${against.byKg >= 0 ? 'above' : 'below'} the likely`
}

function AddWeighIn({ build, today, form, refusal, typed }: WeightProps) {
  const { club } = usePage()
  const isMine = form === 'weigh'
  return (
    <Sheet title="Weigh her">
      <p>Two bathroom scales under two battens do; add both. Lift with enough people, and keep hands from under her.</p>
      <Form action={`/builds/${build.id}/weigh-ins`} refusal={isMine ? refusal : undefined} typed={isMine ? typed : undefined}>
        <DateField name="day" label="Day" value={today} max={today} required />
        <NumberField name="mass" label="What the scales showed" unit={unitOf(club).unit} required />
        <Field name="what" label="What hung on them" hint="Hull bare; hull with rails and thwarts; the deck panel" required maxLength={120} />
        <RadioRow name="whole" legend="That was" value="whole" options={[{ value: 'whole', label: 'all of her, as far as she is built' }, { value: 'part', label: 'a part of her' }]} />
        <TextArea name="note" label="Note" required={false} rows={2} hint="Which scales, what was in her that does not belong to her" />
        <Button>Write it down</Button>
      </Form>
    </Sheet>
  )
}

function Chart({ chart, build, latest, budget }: WeightProps) {
  const { club } = usePage()
  const { unit, fromSi } = unitOf(club)
  const shown = (kg: number) => fromSi(kg * 1000)
  const day = (iso: string) => new Intl.DateTimeFormat(club?.locale ?? 'en-GB', { day: 'numeric', month: 'short', timeZone: 'UTC' }).format(new Date(`${iso}T12:00:00Z`))
  if (chart.length < 2 || budget === null) return null
  const says = latest?.against && latest.against.is !== 'nothing-done'
    ? `On ${day(latest.day)} ${build.name} weighed ${kg(latest.massG / 1000, club)}; ${againstShort(latest, club)} of what was finished by then.`
    : `By what is finished she should weigh ${kgSpread(budget.done, club)} by now.`
  return (
    <Sheet title="How she grows heavier">
      <LineChart
        caption="Mass of what was finished, by the estimate, and on the scales" says={says} unit={unit} xHeading="Day" x={chart.map((c) => day(c.day))} nowAt={chart.length - 1}
        series={[
          { name: 'weighed', values: chart.map((c) => (c.weighedKg === null ? null : shown(c.weighedKg))) },
          { name: 'likely', values: chart.map((c) => shown(c.expected.likely)) },
          { name: 'at most', values: chart.map((c) => shown(c.expected.high)) },
          { name: 'at least', values: chart.map((c) => shown(c.expected.low)) },
        ]}
      />
    </Sheet>
  )
}
