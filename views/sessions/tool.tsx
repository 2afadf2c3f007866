import type { ToolChoices, ToolPage } from '../../src/features/sessions/queries/workshop.ts'
import {
  Breadcrumb, Button, Caution, CheckField, DateField, DefinitionRows, ErrorSummary, Field, Form, Layout, Notice, NumberField, SelectField, Sheet, TapForm, TextArea, usePage,
  type FormRefusal, type Typed,
} from '../shared/index.ts'
import { choices, dateText } from './words.ts'

type Sent = { refusal?: FormRefusal | undefined; typed?: Typed | undefined }
export type NewToolProps = { choices: ToolChoices } & Sent

export function NewToolView({ choices: c, refusal, typed }: NewToolProps) {
  return (
    <Layout title="Add a tool" section="workshop" above={<Breadcrumb items={[{ href: '/workshop', text: 'Workshop' }]} />}>
      <ToolForm action="/workshop/tools/new" choices={c} fields={{ count: '1' }} refusal={refusal} typed={typed} />
    </Layout>
  )
}

type ToolFormProps = { action: string; choices: ToolChoices; fields: Record<string, string>; version?: number; isEdit?: boolean } & Sent
function ToolForm({ action, choices: c, fields, version, isEdit = false, refusal, typed }: ToolFormProps) {
  return (
    <Form action={action} version={version} refusal={refusal} typed={typed} label="The tool">
      <Field name="name" label="Name" value={fields['name']} maxLength={120} hint="Such as “Router” or “Clamps, large”" />
      <NumberField name="count" label="How many" value={fields['count']} whole />
      <SelectField name="siteId" label="Kept at" value={fields['siteId']} options={choices(c.sites)} blank="Goes anywhere" />
      <SelectField name="competenceId" label="Who may use it" value={fields['competenceId']} options={choices(c.competences)} blank="Anyone" hint="Whoever is checked on this; supervised, only beside somebody who is" />
      <DateField name="arrivesOn" label="Arrives on" value={fields['arrivesOn']} required={false} hint="Not there before; empty: it is here" />
      <TextArea name="note" label="Note" value={fields['note']} required={false} rows={2} />
      {isEdit && <CheckField name="isRetired" label="Given up: it is not there any more" checked={fields['isRetired'] === 'on'} />}
      <Button>{isEdit ? 'Save' : 'Add the tool'}</Button>
    </Form>
  )
}

export type ToolProps = ToolPage & { fields: Record<string, string>; today: string; form?: 'tool' | 'outage'; refusal?: FormRefusal; typed?: Typed }

export function ToolView({ tool, choices: c, fields, today, form, refusal, typed }: ToolProps) {
  const page = usePage()
  const mayEdit = page.may('workshop.edit')
  const locale = page.club?.locale
  const sent = (of: ToolProps['form']): Sent => (form === of ? { refusal, typed } : {})
  const day = (date: Date) => dateText(date.toISOString().slice(0, 10), locale)
  const isOver = (toOn: Date | null) => toOn !== null && toOn.toISOString().slice(0, 10) < today
  return (
    <Layout title={tool.name} section="workshop" above={<Breadcrumb items={[{ href: '/workshop', text: 'Workshop' }]} />}>
      {refusal && !form && <ErrorSummary refusal={refusal} />}
      {!tool.isActive && <Notice>This tool is given up; nothing is planned with it.</Notice>}
      {tool.competence && <Caution>{`Only for members checked on ${tool.competence.name}; supervised ones beside somebody who is. Guards on, extraction on, ear and eye protection.`}</Caution>}
      <Sheet title="In short">
        <DefinitionRows
          rows={[
            ['How many', tool.count],
            ['Kept at', c.sites.find((s) => s.id === tool.siteId)?.name ?? 'goes anywhere'],
            ['Who may use it', tool.competence?.name ?? 'anyone'],
            ['Arrives', tool.arrivesOn && day(tool.arrivesOn)],
            ['Note', tool.note],
          ]}
        />
      </Sheet>
      <Sheet title="Out of service">
        {tool.outages.length === 0 && <p class="muted">Never so far.</p>}
        <ul class="plain-list">
          {tool.outages.map((o) => (
            <li key={o.id}>
              {o.count} from {day(o.fromOn)}{o.toOn ? ` to ${day(o.toOn)}` : ', nobody knows until when'}: {o.why}
              {mayEdit && !isOver(o.toOn) && <TapForm action={`/workshop/tools/${tool.id}/outages/${o.id}/end`} about={o.why}>Back in service</TapForm>}
            </li>
          ))}
        </ul>
        {mayEdit && (
          <Form action={`/workshop/tools/${tool.id}/outages`} label="Out of service" {...sent('outage')}>
            <NumberField name="count" label="How many" value="1" whole />
            <DateField name="fromOn" label="From" value={today} />
            <DateField name="toOn" label="To" required={false} hint="The last day it is away; empty while nobody knows" />
            <Field name="why" label="Why" maxLength={200} />
            <Button>Out of service then</Button>
          </Form>
        )}
      </Sheet>
      {mayEdit && (
        <Sheet title="Change">
          <ToolForm action={`/workshop/tools/${tool.id}`} choices={c} fields={fields} version={tool.version} isEdit {...sent('tool')} />
        </Sheet>
      )}
    </Layout>
  )
}
