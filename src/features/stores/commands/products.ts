import { ok, type Result } from '../../../core/result.ts'
import { isTaken, type Tx } from '../../../platform/database.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { isUuid } from '../../../platform/request.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { defaultCureProducts } from './defaults.ts'
import { productValues } from '../queries/products.ts'
import type { CureProductInput } from '../schemas/products.ts'

/** Puts in the usual products that are not there yet by name. @returns how many are new */
export async function seedCureProducts(tx: Tx): Promise<number> {
  const { count } = await tx.cureProduct.createMany({ data: defaultCureProducts.map((row) => ({ ...row })), skipDuplicates: true })
  return count
}

export async function addUsualProducts(tx: Tx, ctx: Ctx): Promise<Result<Done, Refusal>> {
  const count = await seedCureProducts(tx)
  await audit(tx, ctx, { what: 'usual cure products added', entity: 'cure_product', entityId: 'usual', after: { count } })
  const flash = count === 0 ? 'They are all here already.' : `${count} products are in. Their figures are from memory: put in those of your data sheets before you rely on them.`
  return ok({ location: '/stores/cure-products', flash })
}

const columns = (v: CureProductInput) => ({
  name: v.name, kind: v.kind, source: v.source, hazard: v.hazard, referenceTemp: v.referenceTemp,
  workableMin: v.workable, dustFreeMin: v.dustFree, opensMin: v.opens, closesMin: v.closes, closesCapMin: v.closesCap, sandableMin: v.sandable,
  handleableMin: v.handleable, fullCureMin: v.fullCure, filmEnergyLow: v.filmEnergyLow, filmEnergyHigh: v.filmEnergyHigh, potEnergy: v.potEnergy, cureFloor: v.cureFloor,
  minAir: v.minAir, maxAir: v.maxAir, maxHumidity: v.maxHumidity, dewPointMargin: v.dewPointMargin, potLifeMin: v.potLifeMin, potMassG: v.potMassG, potTemp: v.potTemp,
  ratioBy: v.ratioBy === '' ? null : v.ratioBy, ratioA: v.ratioA, ratioB: v.ratioB, densityA: v.densityA, densityB: v.densityB, dustSensitive: v.dustSensitive,
})

const taken = (name: string) => refused(422, `There is a product called “${name}” already.`, { fields: { name: 'Taken: choose another name' } })

export async function addProduct(tx: Tx, ctx: Ctx, input: CureProductInput): Promise<Result<Done, Refusal>> {
  try {
    const row = await tx.cureProduct.create({ data: columns(input) })
    await audit(tx, ctx, { what: 'cure product added', entity: 'cure_product', entityId: row.id, after: row })
    return ok({ location: `/stores/cure-products/${row.id}`, flash: `${row.name} is in.` })
  } catch (error) {
    if (isTaken(error)) return taken(input.name)
    throw error
  }
}

/** Data-sheet figures of a product; links that wait for a stage keep the figure that they wait for. */
export async function editProduct(tx: Tx, ctx: Ctx, productId: string, input: CureProductInput & { version: number }): Promise<Result<Done, Refusal>> {
  const row = isUuid(productId) ? await tx.cureProduct.findUnique({ where: { id: productId } }) : null
  if (!row) return refused(404, 'This product is not there any more.')
  const data = columns(input)
  const waited = await tx.link.findMany({
    where: { OR: [{ kind: 'stage' }, { kind: 'window' }], from: { productId, finishedAt: null } },
    select: { kind: true, stage: true, washMin: true, from: { select: { name: true } } },
  })
  const figure = { workable: data.workableMin, dustFree: data.dustFreeMin, opens: data.opensMin, closes: data.closesMin ?? data.closesCapMin, sandable: data.sandableMin, handleable: data.handleableMin, fullCure: data.fullCureMin }
  for (const link of waited) {
    const stage = link.kind === 'window' ? (data.opensMin === null ? 'opens' : link.washMin !== null && data.sandableMin === null ? 'sandable' : null) : link.stage !== null && figure[link.stage] === null ? link.stage : null
    if (stage !== null) return refused(422, 'Nothing was changed: see the note at the field.', { fields: { [stage]: `“${link.from.name}” is waited for by this figure: keep one, or unlink it first` } })
  }
  let count: number
  try {
    count = (await tx.cureProduct.updateMany({ where: { id: productId, version: input.version }, data: { ...data, version: { increment: 1 } } })).count
  } catch (error) {
    if (isTaken(error)) return taken(input.name)
    throw error
  }
  if (count === 0) return refused(409, 'Somebody changed this product while you were typing. Nothing of yours is saved yet.', { current: productValues(row) })
  await audit(tx, ctx, { what: 'cure product edited', entity: 'cure_product', entityId: productId, before: row, after: data })
  await requestReplan(tx, `Figures of ${input.name} changed`, ctx)
  return ok({ location: `/stores/cure-products/${productId}`, flash: `${input.name} is saved; what cures now is reckoned anew.` })
}

/** A product that is not bought any more can't be chosen; what is on with it goes on curing. */
export async function retireProduct(tx: Tx, ctx: Ctx, productId: string, version: number, isActive: boolean): Promise<Result<Done, Refusal>> {
  const row = isUuid(productId) ? await tx.cureProduct.findUnique({ where: { id: productId } }) : null
  if (!row) return refused(404, 'This product is not there any more.')
  const { count } = await tx.cureProduct.updateMany({ where: { id: productId, version }, data: { isActive, version: { increment: 1 } } })
  if (count === 0) return refused(409, 'Somebody changed this product meanwhile: look at it again.')
  await audit(tx, ctx, { what: isActive ? 'cure product taken up again' : 'cure product retired', entity: 'cure_product', entityId: productId })
  return ok({ location: `/stores/cure-products/${productId}`, flash: isActive ? `${row.name} can be chosen again.` : `${row.name} can’t be chosen for new work any more; tasks that have it keep it.` })
}
