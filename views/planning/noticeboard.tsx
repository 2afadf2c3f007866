import type { Noticeboard } from '../../src/features/planning/queries/noticeboard.ts'
import { Board, ButtonLink, ButtonRow, Caution, Empty, Layout, Notice, rangeWords, Sheet, Swatch, usePage } from '../shared/index.ts'
import { failureWords } from './failure.ts'
import { Films } from './films.tsx'
import { launchText } from './launch.ts'
import { PieceLine, sentenceCase, WindowLine } from './pieces.tsx'
import { ReadyList } from './ready.tsx'
import { levelHref } from './stock-parts.tsx'
import { SuggestionList } from './suggestions.tsx'
import { useWords } from './use-words.ts'
import { buildName, missedReason, peopleNames, personName, sentence, soonWords, taskName, unplannedReason, weekWords, type Words } from './words.ts'

/** What is now: the next session, what is wet, what is planned, launches, and what can't be planned. */
export function NoticeboardPage(board: Noticeboard) {
  const w = useWords(board.names)
  const isEmpty = board.lacks.builds || board.lacks.sessions || board.lacks.place
  return (
    <Layout title="Noticeboard" section="noticeboard" wide live={['plan', ...(board.session ? [`session:${board.session.id}`] : [])]}>
      {board.failure && <Notice kind="care"><p>{failureWords(w, board.failure)}</p></Notice>}
      <NotClosed board={board} w={w} />
      {isEmpty && <FirstSteps board={board} />}
      <Board>
        <Next board={board} w={w} />
        {board.own.length > 0 && (
          <Sheet title="Yours next">
            <ul class="pieces">{board.own.map((p) => <PieceLine key={p.pieceId} w={w} piece={p} withDay withBuild withReason={false} />)}</ul>
          </Sheet>
        )}
        <Reviews board={board} w={w} />
        <Wet board={board} w={w} />
        <Stores board={board} w={w} />
        {board.builds.length > 0 && (
          <Sheet title="Launches" actions={<ButtonLink href="/weeks-ahead">Weeks ahead</ButtonLink>}>
            <ul class="pieces">
              {board.launches.map((l) => <li key={l.build.id}><a href={`/builds/${l.build.id}/plan`}><b>{l.build.name}</b></a>: {sentence(launchText(w, l))}<Range w={w} range={l.launch === null ? undefined : board.ranges.get(l.build.id)} buildId={l.build.id} /></li>)}
            </ul>
          </Sheet>
        )}
        {board.unplanned.length > 0 && <CantBePlanned board={board} w={w} />}
      </Board>
      <ButtonRow>
        <ButtonLink href="/overnight">Coat now? Overnight check</ButtonLink>
        <ButtonLink href="/weeks-ahead">Weeks ahead</ButtonLink>
        <ButtonLink href="/club-sheet">Club sheet</ButtonLink>
        <ButtonLink href="/sessions">Sessions</ButtonLink>
      </ButtonRow>
    </Layout>
  )
}

/** The forecast in short: a launch as planned is the one where nothing comes in between. */
function Range({ w, range, buildId }: { w: Words; range: { readonly p50: number | null; readonly p80: number | null } | undefined; buildId: string }) {
  return range === undefined ? null : <> <a href={`/builds/${buildId}/forecast`}>{sentence(rangeWords(w.times, range))}</a></>
}

const DAY = 1440

function NotClosed({ board: { notClosed }, w }: { board: Noticeboard; w: Words }) {
  const newest = notClosed[0]
  if (!newest) return null
  const until = newest.end + DAY
  return (
    <Notice kind="care">
      <p>
        The session of {w.times.dayTime(newest.start)} is not closed out yet: {until > w.times.now ? `until ${w.times.dayTime(until)} the plan takes its work as done` : 'what was not logged of it counts as not done'}.{' '}
        <a href={`/sessions/${newest.id}/close-out`}>Close it out</a>{notClosed.length > 1 && `; ${notClosed.length - 1} before it ${notClosed.length === 2 ? 'is' : 'are'} open as well`}.
      </p>
    </Notice>
  )
}

/** One line a boat; a week that nobody reviews is no fault. */
function Reviews({ board: { toReview }, w }: { board: Noticeboard; w: Words }) {
  if (toReview.length === 0) return null
  return (
    <Sheet title="Last week">
      <ul class="pieces">
        {toReview.map((r) => (
          <li key={r.buildId}><a href={`/builds/${r.buildId}/reviews/${r.monday}`}>{buildName(w, r.buildId)}’s {weekWords(r.isoWeek, w.times)} {r.isDraft ? 'is drafted and can be signed' : 'can be reviewed'}</a></li>
        ))}
      </ul>
    </Sheet>
  )
}

function FirstSteps({ board }: { board: Noticeboard }) {
  const { lacks } = board
  const page = usePage()
  const steps: [isMissing: boolean, href: string, text: string][] = [
    [lacks.people, '/members/new', 'Write down who is in the club'],
    [lacks.place, '/workshop/places/new', 'Say where you work: a place with its bays and temperatures'],
    [lacks.sessions, '/sessions/new', 'Enter the sessions, best as a weekly series'],
    [lacks.builds, '/builds/new', 'Start a build from a standard job list'],
  ]
  return (
    <Sheet title="To begin with">
      <p>The plan makes itself once these are there:</p>
      <ol class="steps">
        {steps.map(([isMissing, href, text]) => (
          <li key={href}>{isMissing ? <a href={href}>{text}</a> : <Swatch state="done">{text}</Swatch>}</li>
        ))}
      </ol>
      {!page.member?.roles.includes('officer') && <p class="muted">An officer of the club can do all of them.</p>}
    </Sheet>
  )
}

