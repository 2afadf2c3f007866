import type { Sheet as OptionSheet, SheetsPage } from '../../src/features/planning/option-sheets/queries/sheet.ts'
import { Breadcrumb, ButtonLink, ButtonRow, Empty, Layout, Notice, Sheet, Swatch, Table, usePage, When, type Column } from '../shared/index.ts'

/** The option sheets of a build, and ways to start one. */
export function OptionSheetsPage({ build, sheets, presets, canVary }: SheetsPage) {
  const page = usePage()
  const at = `/builds/${build.id}/options`
  const mayStart = page.may('builds.edit') && build.state !== 'launched'
  return (
    <Layout title={`${build.name}: options`} section="builds" wide above={<Breadcrumb items={[{ href: '/builds', text: 'Builds' }, { href: `/builds/${build.id}`, text: build.name }]} />}>
      <ButtonRow>
        <ButtonLink href={`/builds/${build.id}/estimate`}>Estimate</ButtonLink>
        <ButtonLink href={`/builds/${build.id}/plan`}>Plan</ButtonLink>
      </ButtonRow>
      <p class="lead">An option sheet takes two to four ways to build something through the estimate, the stores and the work plan, and sets money, weight, stiffness, hours, launch and resin side by side.</p>
      {build.state === 'launched' && <Notice><p>She is launched: there is nothing left to choose between.</p></Notice>}
      {!canVary && <Notice><p>She was not started from a standard job list, so there is nothing to vary: an option sheet needs measurements that hours and materials hang on.</p></Notice>}
      {canVary && mayStart && (
        <Sheet title="Start one">
          <ul class="plain-list option-starts">
            {presets.map((p) => (
              <li key={p.key}>
                <ButtonLink href={`${at}/new?preset=${p.key}`}>{p.title}</ButtonLink>
                <p class="muted">{p.about}</p>
              </li>
            ))}
            <li>
              <ButtonLink href={`${at}/new`}>Something else</ButtonLink>
              <p class="muted">Choose up to four measurements or choices that the options differ in.</p>
            </li>
          </ul>
        </Sheet>
      )}
      {sheets.length === 0
        ? canVary && <Empty>Nothing has been compared for her yet.</Empty>
        : <Table caption="Asked so far" columns={columns(at)} rows={sheets} rowKey={(s) => s.id} />}
    </Layout>
  )
}

const columns = (at: string): Column<OptionSheet>[] => [
  { key: 'question', heading: 'Question', isName: true, cell: (s) => <a href={`${at}/${s.id}`}>{s.question}</a> },
  { key: 'options', heading: 'Options', cell: (s) => s.options.map((o) => o.name).join(' · ') },
  { key: 'worked', heading: 'Worked out', cell: (s) => (s.workedAt ? <When at={s.workedAt} /> : 'not yet') },
  { key: 'taken', heading: 'Taken', cell: (s) => (s.taken ? <Swatch state="done">{s.options[s.taken.index]?.name}</Swatch> : 'none yet') },
  { key: 'by', heading: 'Asked by', cell: (s) => s.createdBy },
]
