import type { Sheet as Data, SheetPiece, SheetTask } from '../../src/features/planning/queries/sheet.ts'
import { Breadcrumb, ButtonLink, ButtonRow, Caution, Layout, PrintSheet, TickBox } from '../shared/index.ts'
import { amountRange } from '../shared/format.ts'
import { usePage } from '../shared/page-context.ts'
import { logHref, PieceTime, sentenceCase, WindowLine } from './pieces.tsx'
import { ReadyList } from './ready.tsx'
import { SuggestionList } from './suggestions.tsx'
import { useWords } from './use-words.ts'
import { buildName, hours, list, peopleNames, personName, placeName, sheetNeedWords, STAGE, taskName, whoDoes, type Words } from './words.ts'

/** One A4 page for the wall: what is done when, by whom, where, with what; windows between; who comes. */
export function SessionSheetPage(data: Data) {
  const w = useWords(data.names)
  const page = usePage()
  const { session } = data
  const title = `${session.title || 'Session'} ${w.times.dayTime(session.start)}–${w.times.timeOr(session.end, session.start)}`
  const builds = data.builds.filter((b) => data.pieces.some((p) => p.buildId === b.id))
  const isOn = session.start <= w.times.now && session.state === 'planned'
  // A closed session is over: who was expected, and who looks after what, no longer matters.
  return (
    <Layout title={title} section="sessions" live={['plan', `session:${session.id}`]} above={<Breadcrumb items={[{ href: '/sessions', text: 'Sessions' }, { href: `/sessions/${session.id}`, text: 'This session' }]} />}>
      <div class="no-print">
        <ButtonRow>
          {isOn && <ButtonLink href={`/sessions/${session.id}/here`} kind="main">Who is here</ButtonLink>}
          {isOn && page.may('planning.closeOut') && <ButtonLink href={`/sessions/${session.id}/close-out`}>Close out</ButtonLink>}
          <ButtonLink href="/weeks-ahead">Weeks ahead</ButtonLink>
        </ButtonRow>
        <ReadyList w={w} ready={data.ready} />
        <SuggestionList w={w} suggestions={data.suggestions} builds={data.builds} back={`/sessions/${session.id}/sheet`} />
      </div>
      <PrintSheet foot={session.state === 'planned' ? <Foot /> : null} lines={linesOf(data)}>
        {session.state === 'planned' && <People data={data} w={w} />}
        {data.pieces.length === 0 && session.state === 'planned' && <p>{data.hasPlan ? 'Nothing is planned for this session.' : 'The plan is being worked out; look again in a moment.'}</p>}
        {session.state === 'cancelled' && <p>This session was called off.</p>}
        {builds.map((b) => (
          <section key={b.id} class="sheet-build">
            <h2>{b.name}</h2>
            <ol class="sheet-pieces">{data.pieces.filter((p) => p.buildId === b.id).map((p) => <PieceBlock key={p.pieceId} w={w} piece={p} data={data} />)}</ol>
            <WindowList data={data} w={w} buildId={b.id} />
          </section>
        ))}
        <Logs data={data} w={w} />
        <Cautions tasks={data.pieces.map((p) => p.task)} />
      </PrintSheet>
    </Layout>
  )
}

/** About how many lines a sheet has: a piece two or three, with half its steps' number, a window one. */
const linesOf = ({ pieces, windows, builds }: Data): number =>
  pieces.reduce((n, { task }) => n + 2.5 + task.steps.filter((s) => !s.ticked).length / 2, 0) + windows.length + builds.length * 2

function People({ data, w }: { data: Data; w: Words }) {
  const { session, comers } = data
  const times = (c: { start: number; end: number }) => (c.start === session.start && c.end === session.end ? '' : ` (${w.times.time(c.start)}–${w.times.time(c.end)})`)
  const rest = comers.filter((c) => c.memberId !== session.keyholderId)
  return (
    <p class="sheet-people">
      <b>Opens up:</b> {session.keyholderId ? personName(w, session.keyholderId) : '________________'}.{' '}
      <b>Expected:</b> {rest.length === 0 ? 'nobody else yet' : list(rest.map((c) => `${personName(w, c.memberId)}${times(c)}`))}.{' '}
      <b>{session.siteName}</b>
    </p>
  )
}

