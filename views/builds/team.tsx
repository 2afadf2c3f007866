import type { BuildChoices } from '../../src/features/builds/queries/build-form.ts'
import type { BuildHead } from '../../src/features/builds/queries/build-page.ts'
import { Button, Form, list, Notice, type FormRefusal, type Typed } from '../shared/index.ts'
import { TeamFields } from './_about-fields.tsx'
import { BuildLayout } from './_head.tsx'

export function Team({ build, choices, refusal, typed }: { build: BuildHead; choices: BuildChoices; refusal?: FormRefusal | undefined; typed?: Typed | undefined }) {
  const former = build.team.filter((m) => !m.isActive).map((m) => m.name)
  return (
    <BuildLayout build={build} title={`${build.name}: team`}>
      {refusal?.status === 409 && <Notice kind="care">Stored now: {list(build.team.map((m) => m.name)) || 'nobody'}.</Notice>}
      <Form action={`/builds/${build.id}/team`} refusal={refusal} typed={typed} version={build.version}>
        <TeamFields choices={choices} team={build.team.map((m) => m.id)} />
        <Button>Save the team</Button>
      </Form>
      {former.length > 0 && <p>Also built on her, and left the club since: {list(former)}.</p>}
    </BuildLayout>
  )
}
