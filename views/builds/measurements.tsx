import type { BuildHead } from '../../src/features/builds/queries/build-page.ts'
import type { MeasurementsModel } from '../../src/features/builds/queries/start-form.ts'
import { Button, Form, RadioRow, type FormRefusal, type Typed } from '../shared/index.ts'
import { BuildLayout } from './_head.tsx'
import { MeasurementField } from './_measurements.tsx'
import { GRADES } from './words.ts'

export function Measurements({ build, model, refusal, typed }: { build: BuildHead; model: MeasurementsModel; refusal?: FormRefusal | undefined; typed?: Typed | undefined }) {
  return (
    <BuildLayout build={build} title={`${build.name}: measurements`}>
      <p>Tasks that nobody began and nobody changed by hand get their hours and materials worked out anew. Tasks are not added or taken off by themselves.</p>
      <Form action={`/builds/${build.id}/measurements`} refusal={refusal} typed={typed} version={model.version}>
        {model.measurements.map((line) => <MeasurementField key={line.key} line={line} />)}
        <RadioRow name="grade" legend="Finish" options={GRADES} value={model.grade} />
        <Button>Save and work out anew</Button>
      </Form>
    </BuildLayout>
  )
}
