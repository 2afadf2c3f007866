import type { PieceView, WindowView } from '../../src/features/planning/queries/shown.ts'
import { Swatch, Tag } from '../shared/index.ts'
import { buildName, placeName, reason, sentence, taskName, whoDoes, windowTimes, type Words } from './words.ts'

/** "14:00–16:00", or the week where people are only assumed to come. */
export function PieceTime({ w, piece, withDay = false }: { w: Words; piece: PieceView; withDay?: boolean }) {
  const { times } = w
  if (piece.projected) return <span class="time">{times.week(piece.start)}</span>
  const from = withDay ? times.dayTime(piece.start) : times.time(piece.start)
  return <span class="time">{from}–{times.timeOr(piece.end, piece.start)}</span>
}

/** The page where a piece is logged: hours, ticks, the coat and its time. */
export const logHref = (w: Words, piece: { taskId: string; buildId: string }): string => {
  const taskId = piece.taskId.startsWith('wash:') ? (w.names.links.get(piece.taskId.slice(5))?.to ?? '') : piece.taskId
  return `/builds/${piece.buildId}/tasks/${taskId}`
}

const FIXED = { pinned: 'pinned', frozen: 'agreed', 'under-way': 'under way' } as const

/** One piece on a line: when, what, who, where, and why not earlier. */
export function PieceLine({ w, piece, withDay = false, withBuild = false, withReason = true }: { w: Words; piece: PieceView; withDay?: boolean; withBuild?: boolean; withReason?: boolean }) {
  return (
    <li class="piece">
      <PieceTime w={w} piece={piece} withDay={withDay} />{' '}
      <a href={logHref(w, piece)}><b>{withBuild && `${buildName(w, piece.buildId)}: `}{sentenceCase(taskName(w, piece.taskId))}</b></a>
      {piece.fixed && <> <Tag>{FIXED[piece.fixed]}</Tag></>}
      <span class="muted"> {whoDoes(w, piece.people, piece.supervisor)}{piece.placeId ? `, ${placeName(w, piece.placeId)}` : ''}</span>
      {withReason && <p class="muted piece-why">{sentence(reason(w, piece))}</p>}
    </li>
  )
}

export const sentenceCase = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}`

/** A recoat window in words, with whether somebody is there for it. */
export function WindowLine({ w, window, withBuild = true }: { w: Words; window: WindowView; withBuild?: boolean }) {
  const isOpen = window.opens <= w.times.now
  return (
    <li>
      <Swatch state={isOpen ? 'open' : 'curing'}>
        {withBuild && <b>{buildName(w, window.buildId)}: </b>}
        {taskName(w, window.to)} over {taskName(w, window.from)}: {isOpen ? openWords(w, window) : window.piece?.projected ? `about ${w.times.week(window.opens)}` : windowTimes(w, window)}
      </Swatch>
      <p class="muted">{thereWords(w, window)}{!window.isFact && ` Reckoned from when ${taskName(w, window.from)} is planned.`}</p>
    </li>
  )
}

const openWords = ({ times }: Words, window: WindowView): string =>
  window.closes === null ? `open since ${times.dayTime(window.opens)}, stays open` : `open now, shuts ${times.timeOr(window.closes, times.now)}`

function thereWords(w: Words, { piece, opens }: WindowView): string {
  if (!piece) return 'Nobody is planned for it.'
  const who = piece.people.length === 0 ? '' : `${whoDoes(w, piece.people, piece.supervisor)} ${piece.people.length === 1 ? 'is' : 'are'} there, `
  return sentence(`${who}${nextCoat(w, piece, opens)}`)
}

/** Setting up may begin before the window does. */
export function nextCoat({ times }: Words, piece: { start: number; projected: boolean }, opens: number): string {
  if (piece.projected) return `planned ${times.week(piece.start)}`
  return piece.start < opens ? `setting up from ${times.dayTime(piece.start)}` : `planned ${times.dayTime(piece.start)}`
}
