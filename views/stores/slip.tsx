import type { SlipModel } from '../../src/features/stores/queries/slip.ts'
import {
  Breadcrumb, Button, CheckField, DateField, FieldError, FieldGroup, Form, format, Layout, NumberField, PrintSheet, SelectField, usePage, useField, type FormRefusal, type Option, type Typed,
} from '../shared/index.ts'
import { rowCount } from './order.tsx'

const ROWS_AT_FIRST = 8
const ROWS_MOST = 30
const PAPER_ROWS = 22

export function SlipPage({ today, items, lots, builds, members, refusal, typed }: SlipModel & { refusal?: FormRefusal; typed?: Typed }) {
  const page = usePage()
  const rows = rowCount(typed, 'what', ROWS_AT_FIRST, ROWS_MOST)
  const uses: Option[] = [
    { value: 'club', label: 'Club use' },
    ...builds.flatMap((build) => [
      { value: `build:${build.id}`, label: `${build.name}, no task`, group: build.name },
      ...build.tasks.map((task) => ({ value: `task:${task.id}`, label: task.name, group: build.name })),
    ]),
    ...members.map((m) => ({ value: `member:${m.id}`, label: `${m.name}, own use`, group: 'Own use' })),
  ]
  const who: Option[] = members.map((m) => ({ value: m.id, label: m.name }))
  return (
    <Layout title="A paper slip" section="stores" wide above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }]} />}>
      <div class="no-print">
        <p>A day’s slip from the shelf, typed in at once. It is booked whole, or not at all. Take weighed and returned cans to their pages.</p>
        <Form action="/stores/slip" refusal={refusal} typed={typed} label="The slip">
          <DateField name="date" label="Day of the slip" value={today} max={today} />
          <datalist id="slip-items">
            {items.map((item) => <option key={item.id} value={item.name}>{`in ${format.STOCK_UNITS[item.unit]}`}</option>)}
            {lots.map((lot) => <option key={lot.number} value={`lot ${lot.number}`}>{lot.name}</option>)}
          </datalist>
          {Array.from({ length: rows }, (_, at) => (
            <FieldGroup key={at} legend={`Row ${at + 1}`}>
              <div class="form-row">
                <WhatField name={`what${at}`} />
                <NumberField name={`qty${at}`} label="Amount" />
                <SelectField name={`use${at}`} label="For" options={uses} value="club" />
                <SelectField name={`who${at}`} label="Taken by" options={who} value={page.member?.id} />
                <DateField name={`on${at}`} label="On" max={today} hint="Empty: the day of the slip" />
                <CheckField name={`structural${at}`} label="It bears load" />
              </div>
            </FieldGroup>
          ))}
          <Button>Book the slip</Button>
        </Form>
      </div>
      <div class="slip-paper">
        <p class="no-print">An empty slip for the shelf:</p>
        <PrintSheet foot="Weigh what you take. A lot’s number is on its can.">
          <h2>Taken from the stores on ______________________</h2>
          <div class="table-scroll" role="region" tabIndex={0} aria-label="An empty slip for the shelf"><table class="table count-sheet">
            <caption class="caption-quiet">An empty slip for the shelf</caption>
            <thead><tr><th scope="col">Item or lot</th><th scope="col">How much, with its unit</th><th scope="col">For which build and task</th><th scope="col">Bears load</th><th scope="col">Taken by</th></tr></thead>
            <tbody>{Array.from({ length: PAPER_ROWS }, (_, at) => <tr key={at}>{[0, 1, 2, 3, 4].map((n) => <td key={n} class="to-write">{' '}</td>)}</tr>)}</tbody>
          </table></div>
        </PrintSheet>
      </div>
    </Layout>
  )
}

/** An item or a lot, with what there is offered while typing. */
function WhatField({ name }: { name: string }) {
  const field = useField(name)
  return (
    <div class={field.error ? 'field field-wrong' : 'field'}>
      <label for={field.id}>Item or lot</label>
      <input id={field.id} name={name} type="text" list="slip-items" class="input input-middle" autoComplete="off" value={field.value('')} aria-invalid={field.invalid} aria-describedby={field.describedBy(false)} />
      <FieldError field={field} />
    </div>
  )
}
