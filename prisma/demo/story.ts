/**
 * What happened in the example club's last weeks beside the work, as a club would tell it: a window missed, a half-term made up by a working
 * party, ties that came late, a void found and mended, a router that doesn't come. All invented. Weeks count from this one, weekdays from
 * Monday as 1; the told past (`npm run demo:tell`) keeps to it.
 */
import type { LogKind, SnagBad } from '../../src/platform/generated/enums.ts'
import type { SlipCause } from '../../views/shared/slip-words.ts'

export type BuildName = 'Dunlin' | 'Turnstone' | 'Whimbrel'
export type Moment = readonly [week: number, weekday: number, time: string]

/** A session beside the series. */
export const WORKING_PARTY = {
  title: 'Working party', week: -5, weekday: 7, starts: '10:00', ends: '15:30', keyholder: 'marten', note: 'To make up half-term. Soup at one.',
  who: ['marten', 'oona', 'tomas', 'priya', 'luis'],
} as const

/** Pieces that were meant and not done, by the key of their task; what follows them waits. */
export const NOT_DONE: readonly { readonly week: number; readonly build: BuildName; readonly task: string }[] = []
/** What took as long as it was thought to, whatever else did not. */
export const AS_THOUGHT: ReadonlySet<string> = new Set(['stitch-hull'])

/** When the router was thought to come, by what was known in a week: so many weeks on from this one. */
export const ROUTER: readonly { readonly untilWeek: number; readonly arrivesInWeeks: number }[] = [
  { untilWeek: -2, arrivesInWeeks: -2 },
  { untilWeek: 0, arrivesInWeeks: 3 },
]

/** An order that came later than it should have. */
export const LATE_ORDER = { item: 'Copper wire ties', packs: 2, ordered: [-7, 3], expected: [-4, 5], came: [-3, 2], note: 'Promised for Friday; the carrier lost it for the weekend.' } as const

export const BASELINES: readonly { readonly build: BuildName; readonly week: number; readonly by: string; readonly reason: string }[] = [
  { build: 'Dunlin', week: -19, by: 'marten', reason: '' },
  { build: 'Turnstone', week: -10, by: 'priya', reason: '' },
  { build: 'Whimbrel', week: -3, by: 'hanne', reason: '' },
  { build: 'Dunlin', week: -6, by: 'marten', reason: 'Decided on a centre case and rails of a heavier section than the list had; agreed with Inge.' },
]

export interface StorySnag {
  readonly build: BuildName
  readonly at: Moment
  readonly by: string
  readonly kind: string | null
  readonly what: string
  readonly where: string
  readonly bad: SnagBad
  /** Key of the task at which it was found. */
  readonly task: string
  /** Made into work of the plan at once. */
  readonly rework: boolean
  readonly picture?: Picture
  /** Closed as it is, with a word. */
  readonly leftAsItIs?: { readonly at: Moment; readonly note: string }
}
export const SNAGS: readonly StorySnag[] = [
  {
    build: 'Dunlin', at: [-3, 6, '15:40'], by: 'oona', kind: 'fillet-void', what: 'Hole in a fillet, water weeps through', where: 'under the port seat, second bulkhead',
    bad: 'before_launch', task: 'leak-test', rework: true, picture: 'fillet-void',
  },
  {
    build: 'Turnstone', at: [-2, 6, '12:10'], by: 'luis', kind: 'run', what: 'Two runs in the varnish of the mast', where: 'heel of the mast, aft side', bad: 'looks', task: 'varnish-spars-2', rework: false,
    leftAsItIs: { at: [-1, 6, '11:00'], note: 'Scraped flat before the third coat; nothing to see.' },
  },
  { build: 'Dunlin', at: [-1, 6, '14:20'], by: 'tomas', kind: 'print-through', what: 'The weave shows along the chine when the light is low', where: 'outside, starboard, amidships', bad: 'looks', task: 'scuff-outside', rework: false },
]

