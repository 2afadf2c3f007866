export { seedCureProducts } from './commands/products.ts'
export type { NamedCureProduct } from './queries/core-shape.ts'
export { defaultCureProducts } from './commands/defaults.ts'
export { loadCureProducts, productChoices, type ProductChoice } from './queries/products.ts'
