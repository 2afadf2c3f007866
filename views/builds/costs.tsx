import type { BuildCostsModel } from '../../src/features/builds/queries/costs.ts'
import { format, Sheet, Table, usePage, When } from '../shared/index.ts'
import { BuildLayout } from './_head.tsx'

/** What a build has cost in material, by item and by task, and what of it is settled. Hours are never priced. */
export function BuildCosts({ build, cost, tasks, open, settled }: BuildCostsModel) {
  const page = usePage()
  const { club } = page
  const money = (cents: number) => format.money(cents, club)
  const sharedCents = settled.reduce((n, s) => n + s.sharedCents, 0)
  const openCents = open.reduce((n, o) => n + o.cents, 0)
  const max = Math.max(1, ...cost.byItem.map((i) => Math.abs(i.cents)))
  return (
    <BuildLayout build={build} title={`What ${build.name} costs`}>
      <p>
        Material drawn for her so far: <b>{money(cost.cents)}</b>{sharedCents !== 0 && <>, and {money(sharedCents)} of shared use (gloves, rollers), together <b>{money(cost.cents + sharedCents)}</b></>}.
        {' '}{openCents === 0 ? 'All of it is settled.' : <>{money(openCents)} of it is not settled yet; her share of shared use comes with the settlement.</>} Hours are never priced.
      </p>
      <Sheet title="By item">
        <Table
          caption="What was drawn, less what came back" rows={cost.byItem} rowKey={(i) => i.itemId} empty="Nothing was drawn for her yet." stack
          columns={[
            { key: 'name', heading: 'Item', cell: (i) => <a href={`/stores/items/${i.itemId}`}>{i.name}</a> },
            { key: 'amount', heading: 'Amount', numeric: true, cell: (i) => format.stockAmount(i.milli, i.unit, club) },
            { key: 'share', heading: 'Of the largest', cell: (i) => <ShareBar share={Math.max(0, i.cents) / max} /> },
            { key: 'cents', heading: 'Cost', numeric: true, cell: (i) => money(i.cents) },
          ]}
        />
      </Sheet>
      {tasks.length > 0 && (
        <Sheet title="By task">
          <Table
            caption="In the order of her job list" rows={tasks} rowKey={(t) => t.id ?? 'none'}
            columns={[
              { key: 'task', heading: 'Task', cell: (t) => (t.id === null ? 'for no task' : <a href={`/builds/${build.id}/tasks/${t.id}`}>{t.name}</a>) },
              { key: 'phase', heading: 'Phase', cell: (t) => t.phase ?? '' },
              { key: 'cents', heading: 'Cost', numeric: true, cell: (t) => money(t.cents) },
            ]}
          />
        </Sheet>
      )}
      <Sheet title="Settled and open">
        {open.length > 0 && (
          <ul>
            {open.map((o) => <li key={o.owner ?? 'club'}>{o.owner === null ? <>She owes the club {money(o.cents)}.</> : <>She owes {o.owner} {money(o.cents)}, for their own stock.</>}</li>)}
          </ul>
        )}
        <Table
          caption="Settlements" rows={settled} rowKey={(s) => s.id} empty="Nothing is settled yet."
          columns={[
            { key: 'number', heading: 'Settlement', cell: (s) => (page.may('stores.money') ? <a href={`/stores/charges/${s.id}`}>Settlement {s.number}</a> : `Settlement ${s.number}`) },
            { key: 'at', heading: 'Made', cell: (s) => <When at={s.at} as="day" /> },
            { key: 'own', heading: 'Her own', numeric: true, cell: (s) => money(s.ownCents) },
            { key: 'shared', heading: 'Shared use', numeric: true, cell: (s) => money(s.sharedCents) },
            { key: 'total', heading: 'Together', numeric: true, cell: (s) => money(s.totalCents) },
          ]}
        />
      </Sheet>
    </BuildLayout>
  )
}

/** How much an item weighs among the others, as a length. */
function ShareBar({ share }: { share: number }) {
  return (
    <svg class="share-bar" viewBox="0 0 100 8" width="100" height="8" aria-hidden="true" focusable="false">
      <rect x="0" y="0" width={Math.round(share * 1000) / 10} height="8" fill="currentColor" />
    </svg>
  )
}