export type Picture = 'stitched-hull' | 'fillet-void' | 'rails-clamped' | 'upside-down' | 'deck-weights' | 'varnished-spars' | 'empty-hook' | 'tea-break'
export interface StoryEntry {
  readonly build: BuildName
  readonly at: Moment
  readonly by: string
  readonly kind: LogKind
  readonly text: string
  readonly task?: string
  readonly picture?: Picture
  readonly caption?: string
}
export const LOG: readonly StoryEntry[] = [
  { build: 'Dunlin', at: [-8, 3, '21:10'], by: 'tomas', kind: 'note', text: 'Washed and sanded the bottom again instead of coating: three fill coats don’t fit into a Saturday that ends at half past four.', task: 'fill-bottom-3' },
  { build: 'Dunlin', at: [-8, 6, '16:20'], by: 'oona', kind: 'lesson', text: 'First fill coat by ten in the morning, or not at all: the next one can only go on when the first has stopped being sticky, and then we must still be here.', task: 'fill-bottom-3', picture: 'upside-down', caption: 'Third fill coat on; the weave is gone' },
  { build: 'Dunlin', at: [-7, 6, '16:10'], by: 'marten', kind: 'note', text: 'Turned back with four of us and an old mattress. Port rail is on; every clamp in the shed is on it too.', task: 'rail-port', picture: 'rails-clamped', caption: 'Port rail, and all the clamps there are' },
  { build: 'Dunlin', at: [-7, 6, '16:30'], by: 'marten', kind: 'decision', text: 'Rails stay 20 by 45 in two layers. One thick one would have to be steamed, and nobody here has a steam box.', task: 'rail-port' },
  { build: 'Dunlin', at: [-6, 6, '15:50'], by: 'inge', kind: 'note', text: 'Half-term: three of us in all. The seats took what hours there were.' },
  { build: 'Dunlin', at: [-5, 6, '16:20'], by: 'oona', kind: 'note', text: 'First seal coat in the tanks went on late. It would have taken the second from half past five; we lock up at half past four.', task: 'seal-tanks-1' },
  { build: 'Dunlin', at: [-5, 6, '16:25'], by: 'oona', kind: 'lesson', text: 'Look at the overnight page before the first coat, not after.' },
  { build: 'Dunlin', at: [-5, 7, '15:20'], by: 'marten', kind: 'note', text: 'Working party: what half-term had cost is made up. Soup for nine.', picture: 'tea-break', caption: 'One o’clock' },
  { build: 'Dunlin', at: [-3, 6, '15:45'], by: 'oona', kind: 'note', text: 'Poured water into the tanks. Port one weeps at the second bulkhead, see the snag. Good that the deck was not painted yet.', task: 'leak-test' },
  { build: 'Dunlin', at: [-3, 6, '16:15'], by: 'tomas', kind: 'note', text: 'Deck is down, with every brick of the yard on it.', task: 'glue-deck', picture: 'deck-weights', caption: 'Deck glued' },
  { build: 'Dunlin', at: [-2, 3, '19:00'], by: 'marten', kind: 'note', text: 'The router was to come this week. The shop now says five weeks more. Nothing else on her can go on before the slot is open.', picture: 'empty-hook', caption: 'Its hook' },
  { build: 'Dunlin', at: [-2, 6, '12:30'], by: 'oona', kind: 'lesson', text: 'Press a fillet in from one end. Two of us met in the middle, and the air had nowhere to go.' },
  { build: 'Dunlin', at: [-1, 6, '14:30'], by: 'tomas', kind: 'decision', text: 'The print-through stays until the long-boarding; another fill coat now would be sanded off anyway.' },
  { build: 'Turnstone', at: [-8, 6, '16:00'], by: 'luis', kind: 'note', text: 'Foils are glassed on both sides and look like foils.', task: 'glass-foils-2' },
  { build: 'Turnstone', at: [-7, 3, '21:00'], by: 'priya', kind: 'note', text: 'Scarfs came out flush but for one; it takes a second evening.', task: 'clean-scarfs' },
  { build: 'Turnstone', at: [-6, 3, '20:50'], by: 'yusuf', kind: 'note', text: 'Only two of us this week, half-term.' },
  { build: 'Turnstone', at: [-5, 7, '15:00'], by: 'priya', kind: 'note', text: 'At the working party we caught up with the panels.' },
  { build: 'Turnstone', at: [-4, 6, '10:30'], by: 'priya', kind: 'note', text: 'The copper ties did not come on Friday. Sorted timber and shaped spars instead.', task: 'stitch-hull' },
  { build: 'Turnstone', at: [-4, 6, '10:40'], by: 'priya', kind: 'decision', text: 'No cable ties in between: two kinds of holes would be left to fill.', task: 'stitch-hull' },
  { build: 'Turnstone', at: [-3, 6, '16:10'], by: 'luis', kind: 'note', text: 'Ties came on Tuesday, and by Saturday she stood: stitched, with a twist of four millimetres that a wedge took out.', task: 'stitch-hull', picture: 'stitched-hull', caption: 'She looks like a boat' },
  { build: 'Turnstone', at: [-3, 6, '16:20'], by: 'luis', kind: 'lesson', text: 'Check the twist with two straight battens across before the last ties go tight.' },
  { build: 'Turnstone', at: [-2, 6, '15:30'], by: 'yusuf', kind: 'note', text: 'Varnish on the spars, two runs at the heel.', task: 'varnish-spars-2', picture: 'varnished-spars', caption: 'Mast and boom' },
  { build: 'Turnstone', at: [-1, 6, '16:00'], by: 'priya', kind: 'note', text: 'Port side filleted and taped wet in wet; starboard looks at it with envy.', task: 'tape-port' },
  { build: 'Whimbrel', at: [-4, 2, '21:00'], by: 'hanne', kind: 'note', text: 'Drawings checked, one frame drawn twice and one not at all; wrote to the designer.', task: 'check-plans' },
  { build: 'Whimbrel', at: [-3, 2, '20:30'], by: 'hanne', kind: 'decision', text: 'The designer answered: frame 3 is frame 4 moved aft by 420 mm. Written on the drawing.', task: 'check-plans' },
  { build: 'Whimbrel', at: [-2, 7, '15:30'], by: 'inge', kind: 'note', text: 'Panels are cut and planed in pairs. The bandsaw blade was blunt; a new one is in.', task: 'cut-panels' },
  { build: 'Whimbrel', at: [-1, 7, '15:40'], by: 'gus', kind: 'lesson', text: 'Scarfs planed in a stack of four come out alike; in a stack of two they don’t.', task: 'cut-scarfs' },
]

