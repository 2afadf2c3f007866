import type { BuildStock, ItemShare, NeedView, TaskCover } from '../../src/features/planning/queries/build-stock.ts'
import { Breadcrumb, ButtonLink, ButtonRow, Empty, Layout, Notice, Sheet, Swatch, Table, type Column, type SwatchState } from '../shared/index.ts'
import { levelHref, needDay, WorkLink } from './stock-parts.tsx'
import { useStockWords } from './use-stock-words.ts'
import { buildCoverSentence, coverWords, much, sentence, type StockWords } from './words.ts'

const SIGN: Record<NeedView['cover'], SwatchState> = { there: 'done', coming: 'ready', late: 'waiting', short: 'missed' }

/** What the stores have for a build: what is left covers the foils but not the decks. */
export function BuildStockPage(data: BuildStock) {
  const w = useStockWords(data)
  const { build } = data
  const tasks = data.phases.flatMap((p) => p.tasks)
  return (
    <Layout title={`${build.name}: what the stores have for her`} section="builds" wide live={['plan']} above={<Breadcrumb items={[{ href: '/builds', text: 'Builds' }, { href: `/builds/${build.id}`, text: build.name }]} />}>
      <ButtonRow>
        <ButtonLink href={`/builds/${build.id}/materials`}>Her materials</ButtonLink>
        <ButtonLink href="/stores/outlook">All items ahead</ButtonLink>
        <ButtonLink href="/stores/buying">Buying list</ButtonLink>
      </ButtonRow>
      {build.state === 'paused' && <Notice><p>She is paused: nothing is promised to her until she goes on.</p></Notice>}
      {!data.hasPlan && <Notice><p>The work plan is being worked out: what her tasks ask for is not in this yet.</p></Notice>}
      {tasks.length === 0
        ? <Empty action={<ButtonLink href={`/builds/${build.id}/materials`}>Say which items her materials are</ButtonLink>}>None of her tasks to come takes anything from the stores, as far as they say.</Empty>
        : (
          <>
            <p class="lead">{buildCoverSentence(w, data)}</p>
            <p class="muted">Stock is promised by the builds’ priority, then by date. What a task takes is promised once; what was drawn for it already is not counted any more. A task waits until all that it takes is there: resin without its hardener is of no use.</p>
            <Table caption="By item" columns={itemColumns(w)} rows={data.items} rowKey={(i) => i.item.id} />
            {data.phases.map((p) => (
              <Sheet key={p.name} title={p.name}>
                <Table caption={`What is promised to ${p.name}`} quietCaption columns={taskColumns(w)} rows={p.tasks} rowKey={(t) => t.taskId} />
              </Sheet>
            ))}
          </>
        )}
    </Layout>
  )
}

const itemColumns = (w: StockWords): Column<ItemShare>[] => [
  { key: 'item', heading: 'Item', isName: true, cell: (i) => <a href={levelHref(i.item.id)}>{i.item.name}</a> },
  { key: 'needed', heading: 'She still takes', numeric: true, cell: (i) => much(w, i.item, i.needed) },
  { key: 'covered', heading: 'Promised to her', numeric: true, cell: (i) => much(w, i.item, i.covered) },
  { key: 'short', heading: 'Missing', numeric: true, cell: (i) => (i.short > 0 ? <Swatch state="missed">{much(w, i.item, i.short)}</Swatch> : '–') },
  { key: 'others', heading: 'Promised to other builds', numeric: true, cell: (i) => (i.others > 0 ? much(w, i.item, i.others) : '–') },
]

const taskColumns = (w: StockWords): Column<TaskCover>[] => [
  { key: 'task', heading: 'Task', isName: true, cell: (t) => <WorkLink w={w} need={t.needs[0]!} withBuild={false} /> },
  { key: 'when', heading: 'Wanted', cell: (t) => needDay(w, t.at) },
  {
    key: 'what', heading: 'Takes',
    cell: (t) => <ul class="plain-list">{alike(t.needs).map((needs) => <li key={needs[0]?.item.id}><Swatch state={SIGN[needs[0]?.cover ?? 'there']}>{sentence(coverWords(w, needs))}</Swatch></li>)}</ul>,
  },
]

/** Needs of a task that stand alike are told together. */
function alike(needs: readonly NeedView[]): NeedView[][] {
  const groups = new Map<string, NeedView[]>()
  for (const n of needs) {
    const key = n.cover === 'there' ? 'there' : `${n.cover} ${n.covered}`
    groups.set(key, [...(groups.get(key) ?? []), n])
  }
  return [...groups.values()]
}
