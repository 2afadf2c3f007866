import { usePage } from './page-context.ts'

/**
 * An id that no other element of the page has, nor a fragment that is put into it later. (preact's useId counts within one
 * rendering and gave two sheets of one form the same.)
 */
export const useOwnId = (): string => `i${usePage().once().replaceAll('-', '').slice(0, 12)}`
