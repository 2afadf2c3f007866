import type { BuildChoices } from '../../src/features/builds/queries/build-form.ts'
import type { BuildHead } from '../../src/features/builds/queries/build-page.ts'
import { Button, Form, type FormRefusal, type Typed } from '../shared/index.ts'
import { AboutFields, type AboutValues } from './_about-fields.tsx'
import { BuildLayout } from './_head.tsx'

export function EditBuild({ build, values, choices, refusal, typed }: { build: BuildHead; values: Typed; choices: BuildChoices; refusal?: FormRefusal | undefined; typed?: Typed | undefined }) {
  return (
    <BuildLayout build={build} title={`${build.name}: name, place, target`}>
      <Form action={`/builds/${build.id}/edit`} refusal={refusal} typed={typed} version={build.version}>
        <AboutFields values={values as AboutValues} choices={choices} />
        <Button>Save</Button>
      </Form>
    </BuildLayout>
  )
}
