import type { BuildHead } from '../../src/features/builds/queries/build-page.ts'
import type { TaskChoices } from '../../src/features/builds/queries/task-form.ts'
import { Button, CheckField, DateField, Field, FieldGroup, Form, NumberField, RadioRow, SelectField, Sheet, TextArea, useField, type FormRefusal, type Option, type Typed } from '../shared/index.ts'
import { BuildLayout } from './_head.tsx'
import { storeOptions, USES } from './_store-options.ts'
import { CRAFT_OPTIONS, KINDS, STAGES } from './words.ts'

export type TaskFormProps = {
  build: BuildHead; choices: TaskChoices; task: { id: string; name: string } | null; values: Typed; refusal?: FormRefusal | undefined; typed?: Typed | undefined
}

const one = (v: string | string[] | undefined): string => (Array.isArray(v) ? (v[0] ?? '') : (v ?? ''))
const many = (v: string | string[] | undefined): string[] => (v === undefined || v === '' ? [] : Array.isArray(v) ? v : [v])

export function TaskForm({ build, choices, task, values, refusal, typed }: TaskFormProps) {
  const at = `/builds/${build.id}/tasks/${task ? `${task.id}/edit` : 'new'}`
  const v = (name: string) => one(values[name])
  const title = task ? `Change “${task.name}”` : 'Add a task'
  return (
    <BuildLayout build={build} title={title} more={task ? [{ href: `/builds/${build.id}/tasks/${task.id}`, text: task.name }] : []}>
      <Form action={at} refusal={refusal} typed={typed} {...(task ? { version: Number(v('version')) } : {})}>
        <Sheet title="What">
          <Field name="name" label="Name" value={v('name')} required maxLength={120} size="full" />
          <SelectField name="phaseId" label="Phase" value={v('phaseId')} blank="A new one, named below" options={choices.phases.map((p) => ({ value: p.id, label: p.name }))} />
          <Field name="newPhase" label="Name of a new phase" value={v('newPhase')} required={false} maxLength={80} />
          {!task && <SelectField name="after" label="Stands after" value={v('after')} blank="The end of its phase" options={choices.tasks.map((t) => ({ value: t.id, label: t.name }))} />}
          <TextArea name="note" label="Note" value={v('note')} required={false} rows={2} />
          <Field name="caution" label="Caution" value={v('caution')} required={false} maxLength={500} size="full" hint="Shown wherever the task is: what can hurt here, short, and whose word counts" />
          <TextArea name="steps" label="Checklist" value={v('steps')} required={false} rows={6} hint="One step a line. A step whose words stay keeps its tick." />
        </Sheet>
        <Sheet title="Work and hands">
          <RadioRow name="kind" legend="How it is done" options={KINDS} value={v('kind')} />
          <SelectField
            name="craft" label="Kind of work" value={v('craft')} blank="As the rest of this page shows it" options={CRAFT_OPTIONS}
            hint="What the club learns of its pace is kept by it"
          />
          <FieldGroup legend="Hours" hint="1.5 or 1:30. Shared: hours of all hands together; else how long it takes.">
            <div class="form-row">
              <Field name="low" label="If all goes well" value={v('low')} size="short" />
              <Field name="likely" label="Likely" value={v('likely')} size="short" />
              <Field name="high" label="If not" value={v('high')} size="short" />
            </div>
          </FieldGroup>
          <div class="form-row">
            <NumberField name="handsFrom" label="Hands, from" value={v('handsFrom')} whole />
            <NumberField name="handsTo" label="Hands, to" value={v('handsTo')} whole />
          </div>
          <NumberField name="smallest" label="Smallest piece" value={v('smallest')} unit="min" whole required={false} hint="Empty: in one go. A coat or glue-up is always in one go." />
          <div class="form-row">
            <NumberField name="setUp" label="Set-up before each piece" value={v('setUp')} unit="min" whole />
            <NumberField name="clearUp" label="Clear-up after each piece" value={v('clearUp')} unit="min" whole />
          </div>
          <DateField name="releaseOn" label="Not before" value={v('releaseOn')} required={false} />
        </Sheet>
        <Sheet title="Where and with what">
          <RadioRow
            name="where" legend="Where" value={v('where')}
            options={[{ value: 'boat', label: 'Where she stands' }, { value: 'anywhere', label: 'Anywhere its people are' }, { value: 'places', label: 'In the places ticked below' }]}
          />
          <FieldGroup legend="Places" name="places">
            {choices.places.map((p) => <CheckField key={p.id} name="places" value={p.id} label={p.name} checked={many(values['places']).includes(p.id)} />)}
          </FieldGroup>
          <CheckField name="dusty" value="yes" label="Makes dust: keeps wet films in the same place waiting" checked={v('dusty') === 'yes'} />
          <FieldGroup legend="Tools" name="tools" hint="How many at once; empty for none.">
            {choices.tools.map((t) => <ToolField key={t.id} tool={t} count={v(`tool.${t.id}`)} held={v(`held.${t.id}`)} />)}
          </FieldGroup>
          <FieldGroup legend="Only with somebody checked on" name="competences">
            {choices.competences.map((c) => <CheckField key={c.id} name="competences" value={c.id} label={c.name} checked={many(values['competences']).includes(c.id)} />)}
          </FieldGroup>
        </Sheet>
        <Sheet title="Curing and conditions">
          <SelectField name="productId" label="Cure product" value={v('productId')} blank="Nothing cures" options={choices.products.map((p) => ({ value: p.id, label: p.name }))} hint="Makes it a coat or glue-up. Its data-sheet limits count by themselves; those below come on top." />
          <NumberField name="minAir" label="Air at least" value={v('minAir')} unit="°C" required={false} />
          <NumberField name="maxAir" label="Air at most" value={v('maxAir')} unit="°C" required={false} />
          <NumberField name="maxHumidity" label="Humidity at most" value={v('maxHumidity')} unit="%" required={false} />
          <NumberField name="dewPointMargin" label="Surface above dew point by at least" value={v('dewPointMargin')} unit="°C" required={false} />
        </Sheet>
        <Materials values={values} typed={typed} stores={choices.stores} />
        <Button>{task ? 'Save' : 'Add it'}</Button>
      </Form>
    </BuildLayout>
  )
}