function Next({ board, w }: { board: Noticeboard; w: Words }) {
  const page = usePage()
  const { session } = board
  if (!session) return <Sheet title="Next session"><Empty action={<ButtonLink href="/sessions/new" kind="main">Enter a session</ButtonLink>}>No session is entered.</Empty></Sheet>
  const isOn = session.start <= page.now.getTime() / 60_000
  const come = [...new Set(board.comers.map((c) => c.memberId))]
  const names = board.builds.filter((b) => board.pieces.some((p) => p.buildId === b.id))
  return (
    <Sheet
      title={<>{isOn ? 'Now' : 'Next'}: {session.title || 'session'} {w.times.dayTime(session.start)}–{w.times.timeOr(session.end, session.start)}</>}
      actions={(
        <>
          <ButtonLink href={`/sessions/${session.id}/sheet`} kind="main">Session sheet</ButtonLink>
          {isOn ? <ButtonLink href={`/sessions/${session.id}/here`}>Who is here</ButtonLink> : <ButtonLink href={`/sessions/${session.id}`}>I come</ButtonLink>}
          {isOn && page.may('planning.closeOut') && <ButtonLink href={`/sessions/${session.id}/close-out`}>Close out</ButtonLink>}
        </>
      )}
    >
      <p>
        {session.keyholderId ? `${personName(w, session.keyholderId)} opens up.` : 'Nobody has said to open up yet: without a keyholder nothing can be planned.'}{' '}
        {come.length > 0 ? `Expected: ${peopleNames(w, come)}.` : 'Nobody is expected yet.'}
      </p>
      {board.pieces.length === 0 && <p class="muted">{board.builds.length === 0 ? 'No build is there to work on.' : 'Nothing is planned for it.'}</p>}
      {names.map((b) => (
        <div key={b.id}>
          <h3><a href={`/builds/${b.id}`}>{b.name}</a></h3>
          <ul class="pieces">{board.pieces.filter((p) => p.buildId === b.id).map((p) => <PieceLine key={p.pieceId} w={w} piece={p} withReason={false} />)}</ul>
        </div>
      ))}
      <ReadyList w={w} ready={board.ready} />
      <SuggestionList w={w} suggestions={board.suggestions} builds={board.builds} back="/" />
    </Sheet>
  )
}

function Wet({ board, w }: { board: Noticeboard; w: Words }) {
  const { windows, missed, curing } = board
  if (windows.length + missed.length + curing.length === 0) return null
  return (
    <Sheet title="Films and windows">
      {windows.length > 0 && <ul class="windows">{windows.map((x) => <WindowLine key={x.linkId} w={w} window={x} />)}</ul>}
      {missed.length > 0 && (
        <ul class="windows">
          {missed.map((m) => <li key={m.linkId}><Swatch state="missed"><b>{buildName(w, m.buildId)}: </b>{missedReason(w, m)}.</Swatch></li>)}
        </ul>
      )}
      {curing.some((c) => !c.isHard) && <h3>Curing</h3>}
      <Films films={curing} w={w} />
      {curing.some((c) => !c.isHard) && <Caution>A thumbnail test beats the clock: log what you find. Don’t sand a film that still sticks; its dust is not cured either.</Caution>}
    </Sheet>
  )
}

const STORES_SHOWN = 5

function Stores({ board: { stores }, w }: { board: Noticeboard; w: Words }) {
  const page = usePage()
  const rest = stores.items.length - STORES_SHOWN
  if (stores.items.length === 0) return null
  return (
    <Sheet title="Stores this week" actions={<ButtonLink href={page.may('stores.keep') ? '/stores/buying' : '/stores/outlook'}>{page.may('stores.keep') ? 'Buying list' : 'Stores ahead'}</ButtonLink>}>
      <ul class="pieces">
        {stores.items.slice(0, STORES_SHOWN).map((a) => <li key={a.item.id}><a href={levelHref(a.item.id)}>{sentence(soonWords({ ...w, ...stores }, a))}</a></li>)}
      </ul>
      {rest > 0 && <p class="muted">{rest} more: see the stores ahead.</p>}
    </Sheet>
  )
}

const SHOWN = 8

function CantBePlanned({ board, w }: { board: Noticeboard; w: Words }) {
  // What only waits for another such task says nothing new.
  const first = board.unplanned.filter((u) => u.reason.kind !== 'before')
  const shown = first.length > 0 ? first : board.unplanned
  const rest = board.unplanned.length - Math.min(shown.length, SHOWN)
  return (
    <Sheet title="Can’t be planned yet">
      <ul class="unplanned">
        {shown.slice(0, SHOWN).map((u) => (
          <li key={u.taskId}>
            <b>{w.names.builds.get(u.buildId)}: {sentenceCase(taskName(w, u.taskId))}</b>: {sentence(unplannedReason(w, u.reason))}
          </li>
        ))}
      </ul>
      {rest > 0 && <p class="muted">{rest} more, most of them because they come after these.</p>}
    </Sheet>
  )
}
