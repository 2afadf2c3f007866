/** Sheets that clubs ask for time and again, filled from the build's own figures. Pure. */
import type { Lever, SheetOption } from './model.ts'

export type PresetKey = 'ply' | 'kit' | 'inside'
export type Draft = {
  readonly question: string
  readonly vary: readonly string[]
  readonly options: readonly Pick<SheetOption, 'name' | 'values'>[]
}
export type Preset = { readonly key: PresetKey; readonly title: string; readonly about: string; readonly needs: readonly string[] }

const PRESETS: readonly Preset[] = [
  {
    key: 'ply', title: 'Thin ply with glass, or the next thickness?',
    about: 'The bottom in thinner ply under a thin cloth, beside the next thickness bare or coated with epoxy.',
    needs: ['plyBottom', 'clothWeight', 'bottomCoats'],
  },
  { key: 'kit', title: 'A kit or sheets?', about: 'Panels cut by somebody else at a price, beside the hours of lofting and cutting them.', needs: ['kit'] },
  { key: 'inside', title: 'Paint or varnish inside?', about: 'Primer and paint, or varnish on the bare look of the wood.', needs: ['insideFinish'] },
]

/** Thicknesses that ply is commonly sold in, mm (common practice, no source). */
const SOLD = [3, 4, 6, 9, 12, 15]
/** g/m²: the thin cloth of the preset. */
const THIN_CLOTH = 80
const COATS = 3

export const presetsFor = (levers: readonly Lever[]): Preset[] => PRESETS.filter((p) => p.needs.every((key) => levers.some((l) => l.key === key)))

export function draftOf(key: PresetKey, levers: readonly Lever[]): Draft {
  const now = (of: string): number => levers.find((l) => l.key === of)?.now ?? 0
  switch (key) {
    case 'ply': return plyOrGlass(now('plyBottom'), now('clothWeight'), now('bottomCoats'))
    case 'kit': return {
      question: 'A kit of cut panels, or cut from sheets?', vary: ['kit'],
      options: firstAsSheIs([{ name: 'Cut from sheets', values: { kit: 0 } }, { name: 'Kit of cut panels', values: { kit: 1 } }], { kit: now('kit') }),
    }
    case 'inside': return {
      question: 'Paint or varnish inside?', vary: ['insideFinish'],
      options: firstAsSheIs(
        [{ name: 'Paint inside', values: { insideFinish: 0 } }, { name: 'Varnish inside', values: { insideFinish: 1 } }],
        { insideFinish: now('insideFinish') },
      ),
    }
  }
}

/** From scratch: as she is, and the rest to be filled in. */
export function blankDraft(vary: readonly string[], levers: readonly Lever[]): Draft {
  const values = Object.fromEntries(levers.filter((l) => vary.includes(l.key)).map((l) => [l.key, l.now]))
  return { question: '', vary, options: [{ name: 'As she is', values }] }
}

function plyOrGlass(ply: number, cloth: number, coats: number): Draft {
  const thinner = SOLD.filter((mm) => mm < ply).at(-1)
  // Nothing thinner is sold: her own thickness is the thin one.
  const thin = thinner ?? ply
  const next = thinner === undefined ? (SOLD.find((mm) => mm > ply) ?? ply) : ply
  const of = (plyBottom: number, clothWeight: number, bottomCoats: number) => ({ plyBottom, clothWeight, bottomCoats })
  const asked = [
    { name: `${thin} mm with ${THIN_CLOTH} g/m² glass`, values: of(thin, THIN_CLOTH, coats) },
    { name: `${next} mm bare`, values: of(next, 0, 0) },
    { name: `${next} mm epoxy-coated`, values: of(next, 0, coats === 0 ? COATS : coats) },
  ]
  const own = of(ply, cloth, coats)
  const isAsked = asked.some((o) => sameValues(o.values, own))
  const asSheIs = { name: `${ply} mm with ${cloth} g/m² glass`, values: own }
  return {
    question: 'Bottom: thin ply and glass, or the next thickness?', vary: ['plyBottom', 'clothWeight', 'bottomCoats'],
    options: firstAsSheIs(isAsked || cloth === 0 ? asked : [asSheIs, ...asked], own),
  }
}

/** The option that is as she is now comes first: differences are told against it. */
function firstAsSheIs(options: Draft['options'], now: Readonly<Record<string, number>>): Draft['options'] {
  const own = options.find((o) => sameValues(o.values, now))
  return own ? [own, ...options.filter((o) => o !== own)] : options
}

export function sameValues(a: Readonly<Record<string, number>>, b: Readonly<Record<string, number>>): boolean {
  const keys = new Set([...Object.keys(a), ...Object.keys(b)])
  return [...keys].every((key) => a[key] === b[key])
}
