export * from './humidity.ts'
export * from './rates.ts'
export * from './table.ts'
export * from './types.ts'
