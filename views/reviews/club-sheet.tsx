import type { ComponentChildren } from 'preact'
import type { ClubLine, ClubSheet } from '../../src/features/reviews/club/model.ts'
import { addDays } from '../../src/core/calendar/index.ts'
import { ButtonLink, ButtonRow, Empty, hours, Layout, Notice, plural, PrintSheet, sentence, Table, Tag, usePage, useTimes, weekWords, type Column, type FormRefusal, type TimeWords } from '../shared/index.ts'
import { clashWords, handsWords, hoursWords, launchWords, nextWords, noon, skillWords, snagWords, storeWords, windowWords } from './club-words.ts'

export type ClubSheetProps = ClubSheet & { refusal?: FormRefusal }

/** All builds' week on one page, for the table at which the club meets. */
export function ClubSheetPage(sheet: ClubSheetProps) {
  const times = useTimes()
  const { kind, monday, lines } = sheet
  const days = `${times.date(noon(monday))} to ${times.date(noon(addDays(monday, 6)))}`
  return (
    <Layout title={`Club sheet, ${weekWords(sheet.isoWeek, times)}`} section="weeks" wide live={kind === 'now' ? ['plan'] : undefined}>
      {sheet.refusal && <Notice kind="care"><p>{sheet.refusal.message}</p></Notice>}
      <div class="no-print">
        <ButtonRow>
          {sheet.before && <ButtonLink href={`/club-sheet?week=${sheet.before}`}>The week before</ButtonLink>}
          {kind !== 'now' && <ButtonLink href="/club-sheet">This week</ButtonLink>}
          {sheet.after && <ButtonLink href={`/club-sheet?week=${sheet.after}`}>The week after</ButtonLink>}
          <ButtonLink href="/weeks-ahead">Weeks ahead</ButtonLink>
        </ButtonRow>
      </div>
      {lines.length === 0
        ? <Empty action={<ButtonLink href="/builds">Builds</ButtonLink>}>{kind === 'past' ? 'No build was going on in that week.' : 'No build is going on.'}</Empty>
        : (
          <PrintSheet lines={linesOf(sheet)}>
            <p class="lead">{days}: {says(sheet)}</p>
            <Table caption="Builds" quietCaption columns={columns(sheet, times)} rows={lines} rowKey={(l) => l.buildId} />
            {!sheet.hasPlan && <p class="muted">The work plan is being worked out; look again in a moment.</p>}
            <Talk sheet={sheet} times={times} />
          </PrintSheet>
        )}
    </Layout>
  )
}

/** About how many lines it has: a build two, a line of the lists one and a half. */
const linesOf = ({ lines, ...s }: ClubSheet): number =>
  4 + lines.length * 2.6 + ([s.hands, s.skills, s.clashes, s.stores, s.windows, s.snags, s.unsigned, s.unopened].reduce((n, l) => n + (l.length > 0 ? 1.5 + l.length * 1.4 : 0), 0)) / 1.5

function says({ lines, kind }: ClubSheet): string {
  const done = lines.reduce((n, l) => n + l.doneMin, 0)
  const known = lines.filter((l) => l.meantMin !== null)
  const meant = known.length === 0 ? null : known.reduce((n, l) => n + (l.meantMin ?? 0), 0)
  const builds = plural(lines.length, 'build')
  if (kind === 'ahead') return meant === null ? `${builds}, nothing planned yet.` : `${builds}, ${hours(meant)} of work meant.`
  const beside = meant === null ? '' : ` of ${hours(meant)} meant`
  return `${builds}, ${hours(done)}${kind === 'now' ? ' done so far' : ' done'}${beside}.`
}

