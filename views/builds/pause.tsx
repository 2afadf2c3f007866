import type { BuildHead } from '../../src/features/builds/queries/build-page.ts'
import { Button, Field, Form, Notice, type FormRefusal, type Typed } from '../shared/index.ts'
import { BuildLayout } from './_head.tsx'

export function Pause({ build, refusal, typed }: { build: BuildHead; refusal?: FormRefusal | undefined; typed?: Typed | undefined }) {
  const at = `/builds/${build.id}`
  return (
    <BuildLayout build={build} title={build.state === 'paused' ? `${build.name} goes on` : `Pause ${build.name}`}>
      {build.state === 'paused' ? (
        <Form action={`${at}/resume`} refusal={refusal} typed={typed} version={build.version}>
          <p>She is planned again from now on.{build.pauseNote !== '' && ` She was paused with: ${build.pauseNote}`}</p>
          <Button>She goes on</Button>
        </Form>
      ) : (
        <Form action={`${at}/pause`} refusal={refusal} typed={typed} version={build.version}>
          <p>No work is planned on her until she goes on. She keeps her bay and what she holds, and films go on curing. A pause is nothing to explain, but a word helps the others.</p>
          <Field name="note" label="Why, or until when" value="" required={false} maxLength={300} size="full" />
          <Button>Pause her</Button>
        </Form>
      )}
      {build.state === 'launched' && <Notice>She is launched: reopen the launch task if she is not.</Notice>}
    </BuildLayout>
  )
}
