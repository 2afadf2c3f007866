import type { MemberLine } from '../../src/features/members/queries/members.ts'
import { ButtonLink, ButtonRow, Layout, Table, Tag, usePage } from '../shared/index.ts'
import { heldWords, roleNames } from './words.ts'

export function MembersView({ members, today }: { members: MemberLine[]; today: string }) {
  const page = usePage()
  const active = members.filter((m) => m.isActive)
  const former = members.filter((m) => !m.isActive)
  return (
    <Layout title="Members" wide>
      <ButtonRow>
        {page.may('members.edit') && <ButtonLink href="/members/new" kind="main">Add a member</ButtonLink>}
        <ButtonLink href="/competences">Competences</ButtonLink>
        {page.may('club.edit') && <ButtonLink href="/club">The club’s settings</ButtonLink>}
      </ButtonRow>
      <List caption={`${active.length} with us`} members={active} today={today} />
      {former.length > 0 && <List caption="Former members" members={former} today={today} />}
    </Layout>
  )
}

function List({ caption, members, today }: { caption: string; members: MemberLine[]; today: string }) {
  const page = usePage()
  return (
    <Table
      caption={caption}
      rows={members}
      rowKey={(m) => m.id}
      columns={[
        { key: 'name', heading: 'Name', cell: (m) => <a href={`/members/${m.id}`}>{m.name}</a> },
        { key: 'roles', heading: 'Roles', cell: (m) => roleNames(m.roles) },
        { key: 'competences', heading: 'Competences', cell: (m) => m.competences.map((c) => heldWords(c, today)).join(', ') || '–' },
        {
          key: 'more',
          heading: 'Also',
          cell: (m) => (
            <>
              {m.helpsAnyone && <Tag>helps anyone</Tag>} {m.isMinor && page.may('members.contact') && <Tag>under age</Tag>} {!m.canSignIn && <Tag>can’t sign in yet</Tag>}
            </>
          ),
        },
      ]}
    />
  )
}