function columns({ kind, monday }: ClubSheet, times: TimeWords): Column<ClubLine>[] {
  const name: Column<ClubLine> = {
    key: 'build', heading: 'Build', isName: true,
    cell: (l) => <><a href={`/builds/${l.buildId}`}>{l.name}</a>{l.state === 'paused' && kind !== 'past' && <> <Tag>paused</Tag></>}</>,
  }
  const worked: Column<ClubLine> = { key: 'hours', heading: kind === 'ahead' ? 'Hours' : 'Done', cell: (l) => hoursWords(l, kind) }
  const launch: Column<ClubLine> = { key: 'launch', heading: kind === 'past' ? 'Launch, as seen then' : 'Launch', cell: (l) => <a href={`/builds/${l.buildId}/forecast`}>{launchWords(times, l)}</a> }
  const review = (l: ClubLine) => <a href={`/builds/${l.buildId}/reviews/${monday}`}>{l.review === 'signed' ? 'Review' : l.review === 'draft' ? 'Review, not signed yet' : 'Draft of the review'}</a>
  if (kind === 'past') return [name, worked, launch, { key: 'said', heading: 'What was said', cell: (l) => <>{l.headline && `${sentence(l.headline)} `}{review(l)}</> }]
  return [name, worked, launch, { key: 'next', heading: kind === 'now' ? 'Next' : 'Meant', cell: (l) => <Next line={l} times={times} /> }]
}

function Next({ line, times }: { line: ClubLine; times: TimeWords }) {
  if (line.next.length === 0) return <>{line.state === 'paused' ? '–' : 'nothing planned'}</>
  return (
    <>
      {line.next.map((n, at) => (
        <span key={`${n.taskId}${String(n.isWash)}`}>{at > 0 && ' · '}<a href={`/builds/${line.buildId}/tasks/${n.taskId}`}>{nextWords(times, n)}</a></span>
      ))}
    </>
  )
}

function Talk({ sheet, times }: { sheet: ClubSheet; times: TimeWords }) {
  const { club, may } = usePage()
  const of = (build: string, buildId: string, text: string, href = `/builds/${buildId}`) => <><a href={href}><b>{build}</b></a>: {text}</>
  const nothing = [sheet.hands, sheet.skills, sheet.clashes, sheet.stores, sheet.windows, sheet.snags, sheet.unopened].every((l) => l.length === 0)
  return (
    <div class="club-talk">
      {sheet.kind === 'now' && nothing && <p>Nothing stands in the way: hands, tools, stores and windows of the coming two weeks are seen to.</p>}
      <Lines title="Nobody opens yet" rows={sheet.unopened.map((d) => <><a href={`/sessions/${d.id}`}>{d.title || 'Session'} {times.dayTime(d.start)}</a>: without a keyholder nothing can be planned</>)} />
      <Lines title="Needs hands" rows={[
        ...sheet.hands.map((h) => of(h.build, h.buildId, handsWords(times, h), `/builds/${h.buildId}/tasks/${h.taskId}`)),
        ...sheet.skills.map((s) => of(s.build, s.buildId, skillWords(s), `/builds/${s.buildId}/tasks/${s.taskId}`)),
      ]} />
      <Lines title="Clashes" rows={sheet.clashes.map((c) => of(c.build, c.buildId, clashWords(times, c), `/builds/${c.buildId}/plan`))} />
      <Lines title="Windows between sessions" rows={sheet.windows.map((w) => of(w.build, w.buildId, windowWords(times, w), `/builds/${w.buildId}/tasks/${w.taskId}`))} />
      <Lines title="Runs out" rows={sheet.stores.map((s) => <a href={`/stores/items/${s.itemId}/level`}>{storeWords(times, club, s)}</a>)} />
      <Lines title="Snags that hold up work" rows={sheet.snags.map((s) => of(s.build, s.buildId, snagWords(s), `/builds/${s.buildId}/snags/${s.snagId}`))} />
      {sheet.kind !== 'past' && (
        <Lines title="Last week’s reviews to sign" rows={sheet.unsigned.map((u) => (
          <><a href={`/builds/${u.buildId}/reviews/${u.monday}`}>{u.build}</a>{u.isDraft ? ': drafted, to be read and signed' : may('reviews.edit') ? ': to be drafted' : ''}</>
        ))} />
      )}
    </div>
  )
}

const SHOWN = 8

function Lines({ title, rows }: { title: string; rows: readonly ComponentChildren[] }) {
  if (rows.length === 0) return null
  const rest = rows.length - SHOWN
  return (
    <section>
      <h2>{title}</h2>
      <ul>{rows.slice(0, SHOWN).map((row, n) => <li key={n}>{row}</li>)}</ul>
      {rest > 0 && (
        <details class="no-print">
          <summary>{rest} more</summary>
          <ul>{rows.slice(SHOWN).map((row, n) => <li key={n}>{row}</li>)}</ul>
        </details>
      )}
      {rest > 0 && <p class="print-only">and {rest} more: see the page.</p>}
    </section>
  )
}
