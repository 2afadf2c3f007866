import { Button, CheckField, ErrorSummary, FieldGroup, Form, NumberField, RadioRow, SelectField, Sheet, TapForm } from '../shared/index.ts'
import { refusedFor, type TaskPageProps } from './task-props.ts'
import { hoursMin, STAGES, STAGE_WORD } from './words.ts'

type LinkOf = TaskPageProps['before'][number] | TaskPageProps['after'][number]

function linkWords(l: LinkOf): string {
  switch (l.kind) {
    case 'finish':
      return l.lagMin === 0 ? 'when it is finished' : `${hoursMin(l.lagMin)} after it is finished`
    case 'lag': {
      const parts = [l.minLagMin !== null && `at least ${hoursMin(l.minLagMin)}`, l.maxLagMin !== null && `at most ${hoursMin(l.maxLagMin)}`].filter(Boolean)
      return `${parts.join(' and ')} after its ${l.edge}`
    }
    case 'stage':
      return `when its film is ${STAGE_WORD[l.stage!].toLowerCase()}`
    case 'window':
      return l.washMin === null ? 'in its recoat window, which must be met' : `in its recoat window; missed, about ${hoursMin(l.washMin)} of wash and sand`
  }
}

export function LinksSheet(props: TaskPageProps & { at: string; mayEdit: boolean; mayLog: boolean }) {
  const { build, before, after, at, mayEdit, sent } = props
  const item = (l: LinkOf) => (
    <li key={l.id}>
      <a href={`/builds/${build.id}/tasks/${l.other.id}`}>{l.other.name}</a>: {linkWords(l)}
      {mayEdit && <TapForm action={`${at}/links/${l.id}/remove`} kind="care" about={`from “${l.other.name}”`}>Unlink</TapForm>}
    </li>
  )
  return (
    <Sheet title="Links">
      <div id="links" />
      <h3>Waits for</h3>
      {before.length === 0 ? <p>Nothing.</p> : <ul class="plain-list">{before.map(item)}</ul>}
      <Washes {...props} />
      <h3>Waited for by</h3>
      {after.length === 0 ? <p>Nothing.</p> : <ul class="plain-list">{after.map(item)}</ul>}
      {mayEdit && <NewLink {...props} />}
      {!mayEdit && sent?.form === 'link' && <ErrorSummary refusal={sent.refusal} />}
    </Sheet>
  )
}

/** What people say of the windows under this coat. */
function Washes({ before, at, mayLog, sent, task }: TaskPageProps & { at: string; mayLog: boolean }) {
  const windows = before.filter((l) => l.kind === 'window' && l.washMin !== null)
  if (!mayLog || windows.length === 0) return null
  return (
    <>
      {sent?.form === 'wash' && <ErrorSummary refusal={sent.refusal} />}
      {windows.map((l) => (
        <div class="button-row" key={l.id}>
          {l.missedAt === null && !task.isFinished && <TapForm action={`${at}/wash/${l.id}`} fields={{ step: 'missed' }} about={`over “${l.other.name}”`}>The window is missed</TapForm>}
          {l.missedAt !== null && l.washDoneAt === null && <TapForm action={`${at}/wash/${l.id}`} fields={{ step: 'done' }} kind="main" about={`over “${l.other.name}”`}>Washed and sanded</TapForm>}
          {l.missedAt !== null && l.washDoneAt === null && <TapForm action={`${at}/wash/${l.id}`} fields={{ step: 'not-missed' }} about={`over “${l.other.name}”`}>Not missed after all</TapForm>}
          {l.washDoneAt !== null && <TapForm action={`${at}/wash/${l.id}`} fields={{ step: 'not-done' }} about={`over “${l.other.name}”`}>Not washed after all</TapForm>}
          {l.washLoggedMin > 0 && <span>{hoursMin(l.washLoggedMin)} of washing logged</span>}
        </div>
      ))}
    </>
  )
}

function NewLink({ tasks, task, tools, at, sent }: TaskPageProps & { at: string }) {
  const others = tasks.filter((t) => t.id !== task.id).map((t) => ({ value: t.id, label: t.productId === null ? t.name : `${t.name} (cures)`, group: t.phase.name }))
  return (
    <details open={sent?.form === 'link'}>
      <summary>Link it to another task</summary>
      <Form action={`${at}/links`} {...refusedFor(sent, 'link')}>
        <RadioRow name="side" legend="Which waits" value="before" options={[{ value: 'before', label: 'This one waits for the other' }, { value: 'after', label: 'The other waits for this one' }]} />
        <SelectField name="other" label="The other task" blank="Choose" required options={others} />
        <RadioRow
          name="kind" legend="For what" value="finish"
          options={[
            { value: 'finish', label: 'The finish' }, { value: 'stage', label: 'A cure stage' }, { value: 'window', label: 'The recoat window' },
            { value: 'lag', label: 'A shortest or longest time' },
          ]}
        />
        <FieldGroup legend="The finish"><NumberField name="lag" label="And then so long" unit="h" required={false} /></FieldGroup>
        <FieldGroup legend="A cure stage"><SelectField name="stage" label="Stage" value="sandable" options={STAGES} /></FieldGroup>
        <FieldGroup legend="The recoat window">
          <NumberField name="wash" label="Wash and sand, if it is missed" unit="h" required={false} />
          <FieldGroup legend="Washing and sanding takes" name="washTools">
            {tools.filter((t) => t.isActive).map((t) => <CheckField key={t.id} name="washTools" value={t.id} label={t.name} />)}
          </FieldGroup>
          <CheckField name="hard" label="It must be met: there is no washing and sanding" />
        </FieldGroup>
        <FieldGroup legend="A shortest or longest time">
          <SelectField name="edge" label="Counted from" value="finish" options={[{ value: 'finish', label: 'the finish of the first' }, { value: 'start', label: 'the start of the first' }]} />
          <NumberField name="min" label="At least" unit="h" required={false} />
          <NumberField name="max" label="At most" unit="h" required={false} />
        </FieldGroup>
        <Button>Link them</Button>
      </Form>
    </details>
  )
}
