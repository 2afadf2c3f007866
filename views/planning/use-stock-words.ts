import type { StockPage } from '../../src/features/planning/queries/outlook.ts'
import { useWords } from './use-words.ts'
import type { StockWords } from './words.ts'

export function useStockWords(data: StockPage): StockWords {
  return { ...useWords(data.names), knownUntil: data.knownUntil, today: data.today }
}
