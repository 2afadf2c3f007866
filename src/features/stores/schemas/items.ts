import { z } from 'zod'
import type { ItemKind, StockUnit } from '../../../platform/generated/enums.ts'
import { checkbox, longText, many, maybeId, maybeNumber, shortText, version, wholeNumber } from '../../../platform/form-fields.ts'
import { PICTOGRAMS, type Pictogram } from '../../../core/stock/label.ts'
import { parseAmount, parseMoney } from '../facts/amount-text.ts'

export const ITEM_KINDS = ['resin', 'hardener', 'filler', 'cloth', 'tape', 'ply', 'timber', 'fastener', 'paint', 'solvent', 'abrasive', 'protective', 'other'] as const satisfies readonly ItemKind[]
export const STOCK_UNITS = ['g', 'ml', 'm', 'm2', 'pcs'] as const satisfies readonly StockUnit[]

export type { ItemKind, StockUnit }

/** Statements, one a line; empty lines and repeats go. */
const lines = (what: string) =>
  z.string().default('').transform((text, c) => {
    const all = [...new Set(text.split(/\r?\n/).map((line) => line.trim()).filter((line) => line !== ''))]
    if (all.length <= 40 && all.every((line) => line.length <= 300)) return all
    c.addIssue({ code: 'custom', message: `${what}: at most 40 lines of 300 characters` })
    return z.NEVER
  })

const figures = z.object({
  name: shortText('Name'),
  kind: z.enum(ITEM_KINDS, { error: 'Kind: choose from the list' }),
  unit: z.enum(STOCK_UNITS, { error: 'Kept in: choose from the list' }),
  density: maybeNumber('Density', 0.01, 25),
  widthMm: maybeNumber('Width', 0.1, 20_000),
  lengthMm: maybeNumber('Length', 0.1, 100_000),
  thicknessMm: maybeNumber('Thickness', 0.01, 1000),
  arealMass: maybeNumber('Mass of a square metre', 1, 10_000),
  shelf: longText(120),
  leadDays: wholeNumber('Lead time', 0, 730, 14),
  safety: z.string().trim().default(''),
  shelfLifeDays: maybeNumber('Keeps unopened', 1, 36_500, true),
  openedLifeDays: maybeNumber('Keeps once open', 1, 36_500, true),
  isShared: checkbox,
  supplierId: maybeId,
  note: longText(1000),
  signalWord: z.enum(['', 'Warning', 'Danger'], { error: 'Signal word: Danger, Warning or none' }).default(''),
  pictograms: many(z.enum(Object.keys(PICTOGRAMS) as [Pictogram, ...Pictogram[]], { error: 'Pictograms: choose from the list' })),
  hazards: lines('Hazard statements'),
  precautions: lines('Precautionary statements'),
})

export const ItemForm = figures
  .superRefine((v, c) => {
    const amount = v.safety === '' ? null : parseAmount(v.safety, v.unit)
    if (amount && !amount.ok) c.addIssue({ code: 'custom', path: ['safety'], message: `Safety stock: ${amount.message}` })
  })
  .transform((v) => {
    const amount = v.safety === '' ? null : parseAmount(v.safety, v.unit)
    return { ...v, pictograms: [...new Set(v.pictograms)].toSorted(), safetyMilli: amount?.ok ? amount.milli : 0 }
  })
export const EditItemForm = ItemForm.and(z.object({ version }))
export type ItemInput = z.output<typeof ItemForm>

/** Amounts are read in the item's unit by the command, which knows it. */
export const PackForm = z.object({
  name: shortText('Pack', 60),
  amount: z.string({ error: 'Holds: fill this in' }).trim().min(1, 'Holds: fill this in'),
  price: z.string().trim().default('').transform((text, c) => {
    const read = text === '' ? { ok: true as const, cents: 0 } : parseMoney(text)
    if (read.ok) return read.cents
    c.addIssue({ code: 'custom', message: `Price: ${read.message}` })
    return z.NEVER
  }),
  orderCode: longText(60),
  supplierId: maybeId,
})
export type PackInput = z.output<typeof PackForm>

export const ActiveForm = z.object({ version, isActive: z.enum(['yes', 'no']).transform((v) => v === 'yes') })
