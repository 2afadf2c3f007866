/**
 * Label elements as GHS lists them. 29 CFR 1910.1200(f)(1) (second-hand) asks for six: product identifier; signal word; hazard
 * statements; pictograms; precautionary statements; the supplier's name, address and telephone. Pure.
 */

export const SIGNAL_WORDS = ['Warning', 'Danger'] as const
export type SignalWord = (typeof SIGNAL_WORDS)[number]

/** The nine hazard pictograms of the GHS by code, with the usual word for the picture (from memory). */
export const PICTOGRAMS = {
  GHS01: 'Exploding bomb', GHS02: 'Flame', GHS03: 'Flame over circle', GHS04: 'Gas cylinder', GHS05: 'Corrosion', GHS06: 'Skull and crossbones',
  GHS07: 'Exclamation mark', GHS08: 'Health hazard', GHS09: 'Environment',
} as const
export type Pictogram = keyof typeof PICTOGRAMS
export const isPictogram = (text: string): text is Pictogram => text in PICTOGRAMS

export type LabelSupplier = { name: string; address: string; phone: string }
export type LabelPart = {
  name: string
  signalWord: string
  pictograms: readonly string[]
  hazards: readonly string[]
  precautions: readonly string[]
  supplier: LabelSupplier | null
}

export type Label = {
  identifier: string
  signalWord: SignalWord | ''
  hazards: string[]
  pictograms: Pictogram[]
  precautions: string[]
  suppliers: LabelSupplier[]
  isHazardous: boolean
  /** Which of the six are not filled in, in words; none for what has no hazard. */
  missing: string[]
}

const once = (lines: readonly string[]): string[] => {
  const seen = new Set<string>()
  return lines.map((line) => line.trim()).filter((line) => line !== '' && !seen.has(line.toLowerCase()) && seen.add(line.toLowerCase()))
}

/** At most one signal word: where both are given, Danger counts. */
export function oneSignalWord(words: readonly string[]): SignalWord | '' {
  const given = words.flatMap((text) => text.split(/[^a-z]+/i)).map((word) => word.toLowerCase())
  return given.includes('danger') ? 'Danger' : given.includes('warning') ? 'Warning' : ''
}

/** The label of an item, or of what is mixed from several: one signal word, nothing twice. */
export function labelOf(parts: readonly LabelPart[], identifier = parts.map(({ name }) => name).join(' + ')): Label {
  const signalWord = oneSignalWord(parts.map((part) => part.signalWord))
  const hazards = once(parts.flatMap((part) => part.hazards))
  const pictograms = once(parts.flatMap((part) => part.pictograms)).filter(isPictogram).toSorted()
  const precautions = once(parts.flatMap((part) => part.precautions))
  const isHazardous = signalWord !== '' || hazards.length > 0 || pictograms.length > 0
  const dangerous = parts.filter((part) => part.signalWord !== '' || part.hazards.length > 0 || part.pictograms.length > 0)
  const suppliers = [...new Map(parts.flatMap(({ supplier }) => (supplier ? [[supplier.name, supplier] as const] : []))).values()]
  const missing = !isHazardous ? [] : [
    ...(identifier.trim() === '' ? ['the name of the product'] : []),
    ...(signalWord === '' ? ['the signal word'] : []),
    ...(hazards.length === 0 ? ['the hazard statements'] : []),
    ...(pictograms.length === 0 ? ['the pictograms'] : []),
    ...(precautions.length === 0 ? ['the precautionary statements'] : []),
    ...(dangerous.some(({ supplier: s }) => !s || s.name === '' || s.address === '' || s.phone === '') ? ['the supplier’s name, address and telephone'] : []),
  ]
  return { identifier, signalWord, hazards, pictograms, precautions, suppliers, isHazardous, missing }
}
