import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import type { Prisma } from '../../../platform/generated/client.ts'
import { audit, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'

type Usual = Omit<Prisma.ItemCreateManyInput, 'id' | 'version' | 'isActive' | 'supplierId'> & { name: string; packs: readonly (readonly [name: string, milli: number])[] }

const MEMORY = 'Figures from memory: replace them by those of your data sheet and your supplier.'
const STATEMENTS = `${MEMORY} Label elements too: copy those of your own can.`
/** Thousandths of whole units. */
const whole = (n: number) => n * 1000
const KEEPS = 'Keeps: one maker names 3 years for resin and 2 for hardener (read second-hand); past it, test first.'

/** Statements of the GHS from memory; the numbers in front are its own. */
const RESIN_LABEL = {
  signalWord: 'Warning', pictograms: ['GHS07', 'GHS09'],
  hazards: ['H315 Causes skin irritation', 'H317 May cause an allergic skin reaction', 'H319 Causes serious eye irritation', 'H411 Toxic to aquatic life with long lasting effects'],
  precautions: ['P261 Avoid breathing vapours', 'P273 Avoid release to the environment', 'P280 Wear protective gloves and eye protection', 'P333+P313 If skin irritation or rash occurs: get medical advice'],
}
const HARDENER_LABEL = {
  signalWord: 'Danger', pictograms: ['GHS05', 'GHS07'],
  hazards: ['H302 Harmful if swallowed', 'H314 Causes severe skin burns and eye damage', 'H317 May cause an allergic skin reaction'],
  precautions: ['P260 Do not breathe vapours', 'P280 Wear protective gloves, clothing and eye protection', 'P305+P351+P338 If in eyes: rinse cautiously with water for several minutes', 'P310 Immediately call a poison centre or doctor'],
}
const SOLVENT_LABEL = {
  signalWord: 'Danger', pictograms: ['GHS02', 'GHS07'],
  hazards: ['H225 Highly flammable liquid and vapour', 'H319 Causes serious eye irritation', 'H336 May cause drowsiness or dizziness'],
  precautions: ['P210 Keep away from heat, sparks and open flames', 'P233 Keep container tightly closed', 'P271 Use only outdoors or in a well-ventilated area'],
}
const PAINT_LABEL = {
  signalWord: 'Warning', pictograms: ['GHS02', 'GHS07'], hazards: ['H226 Flammable liquid and vapour', 'H336 May cause drowsiness or dizziness'],
  precautions: ['P210 Keep away from heat, sparks and open flames', 'P271 Use only outdoors or in a well-ventilated area'],
}

/** What a club that builds in ply and epoxy usually keeps; names as the sailing-dinghy list has them where it names the material. Prices are left open. */
export const usualItems: readonly Usual[] = [
  { name: 'Epoxy resin', kind: 'resin', unit: 'g', density: 1.13, leadDays: 14, safetyMilli: whole(2000), shelfLifeDays: 1095, openedLifeDays: 730, note: `${STATEMENTS} ${KEEPS}`, ...RESIN_LABEL, packs: [['1 kg can', whole(1000)], ['6 kg can', whole(6000)]] },
  { name: 'Epoxy hardener, fast', kind: 'hardener', unit: 'g', density: 1, leadDays: 14, safetyMilli: whole(500), shelfLifeDays: 730, openedLifeDays: 365, note: `${STATEMENTS} ${KEEPS}`, ...HARDENER_LABEL, packs: [['440 g can', whole(440)], ['2.64 kg can', whole(2640)]] },
  { name: 'Epoxy hardener, slow', kind: 'hardener', unit: 'g', density: 1, leadDays: 14, safetyMilli: whole(500), shelfLifeDays: 730, openedLifeDays: 365, note: `${STATEMENTS} ${KEEPS}`, ...HARDENER_LABEL, packs: [['440 g can', whole(440)], ['2.64 kg can', whole(2640)]] },
  { name: 'Silica thickener', kind: 'filler', unit: 'g', leadDays: 14, safetyMilli: whole(200), note: `${MEMORY} Fine dust: mask on while it is poured.`, packs: [['500 g bag', whole(500)]] },
  { name: 'Wood flour', kind: 'filler', unit: 'g', leadDays: 14, safetyMilli: whole(500), note: `${MEMORY} Dust: mask on while it is poured.`, packs: [['1 kg bag', whole(1000)]] },
  { name: 'Microballoons', kind: 'filler', unit: 'g', leadDays: 14, safetyMilli: whole(200), note: `${MEMORY} For fairing only, never for structure. Dust: mask on while it is poured.`, packs: [['500 g bag', whole(500)]] },
  { name: 'Fairing compound', kind: 'filler', unit: 'g', leadDays: 14, safetyMilli: whole(500), shelfLifeDays: 730, note: STATEMENTS, ...RESIN_LABEL, packs: [['1.5 kg set', whole(1500)]] },
  { name: 'Glass cloth', kind: 'cloth', unit: 'm2', widthMm: 1000, arealMass: 200, leadDays: 14, safetyMilli: whole(3), note: `${MEMORY} 200 g/m² plain weave. Cutting and sanding make fibres: gloves, mask.`, packs: [['Roll of 10 m', whole(10)]] },
  { name: 'Glass cloth 80 g/m²', kind: 'cloth', unit: 'm2', widthMm: 1000, arealMass: 80, leadDays: 14, note: MEMORY, packs: [['Roll of 10 m', whole(10)]] },
  { name: 'Glass tape 75 mm, 200 g/m²', kind: 'tape', unit: 'm', widthMm: 75, arealMass: 200, leadDays: 14, safetyMilli: whole(10), note: MEMORY, packs: [['Roll of 50 m', whole(50)]] },
  { name: 'Peel ply', kind: 'cloth', unit: 'm2', widthMm: 1000, arealMass: 85, leadDays: 14, note: MEMORY, packs: [['Roll of 10 m', whole(10)]] },
  { name: 'Plywood 4 mm', kind: 'ply', unit: 'pcs', widthMm: 1220, lengthMm: 2440, thicknessMm: 4, leadDays: 21, note: `${MEMORY} Sheets; half a sheet is 0.5.`, packs: [['Sheet', whole(1)]] },
  { name: 'Plywood 6 mm', kind: 'ply', unit: 'pcs', widthMm: 1220, lengthMm: 2440, thicknessMm: 6, leadDays: 21, note: `${MEMORY} Sheets; half a sheet is 0.5.`, packs: [['Sheet', whole(1)]] },
  { name: 'Plywood 9 mm', kind: 'ply', unit: 'pcs', widthMm: 1220, lengthMm: 2440, thicknessMm: 9, leadDays: 21, note: `${MEMORY} Sheets; half a sheet is 0.5.`, packs: [['Sheet', whole(1)]] },
  { name: 'Timber 20 × 45 mm', kind: 'timber', unit: 'm', widthMm: 45, thicknessMm: 20, leadDays: 21, note: MEMORY, packs: [['Length of 4 m', whole(4)]] },
  { name: 'Timber 30 × 60 mm', kind: 'timber', unit: 'm', widthMm: 60, thicknessMm: 30, leadDays: 21, note: MEMORY, packs: [['Length of 4 m', whole(4)]] },
  { name: 'Stringer stock 20 × 40 mm', kind: 'timber', unit: 'm', widthMm: 40, thicknessMm: 20, leadDays: 21, note: MEMORY, packs: [['Length of 4 m', whole(4)]] },
  { name: 'Copper wire or cable ties', kind: 'fastener', unit: 'pcs', leadDays: 7, safetyMilli: whole(50), note: MEMORY, packs: [['Bag of 100', whole(100)]] },
  { name: 'Bronze screws 4 × 25', kind: 'fastener', unit: 'pcs', leadDays: 14, safetyMilli: whole(50), note: MEMORY, packs: [['Box of 100', whole(100)]] },
  { name: 'Primer', kind: 'paint', unit: 'ml', density: 1.4, leadDays: 10, safetyMilli: whole(250), shelfLifeDays: 730, openedLifeDays: 365, note: STATEMENTS, ...PAINT_LABEL, packs: [['750 ml tin', whole(750)], ['2.5 l tin', whole(2500)]] },
  { name: 'Topcoat', kind: 'paint', unit: 'ml', density: 1.2, leadDays: 10, safetyMilli: whole(250), shelfLifeDays: 730, openedLifeDays: 365, note: STATEMENTS, ...PAINT_LABEL, packs: [['750 ml tin', whole(750)], ['2.5 l tin', whole(2500)]] },
  { name: 'Varnish', kind: 'paint', unit: 'ml', density: 0.92, leadDays: 10, safetyMilli: whole(250), shelfLifeDays: 730, openedLifeDays: 365, note: `${STATEMENTS} Rags with varnish heat up by themselves: into a covered metal can.`, ...PAINT_LABEL, packs: [['750 ml tin', whole(750)]] },
  { name: 'Cleaning alcohol', kind: 'solvent', unit: 'ml', density: 0.79, leadDays: 7, safetyMilli: whole(1000), isShared: true, note: `${STATEMENTS} For tools; never for skin.`, ...SOLVENT_LABEL, packs: [['5 l can', whole(5000)]] },
  { name: 'Sanding discs', kind: 'abrasive', unit: 'pcs', leadDays: 7, safetyMilli: whole(20), note: MEMORY, packs: [['Box of 50', whole(50)]] },
  { name: 'Nitrile gloves', kind: 'protective', unit: 'pcs', leadDays: 7, safetyMilli: whole(100), isShared: true, note: `${MEMORY} Single gloves.`, packs: [['Box of 100', whole(100)]] },
  { name: 'P3 mask filters', kind: 'protective', unit: 'pcs', leadDays: 7, safetyMilli: whole(4), isShared: true, note: MEMORY, packs: [['Pair', whole(2)]] },
  { name: 'Foam rollers', kind: 'other', unit: 'pcs', leadDays: 7, safetyMilli: whole(10), isShared: true, note: MEMORY, packs: [['Bag of 10', whole(10)]] },
  { name: 'Throw-away brushes', kind: 'other', unit: 'pcs', leadDays: 7, safetyMilli: whole(10), isShared: true, note: MEMORY, packs: [['Box of 36', whole(36)]] },
  { name: 'Mixing cups', kind: 'other', unit: 'pcs', leadDays: 7, safetyMilli: whole(20), isShared: true, note: MEMORY, packs: [['Sleeve of 50', whole(50)]] },
  { name: 'Stirring sticks', kind: 'other', unit: 'pcs', leadDays: 7, safetyMilli: whole(50), isShared: true, note: MEMORY, packs: [['Box of 100', whole(100)]] },
]

/** Which resin and hardener make which of the usual cure products. */
const SYSTEMS = [
  ['Epoxy, fast hardener', 'Epoxy resin', 'Epoxy hardener, fast'],
  ['Epoxy, slow hardener', 'Epoxy resin', 'Epoxy hardener, slow'],
  ['Wood-epoxy glue, thickened', 'Epoxy resin', 'Epoxy hardener, fast'],
] as const

/** Puts in the usual items that are not there yet by name, and the systems that they make. @returns the names that are new */
export async function seedUsualItems(tx: Tx): Promise<string[]> {
  const there = new Set((await tx.item.findMany({ select: { name: true } })).map(({ name }) => name.toLowerCase()))
  const missing = usualItems.filter(({ name }) => !there.has(name.toLowerCase()))
  await tx.item.createMany({ data: missing.map(({ packs: _packs, ...item }) => ({ ...item })), skipDuplicates: true })
  const rows = await tx.item.findMany({ where: { name: { in: missing.map(({ name }) => name) } }, select: { id: true, name: true } })
  const idOf = new Map(rows.map(({ id, name }) => [name, id]))
  await tx.itemPack.createMany({
    data: missing.flatMap(({ name: item, packs }) => packs.flatMap(([name, qtyMilli]) => {
      const itemId = idOf.get(item)
      return itemId ? [{ itemId, name, qtyMilli, priceCents: 0 }] : []
    })),
    skipDuplicates: true,
  })
  await seedSystems(tx)
  return missing.map(({ name }) => name)
}

async function seedSystems(tx: Tx): Promise<void> {
  const products = new Map((await tx.cureProduct.findMany({ where: { name: { in: SYSTEMS.map(([name]) => name) } }, select: { id: true, name: true } })).map(({ id, name }) => [name, id]))
  const items = new Map((await tx.item.findMany({ where: { name: { in: SYSTEMS.flatMap(([, a, b]) => [a, b]) } }, select: { id: true, name: true } })).map(({ id, name }) => [name, id]))
  const data = SYSTEMS.flatMap(([product, resin, hardener]) => {
    const [productId, resinItemId, hardenerItemId] = [products.get(product), items.get(resin), items.get(hardener)]
    return productId && resinItemId && hardenerItemId ? [{ productId, resinItemId, hardenerItemId }] : []
  })
  await tx.system.createMany({ data, skipDuplicates: true })
}

export async function addUsualItems(tx: Tx, ctx: Ctx): Promise<Result<Done, Refusal>> {
  const names = await seedUsualItems(tx)
  await audit(tx, ctx, { what: 'usual items added', entity: 'item', entityId: 'usual', after: { names } })
  const flash = names.length === 0
    ? 'They are all here already.'
    : `${names.length} items are in, without stock and without prices. Their figures and label elements are from memory: put in those of your cans.`
  return ok({ location: '/stores', flash })
}
