import type { Overnight, OvernightPage as Data } from '../../src/features/planning/queries/overnight.ts'
import { Button, Caution, DateField, DefinitionRows, Empty, Form, Layout, Notice, NumberField, SelectField, Sheet, Swatch, TimeField, type FormRefusal, type Typed } from '../shared/index.ts'
import { number, temperature } from '../shared/format.ts'
import { usePage, type PageClub } from '../shared/page-context.ts'
import { useTimes } from '../shared/time.tsx'
import { overnightVerdict, thereWords } from './words/overnight.ts'
import { sentence, type TimeWords } from './words.ts'

/** A coat started now, or at a time: when its window opens and shuts, who is there then, how cold the night gets. */
export function OvernightPage(data: Data & { refusal?: FormRefusal; typed?: Typed }) {
  const { ask, products, places, result } = data
  const times = useTimes()
  if (products.length === 0 || places.length === 0) {
    return (
      <Layout title="Overnight check" section="workshop">
        <Empty action={<a class="button button-main" href={places.length === 0 ? '/workshop/places/new' : '/stores/cure-products/new'}>{places.length === 0 ? 'Enter a place' : 'Enter a cure product'}</a>}>
          It takes a cure product with its data-sheet figures and a place with its temperatures.
        </Empty>
      </Layout>
    )
  }
  const isNow = ask.date === null || ask.time === null
  return (
    <Layout title="Overnight check" section="workshop">
      <Form action="/overnight" method="get" layout="row" refusal={data.refusal} typed={data.typed} label="Which coat">
        <SelectField name="product" label="Product" required options={products.map((p) => ({ value: p.id, label: p.name }))} value={ask.product ?? products[0]?.id} />
        <SelectField name="place" label="Place" required options={places.map((p) => ({ value: p.id, label: p.name }))} value={ask.place ?? places[0]?.id} />
        <DateField name="date" label="Day" value={ask.date ?? ''} hint={`Empty: now (${times.dayTime(times.now)})`} />
        <TimeField name="time" label="Begin" value={ask.time ?? ''} />
        <NumberField name="minutes" label="It takes" unit="min" whole value={ask.minutes} />
        <Button kind="main">{isNow ? 'What if now?' : 'What then?'}</Button>
      </Form>
      {result && <Answer result={result} times={times} />}
    </Layout>
  )
}

function Answer({ result, times }: { result: Overnight; times: TimeWords }) {
  const { club } = usePage()
  const verdict = overnightVerdict(result, times, (c) => temperature(c, club))
  return (
    <Sheet title={`${result.product} in ${result.place}, ${times.dayTime(result.start)}–${times.timeOr(result.end, result.start)}`}>
      <Notice kind={verdict.good ? 'good' : 'care'} title={verdict.head}><p>{verdict.text}</p></Notice>
      <DefinitionRows
        rows={[
          ['When it begins', `${temperature(result.atStart.air, club)}, ${number(result.atStart.humidity, club, 0)} % humidity`],
          ['Coldest', `${temperature(result.coldest.air, club)}, ${times.dayTime(result.coldest.at)}${result.coldest.air < result.cureFloor ? `: below ${temperature(result.cureFloor, club)} it earns nothing` : ''}`],
          ['Workable until', stage(times, result.times.workable)],
          ['Dust-free', stage(times, result.times.dustFree)],
          ['Window opens', <Opens result={result} times={times} />],
          ['Window shuts', result.times.closes === null ? 'never' : times.dayTime(result.times.closes)],
          ['There then', thereWords(result, times)],
          ['Sandable', stage(times, result.times.sandable)],
          ['Hard enough to handle', stage(times, result.times.handleable)],
          ['Fully cured', stage(times, result.times.fullCure)],
        ]}
      />
      <p class="muted">{limitsText(result, club)} Reckoned from the place’s temperatures and its last readings, each end on the safe side: log a reading and a thumbnail test, they count for more.</p>
      <Caution>{`${result.hazard ? `${result.hazard} ` : ''}Never leave a flame heater or mixed resin alone overnight: leftovers heat themselves. Set them outside on bare ground until cold.`}</Caution>
    </Sheet>
  )
}

const stage = (times: TimeWords, at: number | null): string | null => (at === null ? null : times.dayTime(at))

function Opens({ result, times }: { result: Overnight; times: TimeWords }) {
  const { opens, closes } = result.times
  if (opens === null) return <Swatch state="missed">not in the next three weeks</Swatch>
  const isWindow = closes === null || opens < closes
  return <Swatch state={isWindow ? 'open' : 'missed'}>{times.dayTime(opens)}{!isWindow && ', after it would shut'}</Swatch>
}

function limitsText({ limits }: Overnight, club: PageClub | null): string {
  const parts = [
    limits.minAir !== null && `at least ${temperature(limits.minAir, club)}`,
    limits.maxAir !== null && `at most ${temperature(limits.maxAir, club)}`,
    limits.maxHumidity !== null && `at most ${number(limits.maxHumidity, club, 0)} % humidity`,
    limits.dewPointMargin !== null && `surfaces ${number(limits.dewPointMargin, club)} degrees above the dew point`,
  ].filter(Boolean)
  return parts.length === 0 ? '' : sentence(`To begin, the product asks for ${parts.join(', ')}`)
}
