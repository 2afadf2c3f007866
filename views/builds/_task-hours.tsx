import { Button, CheckField, DateField, Field, FieldGroup, Form, NumberField, SelectField, Sheet, Tag, TapForm, TimeField, usePage, When } from '../shared/index.ts'
import { refusedFor, type TaskPageProps } from './task-props.ts'
import { hoursMin } from './words.ts'

/** Hours of anybody, at any time; wrong ones are taken back by an entry of their own. */
export function HoursSheet({ build, task, members, logs, today, at, mayLog, sent, state }: TaskPageProps & { at: string; mayLog: boolean }) {
  const me = usePage().member?.id
  const team = build.team.filter((m) => m.isActive)
  const mine = team.some((m) => m.id === me) ? [] : members.filter((m) => m.id === me)
  const others = members.filter((m) => m.id !== me && !team.some((t) => t.id === m.id))
  if (!mayLog && logs.length === 0) return null
  const wash = state.waits.find((w) => w.kind === 'wash')
  return (
    <Sheet title="Hours">
      <div id="hours" />
      {mayLog && (
        <details open={sent?.form === 'hours'}>
          <summary>Log hours for others, or at another time</summary>
          <Form action={`${at}/hours`} {...refusedFor(sent, 'hours')}>
            <NumberField name="hours" label="How long" unit="h" required hint="1.5 or 1:30, set-up and clear-up included" />
            <FieldGroup legend="Who worked" name="for">
              {[...mine, ...team].map((m) => <CheckField key={m.id} name="for" value={m.id} label={m.name} checked={m.id === me} />)}
            </FieldGroup>
            {others.length > 0 && <SelectField name="also" label="And" blank="nobody else" options={others.map((m) => ({ value: m.id, label: m.name }))} />}
            <DateField name="day" label="Day" value="" max={today.date} required={false} hint="Empty: just now" />
            <TimeField name="from" label="From" required={false} hint="Empty: until now; on an earlier day, from the start of its session" />
            {wash?.kind === 'wash' && <CheckField name="link" value={wash.linkId} label="Washing and sanding, not the coat itself" />}
            <Field name="note" label="Note" required={false} maxLength={500} size="full" />
            <Button>Log them</Button>
          </Form>
        </details>
      )}
      {logs.length > 0 && (
        <ul class="plain-list">
          {logs.map((l) => (
            <li key={l.id}>
              <When at={l.start} />: {l.reversed ? <s>{hoursMin(l.elapsedMin)} by {l.people.join(', ')}</s> : <>{hoursMin(l.elapsedMin)} by {l.people.join(', ')}</>}
              {l.isWash && <> <Tag>wash and sand</Tag></>}
              {l.note !== '' && <> “{l.note}”</>}
              {l.by !== null && !l.people.includes(l.by) && <span class="quiet"> logged by {l.by}</span>}
              {l.reversed ? <span class="quiet"> taken back by {l.reversed.by}{l.reversed.note !== '' && `: ${l.reversed.note}`}</span>
                : mayLog && <TapForm action={`${at}/hours/${l.id}/reverse`} kind="care" about={`${hoursMin(l.elapsedMin)} by ${l.people.join(', ')}`}>Take back</TapForm>}
            </li>
          ))}
        </ul>
      )}
      {logs.length === 0 && !task.isFinished && <p>No hours yet.</p>}
    </Sheet>
  )
}