function PieceBlock({ w, piece, data }: { w: Words; piece: SheetPiece; data: Data }) {
  const { task } = piece
  const state = data.states.get(task.id)
  const isWash = piece.taskId.startsWith('wash:')
  return (
    <li class="sheet-piece">
      <p class="sheet-piece-head">
        <TickBox /> <PieceTime w={w} piece={piece} /> <a href={logHref(w, piece)}><b>{sentenceCase(taskName(w, piece.taskId))}</b></a>
        {' '}{whoDoes(w, piece.people, piece.supervisor)}{piece.placeId && `, ${placeName(w, piece.placeId)}`}
      </p>
      {state?.state === 'done' && <p class="muted">Done already.</p>}
      {piece.window && <p>Window: application from {w.times.dayTime(piece.window.opens)}{piece.window.closes !== null && `, finished by ${w.times.timeOr(piece.window.closes, piece.window.opens)}`}.</p>}
      {isWash && <p>Wash with clean water before any sanding, wipe dry, then sand dull.</p>}
      {task.note && !isWash && <p>{task.note}</p>}
      <Needs w={w} task={task} isWash={isWash} />
      {!isWash && task.steps.some((s) => !s.ticked) && (
        <ul class="sheet-steps">
          {task.steps.filter((s) => !s.ticked).map((s) => <li key={s.id}><TickBox /> {s.text}{s.caution && <b> {s.caution}</b>}</li>)}
        </ul>
      )}
    </li>
  )
}

function Needs({ w, task, isWash }: { w: Words; task: SheetTask; isWash: boolean }) {
  const { club } = usePage()
  const tools = task.tools.map((t) => `${t.count > 1 ? `${t.count} × ` : ''}${t.name}${t.heldUntil ? ` (till ${STAGE[t.heldUntil as keyof typeof STAGE]})` : ''}`)
  const materials = isWash ? [] : task.materials.map((m) => `${m.name} ${amountRange(m, club)}`)
  const stock = isWash ? [] : task.fromStores.map((n) => sheetNeedWords(w, n))
  if (tools.length + materials.length + stock.length === 0 && !task.product) return null
  return (
    <p class="sheet-needs">
      {tools.length > 0 && <><b>Tools:</b> {list(tools)}. </>}
      {stock.length > 0 && <><b>From the stores:</b> {list(stock)}. </>}
      {materials.length > 0 && <><b>Material, whole task:</b> {list(materials)}. </>}
      {task.product && !isWash && <><b>Product:</b> {task.product.name}. Write here when it went on: from ______ to ______</>}
    </p>
  )
}

function WindowList({ data, w, buildId }: { data: Data; w: Words; buildId: string }) {
  const windows = data.windows.filter((x) => x.buildId === buildId)
  if (windows.length === 0) return null
  return (
    <>
      <h3>Windows of {buildName(w, buildId)}</h3>
      <ul class="windows">{windows.map((x) => <WindowLine key={x.linkId} w={w} window={x} withBuild={false} />)}</ul>
    </>
  )
}

/** What was done: hours as they were logged. */
function Logs({ data, w }: { data: Data; w: Words }) {
  const { logs, session } = data
  if (logs.length === 0) return session.state === 'closed' ? <p>No hours were logged in this session.</p> : null
  const sum = logs.reduce((all, l) => all + l.minutes * l.people.length, 0)
  return (
    <section class="sheet-build">
      <h2>Done in this session <span class="muted">{hours(sum)} of work</span></h2>
      <ul>
        {logs.map((l) => (
          <li key={l.id}>
            {w.times.time(l.start)}–{w.times.timeOr(l.start + l.minutes, l.start)} <a href={`/builds/${l.buildId}/tasks/${l.taskId}`}>{buildName(w, l.buildId)}: {l.isWash ? 'wash and sand before ' : ''}{taskName(w, l.taskId)}</a>, {peopleNames(w, l.people)}
          </li>
        ))}
      </ul>
    </section>
  )
}

/** Each caution once, whatever asks for it. */
function Cautions({ tasks }: { tasks: readonly SheetTask[] }) {
  const all = tasks.flatMap((t) => [t.caution, t.product?.hazard ?? '']).filter((t) => t !== '')
  // What warns of the same thing in other words is said once.
  const texts = [...new Map(all.map((t) => [t.split(/[:.]/)[0], t])).values()]
  const hasResin = tasks.some((t) => t.product) && !texts.some((t) => /resin|epoxy|hardener/i.test(t))
  const hasDust = tasks.some((t) => t.dusty) && !texts.some((t) => /dust/i.test(t))
  if (texts.length === 0 && !hasResin && !hasDust) return null
  return (
    <Caution>
      <ul>
        {texts.map((t) => <li key={t}>{t}</li>)}
        {hasResin && <li>Resin and hardener can sensitise for life: gloves, no skin contact, fresh air. A mixed pot left standing heats itself and can burn: spread it out, set leftovers outside on bare ground.</li>}
        {hasDust && <li>Mask and extraction for dust; none of it near a wet film.</li>}
      </ul>
    </Caution>
  )
}

function Foot() {
  return (
    <p>First aid today: ____________________ Fire: ____________________ Nearest extinguisher and first-aid box checked <TickBox /> Minors here, and who looks after them: ____________________</p>
  )
}
