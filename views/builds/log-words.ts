import type { LogLine } from '../../src/features/builds/log/queries/log.ts'

export const KIND_WORDS: Readonly<Record<LogLine['kind'] | 'snag' | 'photo', string>> = { note: 'Note', lesson: 'Lesson', decision: 'Decision', snag: 'Snag', photo: 'Photo' }
export const KINDS_OF_ENTRY = [
  { value: 'note', label: 'Note' },
  { value: 'lesson', label: 'Lesson: what the next one does differently' },
  { value: 'decision', label: 'Decision, and why' },
] as const

export const CONSENT = 'Only with the consent of who is in them; no faces of minors. Place and camera are taken out of the files.'
export const FOR_GUESTS = 'Guests may see them'
export const FOR_GUESTS_HINT = 'Tick it only where nobody can be recognised, or all who can have agreed to it.'

type Part = { text: string; isHit: boolean }

/** The words looked for, as beginnings of words, apart from the rest. */
export function marked(text: string, words: readonly string[]): Part[] {
  if (words.length === 0) return [{ text, isHit: false }]
  const hit = new RegExp(`(?<![\\p{L}\\p{N}\\p{M}])(?:${words.join('|')})[\\p{L}\\p{N}\\p{M}]*`, 'giu')
  const parts: Part[] = []
  let at = 0
  for (const match of text.matchAll(hit)) {
    if (match.index > at) parts.push({ text: text.slice(at, match.index), isHit: false })
    parts.push({ text: match[0], isHit: true })
    at = match.index + match[0].length
  }
  if (at < text.length) parts.push({ text: text.slice(at), isHit: false })
  return parts
}

const LONGEST = 360

/** A long text about its first hit. */
export function excerpt(text: string, words: readonly string[]): string {
  if (text.length <= LONGEST) return text
  const first = marked(text, words)[0]
  const at = first && !first.isHit && first.text.length < text.length ? first.text.length : 0
  const from = Math.max(0, Math.min(at - LONGEST / 3, text.length - LONGEST))
  const start = from === 0 ? 0 : text.indexOf(' ', from) + 1 || from
  return `${start > 0 ? '… ' : ''}${text.slice(start, start + LONGEST).trimEnd()}${start + LONGEST < text.length ? ' …' : ''}`
}
