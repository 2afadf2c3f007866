import type { BuildHead } from '../../src/features/builds/queries/build-page.ts'
import { Button, Field, Form, NumberField, RadioRow, type FormRefusal, type Typed } from '../shared/index.ts'
import { BuildLayout } from './_head.tsx'

export function SplitTask({ build, taskId, values, refusal, typed }: { build: BuildHead; taskId: string; values: Typed; refusal?: FormRefusal | undefined; typed?: Typed | undefined }) {
  const name = String(values['name'])
  const at = `/builds/${build.id}/tasks/${taskId}`
  const isCoat = values['productId'] !== ''
  return (
    <BuildLayout build={build} title={`Split “${name}”`} more={[{ href: at, text: name }]}>
      <p>Two tasks share its work ({String(values['likely'])} h likely) and its materials; both keep its tools, places and links. Its checklist stays with the first.</p>
      <Form action={`${at}/split`} refusal={refusal} typed={typed} version={Number(values['version'])}>
        <Field name="firstName" label="First" value={isCoat ? `${name}, port` : `${name}, first part`} required maxLength={120} size="full" />
        <Field name="secondName" label="Second" value={isCoat ? `${name}, starboard` : `${name}, second part`} required maxLength={120} size="full" />
        <NumberField name="share" label="Share of the first" value="50" unit="%" required />
        <RadioRow
          name="order" legend="How they stand" value={isCoat ? 'beside' : 'after'}
          options={[{ value: 'after', label: 'The second after the first' }, { value: 'beside', label: 'Side by side: each with all the links, such as port and starboard' }]}
        />
        <Button>Split it</Button>
      </Form>
    </BuildLayout>
  )
}
