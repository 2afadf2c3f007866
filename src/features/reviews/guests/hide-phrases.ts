export type Hide = (text: string) => string

/** Longer ones first, so that none is left in part. */
export function phraseHider(phrases: readonly string[], instead: string): Hide {
  const all = [...new Set(phrases.map((p) => p.trim()).filter((p) => p.length > 2))].sort((a, b) => b.length - a.length)
  if (all.length === 0) return (text) => text
  const one = all.map((p) => p.replaceAll(/[.*+?^${}()|[\]\\]/g, '\\$&').replaceAll(/\s+/g, '\\s+')).join('|')
  const find = new RegExp(`(?<![\\p{L}\\p{N}])(?:(?:the|an?)\\s+)?(?:${one})(?![\\p{L}\\p{N}])`, 'giu')
  return (text) => text.replaceAll(find, instead)
}
