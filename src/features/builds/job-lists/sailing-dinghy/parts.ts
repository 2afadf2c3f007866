/** Phrases, rules and links that several parts of the dinghy list share. */
import type { LinkDef, LineShare, ScaleRule } from '../types.ts'

export const EPOXY_SKIN = 'Uncured epoxy sensitises skin and airways: nitrile gloves, sleeves, fresh air; never clean skin with solvent. Mixed pots heat up: spread them thin, set leftovers outside on something that can’t burn. Follow the data sheet.'
export const WOOD_DUST = 'Wood and ply dust harms: extractor on, P3 half mask or FFP3 that fits. Follow local rules.'
export const GLASS_DUST = 'Dust of cured resin, glass and ply: wash first, extractor on, P3/P100 mask, gloves; never dry-sand green epoxy. Follow the data sheet and local rules.'
export const MACHINE = 'Machine work only by people checked on it, guards on; minors never alone. Follow the machine’s instructions and the club’s rules.'
export const LIFT = 'Lifting together: one person gives the words, fingers clear, padded supports in place first.'
export const OILY_RAGS = 'Rags with drying oil or varnish heat up by themselves: into a covered metal can, or spread flat outside.'
export const PAINT = 'Two-pack paints with isocyanates are never sprayed here; brush or roll with fresh air and the protection the data sheet asks for.'

/** Hours go roughly with length times beam (kit-builders' comparison: 0.55 of the hours at 0.57 of L x B). */
export const boatSize: ScaleRule = { by: ['length', 'beam'], share: 0.8 }

/** The next coat inside the recoat window; missed: wash and sand, by the area. */
export const coatLink = (from: string, to: string, washMinutes: number, by: string[]): LinkDef => ({ kind: 'window', from, to, wash: washMinutes, washScale: { by, share: 0.8 } })
export const nextCoat = (washMinutes: number, by: string[]) => ({ kind: 'window' as const, wash: washMinutes, washScale: { by, share: 0.8 } })

/** Shares of lines of the estimate. */
export const whole = (...lines: string[]): LineShare[] => lines.map((line) => ({ line, share: 1 }))
export const part = (share: number, ...lines: string[]): LineShare[] => lines.map((line) => ({ line, share }))
/** A joint's epoxy and its thickener. */
export const glueOf = (joint: string): LineShare[] => whole(`${joint}.glue-line`, `${joint}.glue-line.silica`)
/** A fillet's epoxy and its wood flour. */
export const filletOf = (seam: string): LineShare[] => whole(`${seam}.fillet`, `${seam}.fillet.wood-flour`)
/** All tapes of a side, and what wets them. */
export const tapesOf = (seam: string, side: 'inside' | 'outside' | '*' = 'inside'): LineShare[] => whole(`${seam}.tape.${side}*`, `${seam}.tape-resin.${side}*`)
