/** Takes people's names out of own words. Pure. */

export const SOMEBODY = 'somebody'

/** Names that are words as well: in small letters they are left alone. */
const WORDS = new Set(
  'will mark grace may june april august bill jack rob sandy cliff dean art joy hope faith rose ray pat sue max drew grant miles pearl ruby olive ivy daisy holly robin martin wade glen heath reed dale chip rusty cash chase ford frank gene guy harry jean jimmy lance lee pierce rich roger rowan stew sterling tanner victor wells wood woods hill stone young green brown white black gray grey king long short little strong sharp good best west east north south carter cooper mason baker smith taylor fisher fox wolf bird bush field fields forest lake rivers brook brooks banks bell boyd cook cross day england french gold hammer hand head knight lamb light love marsh miller moon moss page park parks piper plank potter price reader rule sail sailor sawyer seal shaw shipman silver snow sparks spring steel summer summers swift temple town turner tyler waters weaver winter winters wright an and as in is it no of on or so to up we art van von der den de la le du di'.split(' '),
)

const escaped = (text: string): string => text.replaceAll(/[.*+?^${}()|[\]\\]/g, '\\$&').replaceAll(/\s+/g, '\\s+')
const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

/** All the ways in which a name may stand in a text, longest first. */
function formsOf(name: string): string[] {
  const full = name.normalize('NFC').trim().replaceAll(/\s+/g, ' ')
  const words = full.split(/[\s,.]+/u)
  const parts = [...words, ...words.flatMap((w) => w.split(/[-’']/u))].filter((p) => (p.match(/\p{L}/gu)?.length ?? 0) >= 2)
  // "van" and "de" of a name are nobody's name.
  const telling = parts.filter((p) => !/^\p{Ll}/u.test(p))
  const all = telling.length > 0 ? telling : parts
  return [full, ...all.flatMap((p) => [p, capital(p), p.toUpperCase(), ...(WORDS.has(p.toLowerCase()) ? [] : [p.toLowerCase()])])].filter((form) => form !== '')
}

/** A function that puts "somebody" where one of these names, or a part of one, stands as a word. `keep`: what stays, such as the boat's own name. */
export function nameHider(names: readonly string[], keep: readonly string[] = []): (text: string) => string {
  // Capitals of some letters come apart into several.
  const forms = [...new Set(names.flatMap(formsOf).map((form) => form.normalize('NFC')))].sort((a, b) => b.length - a.length)
  if (forms.length === 0) return (text) => text
  const word = (list: readonly string[]) => `(?<![\\p{L}\\p{M}\\p{N}])(?:${list.map(escaped).join('|')})(?![\\p{L}\\p{M}\\p{N}])`
  const kept = keep.map((k) => k.normalize('NFC').trim()).filter((k) => k !== '')
  const find = new RegExp(kept.length === 0 ? `()(${word(forms)})` : `(${word(kept)})|(${word(forms)})`, 'gu')
  const again = new RegExp(`\\b${SOMEBODY}(?:\\s+${SOMEBODY})+\\b`, 'gu')
  return (text) => text.normalize('NFC').replace(find, (_all, stays: string | undefined) => (stays ? stays : SOMEBODY)).replace(again, SOMEBODY)
}

/** Not words but codes that code goes by; in a review a member called Wood must not make another kind of work of it. */
const CODES = new Set(['id', 'key', 'craft', 'cause', 'came', 'is', 'kind', 'window', 'state', 'unit', 'cover', 'taskId', 'itemId', 'buildId', 'monday', 'isoWeek', 'takenOn', 'weighedOn', 'targetOn'])

/** The same for each text within a value, however deep it lies. */
export function hideDeep<T>(value: T, hide: (text: string) => string): T {
  if (typeof value === 'string') return hide(value) as T
  if (Array.isArray(value)) return value.map((one: unknown) => hideDeep(one, hide)) as T
  if (typeof value !== 'object' || value === null || value instanceof Date) return value
  return Object.fromEntries(Object.entries(value).map(([key, one]) => [key, CODES.has(key) ? (one as unknown) : hideDeep(one as unknown, hide)])) as T
}
