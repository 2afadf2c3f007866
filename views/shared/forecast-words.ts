/** What a forecast says, in words; shared by planning's pages and the week review. */
import type { Craft } from '../../src/core/forecast/types.ts'

/** Kinds of work, as people say them. */
export const CRAFT_WORDS: Readonly<Record<Craft, string>> = {
  wood: 'making and fitting', resin: 'glue and glass', sanding: 'sanding and fairing', finish: 'paint and varnish', handling: 'lifting and turning',
}
