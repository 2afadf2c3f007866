import type { OwnChargesModel } from '../../src/features/builds/queries/costs.ts'
import { Breadcrumb, format, Layout, Sheet, Table, usePage, When } from '../shared/index.ts'
import { ChargeTable } from './_charge-table.tsx'

/** What I owe for material, and what is owed to me. */
export function OwnCharges({ entries, cents, settled }: OwnChargesModel) {
  const { club } = usePage()
  return (
    <Layout title="My charges" section="stores" above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }]} />}>
      <p>{cents === 0 ? 'You owe nothing, and nothing is owed to you.' : cents > 0 ? <>You owe <b>{format.money(cents, club)}</b> for material.</> : <>You are owed <b>{format.money(-cents, club)}</b>: others took more of your own stock than you took of the club’s.</>} It is asked for at the next settlement. What a build takes is hers, not yours.</p>
      <Sheet title="Not settled yet"><ChargeTable entries={entries} caption="Own use, what you bought, and what others took of yours" empty="No entries." /></Sheet>
      <Sheet title="Settled">
        <Table
          caption="The latest first" rows={settled} rowKey={(s) => s.id} empty="Nothing yet."
          columns={[
            { key: 'number', heading: 'Settlement', cell: (s) => `Settlement ${s.number}` },
            { key: 'at', heading: 'Made', cell: (s) => <When at={s.at} as="day" /> },
            { key: 'cents', heading: 'You owed', numeric: true, cell: (s) => format.money(s.cents, club) },
          ]}
        />
      </Sheet>
    </Layout>
  )
}
