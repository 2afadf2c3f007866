import type { BuildHead } from '../../src/features/builds/queries/build-page.ts'
import type { HoldsModel } from '../../src/features/builds/queries/holds.ts'
import { Button, Form, NumberField, SelectField, Sheet, Table, TapForm, usePage, type FormRefusal, type Typed } from '../shared/index.ts'
import { BuildLayout } from './_head.tsx'

export type HoldsProps = HoldsModel & { build: BuildHead; refusal?: FormRefusal | undefined; typed?: Typed | undefined }

export function Holds({ build, holds, tools, tasks, refusal, typed }: HoldsProps) {
  const mayEdit = usePage().may('builds.edit')
  const at = `/builds/${build.id}`
  const options = tasks.map((t) => ({ value: t.id, label: t.name, group: t.phase.name }))
  return (
    <BuildLayout build={build} title={`${build.name}: what she holds`}>
      <p>A hold keeps a tool, or a bay, from the start of one task to the finish of another, whatever goes on between, and in a pause too.</p>
      <Table
        caption="Holds" quietCaption rows={holds} rowKey={(h) => h.id} empty="She holds nothing."
        columns={[
          { key: 'what', heading: 'What', cell: (h) => (h.amount > 1 ? `${h.amount} × ${h.what}` : h.what) },
          { key: 'from', heading: 'From the start of', cell: (h) => <a href={`${at}/tasks/${h.from.id}`}>{h.from.name}</a> },
          { key: 'to', heading: 'To the finish of', cell: (h) => <a href={`${at}/tasks/${h.to.id}`}>{h.to.name}</a> },
          { key: 'now', heading: 'Now', cell: (h) => (h.isOver ? 'over' : h.isHeld ? 'held' : 'not yet') },
          ...(mayEdit ? [{ key: 'off', heading: 'Change', cell: (h: HoldsModel['holds'][number]) => <TapForm action={`${at}/holds/${h.id}/remove`} kind="care" about={`Give ${h.what} free`}>Give free</TapForm> }] : []),
        ]}
      />
      {mayEdit && (
        <Sheet title="Hold something">
          <Form action={`${at}/holds`} refusal={refusal} typed={typed}>
            <SelectField name="tool" label="What" blank="A bay where she stands" options={tools.map((t) => ({ value: t.id, label: `${t.name} (${t.count})` }))} />
            <NumberField name="amount" label="How many" value="1" whole />
            <SelectField name="from" label="From the start of" blank="Choose" required options={options} />
            <SelectField name="to" label="To the finish of" blank="Choose" required options={options} />
            <Button>Hold it</Button>
          </Form>
        </Sheet>
      )}
    </BuildLayout>
  )
}