/** What people wrote into the reviews; where nothing is said the drafted words stand. `slips`: why a meant task did not come off, by its key in the list. */
export const REVIEWS: readonly {
  readonly build: BuildName
  readonly week: number
  readonly by: string
  readonly headline?: string
  readonly lessons?: string
  readonly next?: string
  readonly slips?: Readonly<Record<string, { readonly cause: SlipCause; readonly words: string }>>
}[] = [
  { build: 'Dunlin', week: -8, by: 'marten', headline: 'A window missed, and an evening of wet sanding for it; the bottom is filled all the same.', lessons: 'First fill coat by ten in the morning, or not at all.' },
  { build: 'Dunlin', week: -7, by: 'marten', headline: 'She stands the right way up, with her first rail on.' },
  { build: 'Dunlin', week: -6, by: 'marten', headline: 'Half-term: half of what was meant. A working party on Sunday week is to make it good.', next: 'Ask for five on Sunday: rails and deck.' },
  { build: 'Dunlin', week: -5, by: 'oona', headline: 'The working party made up what half-term had cost; a window slipped away on Saturday.', lessons: 'Look at the overnight page before the first coat, not after.', slips: { 'seal-tanks-2': { cause: 'window', words: 'It would have opened at half past five; we lock up at half past four.' } } },
  { build: 'Dunlin', week: -4, by: 'oona' },
  { build: 'Dunlin', week: -3, by: 'marten', headline: 'Deck on. The leak test found a void under the port seat, while it can still be reached.', next: 'Mend the void first; all else waits for the router.' },
  { build: 'Dunlin', week: -2, by: 'oona', headline: 'The void is mended. The router is five weeks away, and she waits for it.', lessons: 'Press a fillet in from one end.' },
  { build: 'Dunlin', week: -1, by: 'marten', headline: 'A quiet week: everything on her waits for the router.', next: 'Hands to Turnstone until it comes.' },
  { build: 'Turnstone', week: -8, by: 'priya' },
  { build: 'Turnstone', week: -7, by: 'priya' },
  { build: 'Turnstone', week: -6, by: 'yusuf', headline: 'Two of us, half-term.' },
  { build: 'Turnstone', week: -5, by: 'priya', headline: 'Caught up at the working party.' },
  { build: 'Turnstone', week: -4, by: 'priya', headline: 'The copper ties did not come, so she is not stitched; spars and holes instead.', slips: { 'stitch-hull': { cause: 'waiting', words: 'The copper ties were promised for Friday.' } }, next: 'The ties are promised for Tuesday; three of us on Saturday, and she stands.' },
  { build: 'Turnstone', week: -3, by: 'luis', headline: 'Ties on Tuesday, a boat on Saturday: a week’s slip made up in a day.', lessons: 'Check the twist with two straight battens before the last ties go tight.' },
  { build: 'Turnstone', week: -2, by: 'priya' },
  { build: 'Turnstone', week: -1, by: 'yusuf', headline: 'Port side filleted and taped, wet in wet.' },
  { build: 'Whimbrel', week: -4, by: 'hanne', headline: 'First week: papers and drawings, and a letter to the designer.' },
  { build: 'Whimbrel', week: -3, by: 'hanne' },
  { build: 'Whimbrel', week: -2, by: 'inge', headline: 'All panels cut and planed in pairs.' },
  { build: 'Whimbrel', week: -1, by: 'hanne' },
]
