import type { PlacePage } from '../../src/features/sessions/queries/workshop.ts'
import {
  Breadcrumb, Button, DateField, DefinitionRows, ErrorSummary, Field, Form, format, Layout, Notice, NumberField, RadioRow, Sheet, Span, Table, TapForm, TimeField, usePage, When,
  type FormRefusal, type Typed,
} from '../shared/index.ts'
import { unitsOf } from '../shared/format.ts'
import { PlaceForm } from './place-form.tsx'

export type PlaceProps = PlacePage & { fields: Record<string, string>; today: string; form?: 'place' | 'reading' | 'closure'; refusal?: FormRefusal; typed?: Typed }

export function PlaceView(props: PlaceProps) {
  const { place, sites, closures, fields, today, form, refusal, typed } = props
  const page = usePage()
  const mayEdit = page.may('workshop.edit')
  const sent = (of: PlaceProps['form']) => (form === of ? { refusal, typed } : {})
  return (
    <Layout title={place.name} section="workshop" above={<Breadcrumb items={[{ href: '/workshop', text: 'Workshop' }]} />}>
      {refusal && !form && <ErrorSummary refusal={refusal} />}
      {!place.isActive && <Notice>This place is given up: nothing is planned here.</Notice>}
      <Reading {...props} />
      <Climate {...props} />
      <Sheet title="Shut or booked out">
        {closures.length === 0 && <p class="muted">Open as far as is known.</p>}
        <ul class="plain-list">
          {closures.map((c) => (
            <li key={c.id}>
              <Span from={c.starts} to={c.ends} />: {c.why}
              {mayEdit && <TapForm action={`/workshop/places/${place.id}/closures/${c.id}/delete`} about={c.why}>Take out</TapForm>}
            </li>
          ))}
        </ul>
        {mayEdit && (
          <Form action={`/workshop/places/${place.id}/closures`} label="Shut it for a while" {...sent('closure')}>
            <DateField name="fromDate" label="From" value={today} />
            <TimeField name="fromTime" label="at" value="00:00" />
            <DateField name="toDate" label="To" />
            <TimeField name="toTime" label="until" value="00:00" hint="00:00 is midnight at the end of that day" />
            <Field name="why" label="Why" maxLength={200} />
            <Button>Shut it then</Button>
          </Form>
        )}
      </Sheet>
      {mayEdit && (
        <Sheet title="Change">
          <PlaceForm action={`/workshop/places/${place.id}`} sites={sites} fields={fields} version={place.version} isEdit {...sent('place')} />
        </Sheet>
      )}
    </Layout>
  )
}

/** Two taps: the figure on the thermometer, save. */
function Reading({ place, now, readings, form, refusal, typed }: PlaceProps) {
  const page = usePage()
  const { club, member } = page
  const { unit, fromSi } = unitsOf(club?.units ?? 'metric').temperature
  const middle = Math.round(fromSi(now.air))
  const around = Array.from({ length: 9 }, (_, i) => middle - 4 + i)
  const own = form === 'reading'
  return (
    <Sheet title="Read the thermometer">
      <p>By its usual course and what was read before it should be about {format.temperature(Math.round(now.air), club)} and {Math.round(now.humidity)} % now.</p>
      {page.may('workshop.read') && (
        <Form action={`/workshop/places/${place.id}/readings`} refusal={own ? refusal : undefined} typed={own ? typed : undefined} label="A reading">
          <RadioRow name="air" legend={`Air, ${unit}`} options={around.map((n) => ({ value: n, label: String(n) }))} />
          <Button>Save the reading</Button>
          <RadioRow name="humidity" legend="Humidity, if there is a hygrometer" options={[40, 50, 60, 70, 80, 90].map((n) => ({ value: n, label: `${n} %` }))} />
          <details open={own}>
            <summary>Another figure, or another time today</summary>
            <NumberField name="otherAir" label="Air" unit={unit} required={false} />
            <NumberField name="otherHumidity" label="Humidity" unit="%" required={false} />
            <TimeField name="at" label="Read at" required={false} hint="Empty: now" />
          </details>
        </Form>
      )}
      <Table
        caption="Last readings"
        rows={readings}
        rowKey={(r) => r.id}
        empty="Nothing was read here yet."
        columns={[
          { key: 'at', heading: 'When', cell: (r) => <When at={r.at} /> },
          { key: 'air', heading: 'Air', numeric: true, cell: (r) => format.temperature(r.air, club) },
          { key: 'humidity', heading: 'Humidity', numeric: true, cell: (r) => (r.humidity === null ? '–' : `${Math.round(r.humidity)} %`) },
          { key: 'by', heading: 'By', cell: (r) => r.by ?? '' },
          { key: 'out', heading: 'Slip of the finger?', cell: (r) => (r.memberId === member?.id || page.may('workshop.edit')) && <TapForm action={`/workshop/places/${place.id}/readings/${r.id}/delete`} about={`reading of ${format.temperature(r.air, club)}`}>Take out</TapForm> },
        ]}
      />
    </Sheet>
  )
}

function Climate({ place, day, sites }: PlaceProps) {
  const { club } = usePage()
  const hours = (min: number) => `${Math.round(min / 6) / 10} h`
  return (
    <Sheet title="What it is like">
      <DefinitionRows
        rows={[
          ['Site', sites.find((s) => s.id === place.siteId)?.name],
          ['Bays', place.bays],
          ['Heating', place.heatTo === null ? 'none' : `at least ${format.temperature(place.heatTo, club)} from ${hours(place.heatBeforeMin)} before a session to its end`],
          ['Dust settles in', hours(place.settleMin)],
        ]}
      />
      <Table
        caption="The coming day, as far as it can be told"
        rows={day}
        rowKey={(d) => String(d.at)}
        columns={[
          { key: 'at', heading: 'At', cell: (d) => <When at={d.at} /> },
          { key: 'air', heading: 'Air', numeric: true, cell: (d) => format.temperature(d.air, club) },
          { key: 'humidity', heading: 'Humidity', numeric: true, cell: (d) => `${Math.round(d.humidity)} %` },
          { key: 'dew', heading: 'Dew point', numeric: true, cell: (d) => format.temperature(d.dewPoint, club) },
        ]}
      />
    </Sheet>
  )
}
