import type { Shows } from '../../src/features/reviews/model.ts'

/** What members see. */
export const SHOWS: Shows = { money: true, names: true, photos: true, snags: true, log: true }