function ToolField({ tool, count, held }: { tool: { id: string; name: string; count: number }; count: string; held: string }) {
  return (
    <div class="form-row">
      <NumberField name={`tool.${tool.id}`} label={`${tool.name} (of ${tool.count})`} value={count} whole />
      <SelectField name={`held.${tool.id}`} label={`${tool.name} kept until`} value={held} blank="the piece is done" options={STAGES} />
    </div>
  )
}

/** Rows of materials with two empty ones below; the fields repeat, so they are told apart by their order. */
function Materials({ values, typed, stores }: { values: Typed; typed?: Typed | undefined; stores: TaskChoices['stores'] }) {
  const from = typed ?? values
  const names = many(from['materialName'])
  const cell = (field: string, i: number) => many(from[field])[i] ?? ''
  const rows = [...names.keys(), names.length, names.length + 1]
  const field = useField('materials')
  return (
    <Sheet title="Materials">
      <p class="field-hint">Low, likely and high. Empty a name to take its row off. What is tied to the stores is set aside for this task: the likely amount, less what was drawn for it.</p>
      {field.error && <p class="field-error" id={`${field.id}-error`}>{field.error}</p>}
      {rows.map((i) => (
        <FieldGroup key={i} legend={cell('materialName', i) || 'Another material'}>
          <div class="form-row">
            {COLUMNS.map(([name, word, size]) => (
              <div class="field" key={name}>
                <label for={`${field.id}-${name}-${i}`}>{word}<span class="hidden"> of material {i + 1}</span></label>
                {name in LISTS ? (
                  <select class={`input input-${size}`} id={`${field.id}-${name}-${i}`} name={name}>
                    {LISTS[name]!(stores, cell(name, i)).map((o) => <option key={o.value} value={o.value} selected={cell(name, i) === String(o.value)}>{o.label}</option>)}
                  </select>
                ) : (
                  <input class={`input input-${size}`} id={`${field.id}-${name}-${i}`} name={name} value={cell(name, i)} />
                )}
              </div>
            ))}
          </div>
        </FieldGroup>
      ))}
    </Sheet>
  )
}

const COLUMNS = [
  ['materialName', 'Material', 'middle'], ['materialUnit', 'Unit', 'short'], ['materialLow', 'Low', 'short'], ['materialLikely', 'Likely', 'short'], ['materialHigh', 'High', 'short'],
  ['materialRule', 'How worked out', 'middle'], ['materialFrom', 'In the stores', 'middle'], ['materialUse', 'Needs stock that is', 'short'],
] as const

const LISTS: Record<string, (stores: TaskChoices['stores'], chosen: string) => readonly Option[]> = {
  materialUnit: () => ['g', 'ml', 'm', 'm2', 'pcs'].map((u) => ({ value: u, label: u === 'm2' ? 'm²' : u })),
  materialFrom: (stores, chosen) => [{ value: '', label: 'As its name is known' }, ...storeOptions(stores, chosen)],
  materialUse: () => [{ value: '', label: 'by its kind' }, ...USES],
}
