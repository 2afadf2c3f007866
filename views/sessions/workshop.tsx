import type { PlaceRow, ToolRow, Workshop } from '../../src/features/sessions/queries/workshop.ts'
import { ButtonLink, Empty, format, Layout, list, plural, Sheet, Table, usePage, useTimes } from '../shared/index.ts'
import { dateText } from './words.ts'

export function WorkshopView({ sites, places, tools }: Workshop) {
  const page = usePage()
  const mayEdit = page.may('workshop.edit')
  return (
    <Layout title="Workshop">
      {mayEdit && (
        <div class="button-row">
          {sites.length > 0 && <ButtonLink href="/workshop/places/new">Add a place</ButtonLink>}
          <ButtonLink href="/workshop/tools/new">Add a tool</ButtonLink>
          <ButtonLink href="/workshop/sites/new">Add a site</ButtonLink>
        </div>
      )}
      {sites.length === 0 && <Empty>No site yet. A site is the club’s workshop, or a member’s home where a build is kept; places are inside it.</Empty>}
      {sites.map((site) => (
        <Sheet key={site.id} title={site.name} actions={mayEdit && <ButtonLink href={`/workshop/sites/${site.id}`}>Change</ButtonLink>}>
          {site.kind === 'home' && <p>{site.memberName ? `Home of ${site.memberName}: hours there need no keyholder.` : 'A home.'}</p>}
          <Places site={site.name} rows={places.filter((p) => p.siteId === site.id)} />
        </Sheet>
      ))}
      <Sheet title="Shared tools">
        <Table
          caption="Counted things that people queue for"
          quietCaption
          rows={tools}
          rowKey={(t) => t.id}
          empty="No tools yet. Enter those that people wait for: bench, clamps, router, sander."
          columns={[
            { key: 'name', heading: 'Tool', cell: (t) => <a href={`/workshop/tools/${t.id}`}>{t.name}</a> },
            { key: 'now', heading: 'There now', numeric: true, cell: (t) => (t.isActive ? `${t.now} of ${t.count}` : 'given up') },
            { key: 'where', heading: 'Kept at', cell: (t) => t.siteName ?? 'goes anywhere' },
            { key: 'who', heading: 'Who may use it', cell: (t) => t.competence ?? 'anyone' },
            { key: 'note', heading: 'Note', cell: (t) => <ToolNote tool={t} /> },
          ]}
        />
      </Sheet>
    </Layout>
  )
}

function Places({ site, rows }: { site: string; rows: readonly PlaceRow[] }) {
  const { club } = usePage()
  const times = useTimes()
  return (
    <Table
      caption={`Places of ${site}`}
      quietCaption
      rows={rows}
      rowKey={(p) => p.id}
      empty="No place in it yet."
      columns={[
        { key: 'name', heading: 'Place', cell: (p) => <a href={`/workshop/places/${p.id}`}>{p.name}</a> },
        { key: 'air', heading: 'Now, about', cell: (p) => `${format.temperature(Math.round(p.air), club)}, ${Math.round(p.humidity)} %` },
        { key: 'bays', heading: 'Bays', numeric: true, cell: (p) => p.bays },
        { key: 'builds', heading: 'Builds in it', cell: (p) => (p.builds.length > 0 ? list(p.builds) : '–') },
        { key: 'note', heading: 'Note', cell: (p) => (!p.isActive ? 'given up' : p.shut ? `shut until ${times.dayTime(Math.floor(p.shut.ends.getTime() / 60_000))}: ${p.shut.why}` : '') },
      ]}
    />
  )
}

function ToolNote({ tool: t }: { tool: ToolRow }) {
  const { club } = usePage()
  const words = [
    t.arrivesOn && `arrives ${dateText(t.arrivesOn, club?.locale)}`,
    ...t.outages.map((o) => `${plural(o.count, 'piece')} out of service from ${dateText(o.fromOn, club?.locale)}${o.toOn ? ` to ${dateText(o.toOn, club?.locale)}` : ', nobody knows until when'}: ${o.why}`),
    t.note,
  ].filter(Boolean)
  return <>{words.join(' · ')}</>
}
