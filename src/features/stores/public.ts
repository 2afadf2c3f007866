export { seedCureProducts } from './commands.ts'
export type { NamedCureProduct } from './core-shape.ts'
export { defaultCureProducts } from './defaults.ts'
export { loadCureProducts, productChoices, type ProductChoice } from './queries.ts'
