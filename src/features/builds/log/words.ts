/** What somebody types to look for, as words. Pure. */

const MOST = 12

/** Words of letters and digits, in small letters; everything between them parts them. Each is looked for as the beginning of a word. */
export function wordsOf(typed: string): string[] {
  return [...new Set(typed.normalize('NFC').toLowerCase().match(/[\p{L}\p{N}\p{M}]+/gu) ?? [])].slice(0, MOST)
}

/** As PostgreSQL's `to_tsquery` takes them: all of them, each as a beginning. */
export const asQuery = (words: readonly string[]): string => words.map((w) => `${w}:*`).join(' & ')
