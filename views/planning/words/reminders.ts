/** The reminders that go by mail: plain text, short lines, one thing each. */
import type { SessionFacts, SessionPiece, WindowFacts } from '../../../src/features/planning/reminders/model.ts'
import { list, sentence, type TimeWords } from '../../shared/times.ts'

export type LetterWords = { readonly subject: string; readonly text: string }

const DEFERS = 'The data sheet, local codes and competent people come first.'
const RESIN = 'Resin and hardener can sensitise for life: gloves, sleeves, eye protection, no skin contact, fresh air.'
const DUST = 'Dust harms: extraction, and a mask that fits and filters it; none of it near a wet film.'
const MINOR = 'Under age: never alone at machines, with solvents or with uncured resin, and always with a grown-up who answers for you.'

/** "Sat 6 Jun" */
const dayDate = (times: TimeWords, t: number): string => (times.day(t).includes(' ') ? times.day(t) : `${times.day(t)} ${times.date(t)}`)
const caution = (lines: readonly string[]): string[] => (lines.length === 0 ? [] : ['', ...lines.map((line) => `Caution: ${line}`), DEFERS])

export function windowLetter(w: WindowFacts, times: TimeWords): LetterWords {
  const isOpen = w.opens < times.now
  const shuts = w.closes === null ? 'it stays open' : `shuts at ${times.timeOr(w.closes, times.now)}`
  const opens = times.timeOr(w.opens, times.now)
  const subject = isOpen ? `${w.build}: your window for ${w.to} is open, ${shuts}` : `${w.build}: your window for ${w.to} opens at ${opens}`
  return {
    subject,
    text: [
      `${w.build}: ${w.to} over ${w.from}${w.place ? `, ${w.place}` : ''}.`,
      isOpen ? `Your window opened at ${opens}, ${w.closes === null ? 'and stays open' : `and ${shuts}`}.` : `Your window opens at ${opens}, and ${shuts}.`,
      `You are planned on it ${times.dayTime(w.start)}–${times.timeOr(w.end, w.start)}.`,
      'A thumbnail test beats the clock: try the film before you mix, and note what you find.',
      w.address,
      ...caution(w.cautions.length > 0 ? w.cautions : [RESIN]),
    ].join('\n'),
  }
}

export function sessionLetter(s: SessionFacts, times: TimeWords): LetterWords {
  const hours = `${times.time(s.start)}–${times.time(s.end)}`
  const texts = [...s.cautions, ...(s.hasResin && !s.cautions.some((t) => /resin|epoxy|hardener/i.test(t)) ? [RESIN] : []), ...(s.hasDust && !s.cautions.some((t) => /dust/i.test(t)) ? [DUST] : [])]
  const bring = [
    'clothes that may get dirty and shoes that are shut',
    ...(s.hasResin ? ['sleeves that cover the arms', 'your own gloves and eye protection if you have them'] : []),
    ...(s.hasDust ? ['your own mask if you have one'] : []),
  ]
  return {
    subject: `Session ${dayDate(times, s.start)}, ${hours}, ${s.site}`,
    text: [
      `${s.title ? `${s.title}: ` : 'Session '}${dayDate(times, s.start)}, ${hours}, ${s.site}.`,
      comingWords(s, times),
      s.isKeyholder ? 'You have the keys: you open up and lock up.' : s.keyholder !== null ? `${s.keyholder} has the keys.` : 'Nobody has said yet that they open up.',
      ...(s.note ? ['', s.note] : []),
      '',
      ...(s.pieces.length > 0 ? ['Planned for you:', ...s.pieces.map((p) => `- ${pieceWords(p, times)}`)] : ['Nothing is planned for you by name; there is usually something to lend a hand with.']),
      ...(s.tools.length > 0 ? [`Tools for it: ${list(s.tools)}.`] : []),
      `Bring ${list(bring)}.`,
      '',
      `If it is otherwise, say so: ${s.address}`,
      ...caution([...texts, ...(s.isMinor ? [MINOR] : [])]),
    ].join('\n'),
  }
}

function comingWords(s: SessionFacts, times: TimeWords): string {
  if (s.there === null) return 'You said that you come, but nobody has the keys yet: look before you set out.'
  const span = `${times.time(s.there.from)}–${times.time(s.there.to)}`
  return s.hasSaid ? `You said that you come, ${span}.` : `You usually come, ${span}.`
}

const pieceWords = (p: SessionPiece, times: TimeWords): string =>
  sentence(`${times.time(p.start)}–${times.timeOr(p.end, p.start)} ${p.build}, ${p.task}${p.place ? ` (${p.place})` : ''}${p.others.length > 0 ? `, with ${list(p.others)}` : ''}`)

export const trialLetter = (club: string): LetterWords => ({ subject: `${club}: a mail to try it out`, text: 'You asked for a mail to see whether reminders reach you. This one did.' })

/** Under every reminder: why it came, and how they stop. `stop` stops them with one tap. */
export const foot = (club: string, own: string, stop: string): string =>
  ['', '--', `${club} sends you this because you ticked it under "Reminders".`, `What is sent, and when not: ${own}`, `No reminders any more, one tap: ${stop}`, ''].join('\n')
