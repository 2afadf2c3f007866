import type { BuildHead } from '../../src/features/builds/queries/build-page.ts'
import type { MaterialSum, Range3 } from '../../src/features/builds/facts/sums.ts'
import { Breadcrumb, ButtonLink, ButtonRow, DefinitionRows, format, Layout, Notice, plural, Sheet, Table, usePage } from '../shared/index.ts'

export type StartedProps = {
  build: BuildHead; notes: readonly string[]; beyond: readonly { id: string; message: string }[]; count: number; coats: number; windows: number; work: Range3; materials: readonly MaterialSum[]
}

/** What came of starting her. */
export function Started({ build, notes, beyond, count, coats, windows, work, materials }: StartedProps) {
  const { club } = usePage()
  const h = (min: number) => Math.round(min / 60)
  const amount = (n: number, unit: string) => format.amount(n, unit, club)
  return (
    <Layout title={`${build.name} is started`} above={<Breadcrumb items={[{ href: '/builds', text: 'Builds' }, { href: `/builds/${build.id}`, text: build.name }]} />}>
      <Sheet title="What came of it" actions={<ButtonLink href={`/builds/${build.id}`} kind="main">To her tasks</ButtonLink>}>
        <DefinitionRows
          rows={[
            ['Tasks', `${count}, of them ${plural(coats, 'coat or glue-up', 'coats and glue-ups')}`],
            ['Recoat windows to meet', String(windows)],
            ['Hours of hands', `${h(work.low)} – ${h(work.likely)} – ${h(work.high)} h (low, likely, high)`],
            ['Team', build.team.map((m) => m.name).join(', ') || 'nobody yet'],
          ]}
        />
        {count === 0 ? <p>She has no tasks yet: add her first.</p> : <p>These are first guesses, the hours at the pace of somebody’s first boat; what you log and weigh will tell better. The work plan is being worked out now.</p>}
        <ButtonRow>
          <ButtonLink href={`/builds/${build.id}/plan`}>Her work plan</ButtonLink>
          {build.listKey !== null && <ButtonLink href={`/builds/${build.id}/estimate`}>What she takes, line by line</ButtonLink>}
          {build.listKey !== null && <ButtonLink href={`/builds/${build.id}/measurements`}>Measure her</ButtonLink>}
        </ButtonRow>
      </Sheet>
      {(notes.length > 0 || beyond.length > 0) && (
        <Sheet title="To look at">
          <ul>{notes.map((n) => <li key={n}>{n}</li>)}{beyond.map((b) => <li key={b.id}><a href={`/builds/${build.id}/tasks/${b.id}/edit`}>{b.message}.</a></li>)}</ul>
        </Sheet>
      )}
      {build.team.some((m) => m.isMinor) && <Notice kind="care">There are minors in her team: machines, solvents and uncured resin are not theirs without the supervision that local rules ask for.</Notice>}
      {count > 0 && <Sheet title="Materials, first guess">
        <Table
          caption="What her tasks ask for, waste included" rows={materials} rowKey={(m) => `${m.name}|${m.unit}`} empty="Her list names no materials."
          columns={[
            { key: 'name', heading: 'Material', cell: (m) => m.name },
            { key: 'low', heading: 'Low', numeric: true, cell: (m) => amount(m.low, m.unit) },
            { key: 'likely', heading: 'Likely', numeric: true, cell: (m) => amount(m.likely, m.unit) },
            { key: 'high', heading: 'High', numeric: true, cell: (m) => amount(m.high, m.unit) },
          ]}
        />
        {materials.length > 0 && <p><a href={`/builds/${build.id}/materials`}>What they are in the stores</a></p>}
      </Sheet>}
    </Layout>
  )
}
