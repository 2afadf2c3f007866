import type { SnagsPageModel } from '../../src/features/builds/snags/queries/snag-page.ts'
import type { SnagLine } from '../../src/features/builds/snags/queries/snags.ts'
import { ButtonLink, ButtonRow, Empty, plural, Swatch, Table, usePage, type Column } from '../shared/index.ts'
import { BuildLayout } from './_head.tsx'
import { Photos } from './_photos.tsx'
import { BAD_WORDS, sinceWords, STATE_SWATCH, STATE_WORDS, stateOf } from './snag-words.ts'
import { dayWords } from './words.ts'

/** What is wrong with her, and what became of it. */
export function SnagsPage({ build, open, closed, today }: SnagsPageModel) {
  const page = usePage()
  const at = `/builds/${build.id}/snags`
  const add = page.may('builds.log') && <ButtonLink href={`${at}/new`} kind="main">Write down a snag</ButtonLink>
  const columns = columnsOf(at, build.id, today, page.club?.locale ?? 'en-GB')
  const held = open.filter((s) => s.bad === 'stop').length
  return (
    <BuildLayout build={build} title={`Snags of ${build.name}`} live={[`build:${build.id}`]}>
      {open.length === 0 ? (
        <Empty action={add}>{closed.length === 0 ? 'No fault is written down. Every boat has some: a line and a photo while it is fresh save a search later.' : 'No snag is open.'}</Empty>
      ) : (
        <>
          <p>{plural(open.length, 'snag is', 'snags are')} open{held > 0 ? `; ${held === 1 ? 'one stops' : `${held} stop`} what goes on around ${held === 1 ? 'it' : 'them'}` : ''}.</p>
          <ButtonRow>{add}</ButtonRow>
          <Table caption="Open" rows={open} rowKey={(s) => s.id} columns={columns} stack />
        </>
      )}
      {closed.length > 0 && (
        <details>
          <summary>{plural(closed.length, 'closed snag')}</summary>
          <Table caption="Closed, the last first" quietCaption rows={closed} rowKey={(s) => s.id} columns={columns} stack />
        </details>
      )}
    </BuildLayout>
  )
}

function columnsOf(at: string, buildId: string, today: string, locale: string): Column<SnagLine>[] {
  return [
    { key: 'what', heading: 'Snag', cell: (s) => <>{s.no}. <a href={`${at}/${s.id}`}>{s.what}</a>{s.whereAt !== '' && <><br /><span class="quiet">{s.whereAt}</span></>}<Photos buildId={buildId} photos={s.photos.slice(0, 1)} /></> },
    { key: 'bad', heading: 'How bad', cell: (s) => BAD_WORDS[s.bad] },
    { key: 'since', heading: 'Since', cell: (s) => <>{s.closedOn === null ? sinceWords(s, today) : `took ${sinceWords(s, today)}`}<br /><span class="quiet">{dayWords(s.foundOn, locale)}</span></> },
    {
      key: 'state', heading: 'State',
      cell: (s) => (
        <>
          <Swatch state={STATE_SWATCH[stateOf(s)]}>{STATE_WORDS[stateOf(s)]}</Swatch>
          {s.rework && <><br /><a href={`/builds/${buildId}/tasks/${s.rework.taskId}`}>{s.rework.name}</a></>}
          {s.closedNote !== '' && <><br /><span class="quiet">{s.closedNote}</span></>}
        </>
      ),
    },
  ]
}
