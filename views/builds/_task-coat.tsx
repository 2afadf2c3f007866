import { CURE_STAGES } from '../../src/core/cure/types.ts'
import { Button, CheckField, DateField, ErrorSummary, Field, FieldGroup, Form, NumberField, RadioRow, SelectField, Sheet, Table, TapForm, TimeField, usePage, useTimes, When } from '../shared/index.ts'
import { refusedFor, type TaskPageProps } from './task-props.ts'
import { STAGE_WORD } from './words.ts'

/** A coat: when it went on, how it cures, what thumb and tape said. */
export function CoatSheet(props: TaskPageProps & { at: string; mayLog: boolean }) {
  const { task, coat, mayLog } = props
  if (coat === null) return task.product === null || task.isFinished || !mayLog ? null : <NewCoat {...props} />
  return (
    <Sheet title="The coat">
      <div id="coat" />
      <p>{coat.product} in {coat.place}, on from <When at={coat.startedAt} /> to <When at={coat.endedAt} />{coat.loggedBy !== null && <>, logged by {coat.loggedBy}</>}.{coat.note !== '' && ` ${coat.note}.`}</p>
      <Stages {...props} />
      {mayLog && <Findings {...props} />}
      {mayLog && <Correct {...props} />}
    </Sheet>
  )
}

function Stages({ state, coat }: TaskPageProps) {
  const { film } = state
  if (film === null) return null
  const found = new Map(coat?.findings.map((f) => [f.stage, f]))
  const rows = CURE_STAGES.filter((s) => film.times[s] !== null || film.computed[s] !== null)
  return (
    <Table
      caption="How it cures" rows={rows} rowKey={(s) => s}
      columns={[
        { key: 'stage', heading: 'Stage', cell: (s) => STAGE_WORD[s] },
        { key: 'at', heading: 'When', cell: (s) => (film.times[s] === null ? 'not at these temperatures' : <When at={film.times[s]} />) },
        {
          key: 'how', heading: 'How we know',
          cell: (s) => {
            const f = found.get(s)
            if (!f) return 'reckoned from the temperatures there'
            return <span>{f.how} ({f.by}){film.computed[s] !== null && <span class="quiet">; reckoned <When at={film.computed[s]} /></span>}</span>
          },
        },
      ]}
    />
  )
}

function NewCoat({ task, places, products, members, build, today, at, sent, state }: TaskPageProps & { at: string }) {
  const me = usePage().member?.id
  const times = useTimes()
  const shut = state.waits.find((w) => w.kind === 'wash')
  const team = build.team.filter((m) => m.isActive)
  const hands = team.some((m) => m.id === me) ? team : [...members.filter((m) => m.id === me), ...team]
  return (
    <Sheet title="Coat applied">
      <div id="coat" />
      <TapForm action={`${at}/coat`} fields={{ ended: 'now', took: task.tookMin }} kind="main" about={task.name}>On just now</TapForm>
      <p class="quiet">Counts as begun {task.tookMin} minutes ago, at {times.time(times.now - task.tookMin)}.</p>
      <details open={sent?.form === 'coat'}>
        <summary>At another time, elsewhere, or with its hours</summary>
        <Form action={`${at}/coat`} {...refusedFor(sent, 'coat')}>
          <RadioRow
            name="ended" legend="Last stroke" value="now"
            options={[{ value: 'now', label: 'Now' }, { value: '30', label: '½ h ago' }, { value: '60', label: '1 h ago' }, { value: '120', label: '2 h ago' }, { value: 'at', label: 'At the time below' }]}
          />
          <DateField name="day" label="Day" value={today.date} max={today.date} />
          <TimeField name="at" label="Time of the last stroke" value="" required={false} />
          <NumberField name="took" label="First to last stroke" value={task.tookMin} unit="min" whole required />
          <SelectField name="place" label="Where" value={task.places[0]?.id ?? build.placeId} options={places.map((p) => ({ value: p.id, label: p.name }))} />
          <SelectField name="product" label="With" value={task.product?.id} options={products.map((p) => ({ value: p.id, label: p.name }))} />
          {shut && <CheckField name="washed" label="Washed and sanded before" hint="The window under it has shut: a film on an unsanded one may peel." />}
          <CheckField name="hours" label="Log the time as hours too" />
          <FieldGroup legend="Of" name="for">{hands.map((m) => <CheckField key={m.id} name="for" value={m.id} label={m.name} checked={m.id === me} />)}</FieldGroup>
          <Field name="note" label="Note" required={false} maxLength={500} size="full" />
          <Button>Log the coat</Button>
        </Form>
      </details>
    </Sheet>
  )
}

function Findings({ findings, at, sent, today }: TaskPageProps & { at: string }) {
  return (
    <details open={sent?.form === 'finding'}>
      <summary>Thumbnail or tape test</summary>
      {sent?.form === 'finding' && !sent.typed['at'] && <ErrorSummary refusal={sent.refusal} />}
      <div class="button-row">
        {findings.map((f) => <TapForm key={f.name} action={`${at}/finding`} fields={{ finding: f.name }} about={f.how}>{f.label}</TapForm>)}
      </div>
      <dl class="rows">{findings.map((f) => <div key={f.name}><dt>{f.label}</dt><dd>{f.how}</dd></div>)}</dl>
      <Form action={`${at}/finding`} {...refusedFor(sent, 'finding')} label="A test made earlier">
        <SelectField name="finding" label="Found earlier" options={findings.map((f) => ({ value: f.name, label: f.label }))} />
        <DateField name="day" label="Day" value={today.date} max={today.date} />
        <TimeField name="at" label="Time" required />
        <Field name="note" label="Note" required={false} maxLength={300} />
        <Button kind="plain">Log the test</Button>
      </Form>
    </details>
  )
}

function Correct({ coat, places, products, at, sent }: TaskPageProps & { at: string }) {
  const times = useTimes()
  if (coat === null) return null
  const hm = (t: number) => `${String(Math.floor(times.minuteOfDay(t) / 60)).padStart(2, '0')}:${String(times.minuteOfDay(t) % 60).padStart(2, '0')}`
  const isSent = sent?.form === 'coat'
  return (
    <details open={isSent}>
      <summary>Correct its time, place or product</summary>
      {isSent && sent.refusal.status === 409 && <p>Stored now: <When at={coat.startedAt} /> to <When at={coat.endedAt} />, {coat.product}, {coat.place}.</p>}
      <Form action={`${at}/coat/correct`} {...refusedFor(sent, 'coat')} version={coat.version}>
        <DateField name="day" label="Day" value={times.localDate(coat.startedAt)} required />
        <TimeField name="started" label="First stroke" value={hm(coat.startedAt)} required />
        <DateField name="endDay" label="Day of the last stroke" value={times.localDate(coat.endedAt)} />
        <TimeField name="ended" label="Last stroke" value={hm(coat.endedAt)} required />
        <SelectField name="place" label="Where" value={coat.placeId} options={places.map((p) => ({ value: p.id, label: p.name }))} />
        <SelectField name="product" label="With" value={coat.productId} options={products.map((p) => ({ value: p.id, label: p.name }))} />
        <Field name="note" label="Note" value={coat.note} required={false} maxLength={500} size="full" />
        <Button kind="plain">Correct it</Button>
      </Form>
    </details>
  )
}
