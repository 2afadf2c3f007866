/** Every reason that planning shows is a sentence made here, from facts and ids that core gives. Nobody is ever blamed. */
export * from '../shared/times.ts'
export * from './words/moves.ts'
export * from './words/names.ts'
export * from './words/reasons.ts'
export * from './words/unplanned.ts'
export * from './words/stock.ts'
export * from './words/options.ts'
export * from './words/settings.ts'
