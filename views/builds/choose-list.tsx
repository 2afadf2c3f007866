import { Breadcrumb, ButtonLink, Layout, Sheet } from '../shared/index.ts'

export type ListChoice = { key: string; name: string; about: string; calibratedFor: string; tasks: number }

export function ChooseList({ lists }: { lists: readonly ListChoice[] }) {
  return (
    <Layout title="Start a build" above={<Breadcrumb items={[{ href: '/builds', text: 'Builds' }]} />}>
      <p>Choose the standard job list she is started from. Afterwards everything on her can be changed: tasks, links, hours, checklists.</p>
      {lists.map((l) => (
        <Sheet key={l.key} title={l.name} actions={<ButtonLink href={`/builds/new/${l.key}`} kind={l.tasks > 0 ? 'main' : 'plain'}>{l.tasks > 0 ? 'Measure and start' : 'Start without a list'}</ButtonLink>}>
          <p>{l.about}</p>
          {l.calibratedFor !== '' && <p>Worked out for {l.calibratedFor}.</p>}
        </Sheet>
      ))}
    </Layout>
  )
}
