/** Panels: what ply and glass weigh and how stiff they are, and how they come out of sheets and off the roll. */
export * from './bound.ts'
export * from './ply.ts'
export * from './roll.ts'
export * from './sandwich.ts'
export * from './skins.ts'
export * from './split.ts'
export * from './strip.ts'
