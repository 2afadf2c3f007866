import type { ChartRow, WeekChart as Data } from '../../src/features/planning/queries/week-chart.ts'
import type { PieceView, WindowView } from '../../src/features/planning/queries/shown.ts'
import { ButtonLink, ButtonRow, Empty, Layout, Sheet, WeekChart, type SwatchState, type WeekPiece, type WeekWindow } from '../shared/index.ts'
import { logHref, nextCoat, PieceLine, sentenceCase } from './pieces.tsx'
import { useWords } from './use-words.ts'
import { list, peopleNames, plural, sentence, taskName, windowTimes, type Words } from './words.ts'

/** Builds under each other, the coming sessions side by side, and between them the windows in words. */
export function WeeksAheadPage(data: Data) {
  const w = useWords(data.names)
  const { sessions, rows } = data
  if (sessions.length === 0 || rows.length === 0) {
    return (
      <Layout title="Weeks ahead" section="weeks">
        <Empty action={sessions.length === 0 ? <ButtonLink href="/sessions/new" kind="main">Enter sessions</ButtonLink> : <ButtonLink href="/builds/new" kind="main">Start a build</ButtonLink>}>
          {sessions.length === 0 ? 'No session is entered: nothing can be planned before somebody opens up.' : 'No build is there to plan for.'}
        </Empty>
      </Layout>
    )
  }
  return (
    <Layout title="Weeks ahead" section="weeks" wide live={['plan']}>
      <WeekChart
        caption={`The next ${plural(sessions.length, 'session')} by build`}
        says={says(w, data)}
        columns={sessions.map((s) => ({
          id: s.id, href: `/sessions/${s.id}/sheet`, heading: `${w.times.dayTime(s.start)}–${w.times.timeOr(s.end, s.start)}`,
          note: s.comers.length === 0 ? 'nobody expected yet' : peopleNames(w, s.comers),
        }))}
        rows={rows.map((row) => ({
          id: row.build.id, name: row.build.name, href: `/builds/${row.build.id}/plan`, ...(row.build.state === 'paused' ? { note: 'paused' } : {}),
          cells: row.cells.map((cell) => cell.map((p) => piece(w, p))),
          between: betweens(w, row),
        }))}
      />
      {data.elsewhere.length > 0 && (
        <Sheet title="At home and outside sessions">
          <ul class="pieces">{data.elsewhere.map((p) => <PieceLine key={p.pieceId} w={w} piece={p} withDay />)}</ul>
        </Sheet>
      )}
      <ButtonRow>
        {rows.map(({ build }) => <ButtonLink key={build.id} href={`/builds/${build.id}/weeks`}>{build.name}, week by week</ButtonLink>)}
      </ButtonRow>
    </Layout>
  )
}

function says(w: Words, { sessions, rows, hasPlan }: Data): string {
  if (!hasPlan) return 'The plan is being worked out; look again in a moment.'
  const busy = rows.filter((r) => r.cells.some((c) => c.length > 0))
  if (busy.length === 0) return `Nothing is planned for the sessions entered so far, up to ${w.times.day(sessions.at(-1)?.start ?? w.times.now)}.`
  const counts = busy.map((r) => `${plural(r.cells.flat().length, 'piece')} on ${r.build.name}`)
  const windows = rows.flatMap((r) => r.windows.flat()).filter((x) => x.piece)
  const kept = windows.length === 0 ? '' : ` ${plural(windows.length, 'recoat window')} in between ${windows.length === 1 ? 'is' : 'are'} met.`
  return `${sentence(`${list(counts)} up to ${w.times.day(sessions.at(-1)?.end ?? w.times.now)}`)}${kept}`
}

function piece(w: Words, p: PieceView): WeekPiece {
  const state: SwatchState | undefined = p.fixed === 'under-way' ? 'under-way' : p.window && p.window.opens <= w.times.now ? 'open' : undefined
  return {
    id: p.pieceId, text: sentenceCase(taskName(w, p.taskId)), href: logHref(w, p), note: peopleNames(w, p.people),
    ...(p.projected ? {} : { time: `${w.times.time(p.start)}–${w.times.timeOr(p.end, p.start)}` }),
    ...(state ? { state } : {}),
  }
}

/** Windows before the first session stand with those after it: each is told with its day anyway. */
function betweens(w: Words, row: ChartRow): WeekWindow[][] {
  const slots = row.windows.map((slot, at) => [...slot.map((x) => window(w, x)), ...(row.missed[at] ?? []).map((m) => letGo(w, m))])
  const [before = [], after = [], ...rest] = slots
  return [[...before, ...after], ...rest]
}

function letGo(w: Words, m: ChartRow['missed'][number][number]): WeekWindow {
  const coat = taskName(w, w.names.links.get(m.linkId)?.from ?? '')
  return { id: m.linkId, state: 'missed', coat: sentenceCase(coat), text: `${windowTimes(w, m)}; let go, washed and sanded instead` }
}

function window(w: Words, x: WindowView): WeekWindow {
  const isOpen = x.opens <= w.times.now
  const there = x.piece ? `; next coat ${nextCoat(w, x.piece, x.opens)}` : '; nobody there'
  return { id: x.linkId, state: isOpen ? 'open' : 'curing', coat: sentenceCase(taskName(w, x.from)), text: `${windowTimes(w, x)}${there}` }
}
