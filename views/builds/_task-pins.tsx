import { Button, CheckField, DateField, FieldGroup, Form, list, SelectField, Sheet, Span, TapForm, TimeField } from '../shared/index.ts'
import { refusedFor, type TaskPageProps } from './task-props.ts'

/** Pieces that a person fixed: the plan goes round them. */
export function PinsSheet({ pins, task, members, places, build, at, mayEdit, sent, today }: TaskPageProps & { at: string; mayEdit: boolean }) {
  if (task.isFinished || (!mayEdit && pins.length === 0)) return null
  const team = new Set(build.team.map((m) => m.id))
  // Nobody under age is planned.
  const grown = members.filter((m) => !m.isMinor)
  const inOrder = [...grown.filter((m) => team.has(m.id)), ...grown.filter((m) => !team.has(m.id))]
  return (
    <Sheet title="Pinned">
      <div id="pins" />
      {pins.length === 0 ? <p>Nothing is pinned: the plan finds the best time by itself.</p> : (
        <ul class="plain-list">
          {pins.map((p) => (
            <li key={p.id}>
              <Span from={p.start} to={p.end} />{p.people.length > 0 && `, ${list(p.people)}`}{p.place !== null && ` in ${p.place}`} <span class="quiet">(pinned by {p.by})</span>
              {mayEdit && <TapForm action={`${at}/pins/${p.id}/remove`} about="this piece">Unpin</TapForm>}
            </li>
          ))}
        </ul>
      )}
      {mayEdit && (
        <details open={sent?.form === 'pin'}>
          <summary>Pin a piece to a time</summary>
          <Form action={`${at}/pins`} {...refusedFor(sent, 'pin')}>
            <DateField name="day" label="Day" min={today.date} required />
            <TimeField name="from" label="From" required />
            <TimeField name="until" label="Until" required />
            <SelectField name="place" label="Where" value="" blank="Where it is usually done" options={places.map((p) => ({ value: p.id, label: p.name }))} />
            {task.kind !== 'unattended' && (
              <FieldGroup legend="Who" name="people">
                {inOrder.map((m) => <CheckField key={m.id} name="people" value={m.id} label={team.has(m.id) ? `${m.name} (team)` : m.name} />)}
              </FieldGroup>
            )}
            <SelectField name="supervisor" label="Supervised by" value="" blank="Nobody needed" options={grown.map((m) => ({ value: m.id, label: m.name }))} />
            <Button>Pin it</Button>
          </Form>
        </details>
      )}
    </Sheet>
  )
}
