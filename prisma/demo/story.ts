/**
 * What happened in the example club's last weeks beside the work, as a club would tell it: a half-term made up by a working party, a window
 * missed, cloth that came late, a void found and mended, a router that doesn't come. All invented. Weeks count from this one, weekdays from
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
export const NOT_DONE: readonly { readonly week: number; readonly build: BuildName; readonly task: string }[] = [
  // Home before the window opened.
  { week: -3, build: 'Dunlin', task: 'seal-deck-2' },
  // The cloth had not come.
  { week: -3, build: 'Turnstone', task: 'lay-cloth' },
  // Nor had the router.
  { week: -2, build: 'Dunlin', task: 'open-slot' },
]

/** When the router was thought to come, by what was known in a week: so many weeks on from this one. */
export const ROUTER: readonly { readonly untilWeek: number; readonly arrivesInWeeks: number }[] = [
  { untilWeek: -2, arrivesInWeeks: -2 },
  { untilWeek: 0, arrivesInWeeks: 3 },
]

/** An order that came later than it should have. */
export const LATE_ORDER = { item: 'Glass cloth 200 g/m²', packs: 2, ordered: [-6, 3], expected: [-4, 5], came: [-2, 2], note: 'Promised for Friday; the carrier lost it for ten days.' } as const

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
    build: 'Dunlin', at: [-2, 3, '21:30'], by: 'oona', kind: 'fillet-void', what: 'Hole in a fillet, water weeps through', where: 'under the port seat, second bulkhead',
    bad: 'before_launch', task: 'leak-test', rework: true, picture: 'fillet-void',
  },
  {
    build: 'Turnstone', at: [-7, 6, '16:30'], by: 'luis', kind: 'run', what: 'Two runs in the varnish of the mast', where: 'heel of the mast, aft side', bad: 'looks', task: 'varnish-spars-2', rework: false,
    leftAsItIs: { at: [-5, 3, '20:00'], note: 'Scraped flat before the third coat; nothing to see.' },
  },
  { build: 'Dunlin', at: [-1, 6, '16:30'], by: 'tomas', kind: 'print-through', what: 'The weave shows along the chine when the light is low', where: 'outside, starboard, amidships', bad: 'looks', task: 'scuff-outside', rework: false },
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
  { build: 'Dunlin', at: [-8, 3, '21:10'], by: 'tomas', kind: 'note', text: 'Washed and sanded the new glass instead of filling it: Saturday’s window was shut by Wednesday.', task: 'fill-bottom-1' },
  { build: 'Dunlin', at: [-8, 6, '16:20'], by: 'oona', kind: 'lesson', text: 'First fill coat by ten in the morning, or only one that day: the next goes on when the first has stopped being sticky, and then we must still be here.', task: 'fill-bottom-2' },
  { build: 'Dunlin', at: [-7, 6, '16:10'], by: 'marten', kind: 'note', text: 'Third fill coat is on and the weave is gone.', task: 'fill-bottom-3', picture: 'upside-down', caption: 'Third fill coat' },
  { build: 'Dunlin', at: [-6, 6, '15:50'], by: 'inge', kind: 'note', text: 'Half-term: the skeg is on, and that was it.', task: 'glue-skeg' },
  { build: 'Dunlin', at: [-6, 6, '16:00'], by: 'marten', kind: 'decision', text: 'A working party on Sunday week, to make it good. Asked for five.' },
  { build: 'Dunlin', at: [-5, 6, '16:10'], by: 'marten', kind: 'note', text: 'She stands the right way up, port rail on; every clamp in the shed is on it too.', task: 'rail-port', picture: 'rails-clamped', caption: 'Port rail, and all the clamps there are' },
  { build: 'Dunlin', at: [-5, 7, '15:20'], by: 'marten', kind: 'note', text: 'Working party: seats fitted, starboard rail on, and what half-term had cost is made up. Soup for nine.', picture: 'tea-break', caption: 'One o’clock' },
  { build: 'Dunlin', at: [-4, 6, '15:40'], by: 'oona', kind: 'note', text: 'Tanks sealed, after a wash and sand between the coats.', task: 'seal-tanks-2' },
  { build: 'Dunlin', at: [-3, 6, '16:25'], by: 'oona', kind: 'note', text: 'First coat under the deck went on late. It would have taken the second from half past five; we lock up at half past four.', task: 'seal-deck-1' },
  { build: 'Dunlin', at: [-3, 6, '16:30'], by: 'oona', kind: 'lesson', text: 'Look at the overnight page before the first coat, not after.' },
  { build: 'Dunlin', at: [-2, 3, '21:35'], by: 'oona', kind: 'note', text: 'Poured water into the tanks. The port one weeps at the second bulkhead, see the snag. Good that it is not painted yet.', task: 'leak-test' },
  { build: 'Dunlin', at: [-2, 6, '10:00'], by: 'marten', kind: 'note', text: 'The router was to come yesterday. The shop now says five weeks more; the slot for the centreboard waits for it.', picture: 'empty-hook', caption: 'Its hook' },
  { build: 'Dunlin', at: [-1, 6, '12:30'], by: 'oona', kind: 'lesson', text: 'Press a fillet in from one end. Two of us met in the middle, and the air had nowhere to go.' },
  { build: 'Dunlin', at: [-1, 6, '16:35'], by: 'tomas', kind: 'decision', text: 'The print-through stays until the long-boarding; another fill coat now would be sanded off anyway.' },
  { build: 'Turnstone', at: [-8, 6, '16:10'], by: 'luis', kind: 'note', text: 'She stands: stitched, with a twist of four millimetres that a wedge took out.', task: 'stitch-hull', picture: 'stitched-hull', caption: 'She looks like a boat' },
  { build: 'Turnstone', at: [-8, 6, '16:20'], by: 'luis', kind: 'lesson', text: 'Check the twist with two straight battens across before the last ties go tight.' },
  { build: 'Turnstone', at: [-7, 6, '16:00'], by: 'priya', kind: 'note', text: 'Centre and port filleted and taped wet in wet; starboard looks at it with envy.', task: 'tape-port' },
  { build: 'Turnstone', at: [-7, 6, '16:15'], by: 'yusuf', kind: 'note', text: 'Second coat of varnish on the spars, two runs at the heel.', task: 'varnish-spars-2', picture: 'varnished-spars', caption: 'Mast and boom' },
  { build: 'Turnstone', at: [-6, 6, '15:30'], by: 'priya', kind: 'note', text: 'Half-term, two of us. The starboard fillet went in, and nobody was left to tape over it in time.', task: 'fillet-starboard' },
  { build: 'Turnstone', at: [-5, 7, '15:00'], by: 'priya', kind: 'note', text: 'Washed, taped, and at the working party the inside was scraped clean: half-term is made up.', task: 'clean-inside-seams' },
  { build: 'Turnstone', at: [-4, 3, '20:40'], by: 'yusuf', kind: 'note', text: 'Turned over with seven of us and two mattresses.', task: 'turn-over-1' },
  { build: 'Turnstone', at: [-3, 3, '19:10'], by: 'priya', kind: 'note', text: 'The glass cloth was to come on Friday and did not. Sanded and sealed the sides instead.', task: 'lay-cloth' },
  { build: 'Turnstone', at: [-3, 3, '19:20'], by: 'priya', kind: 'decision', text: 'No other cloth in between: the bottom gets what the designer drew.', task: 'lay-cloth' },
  { build: 'Turnstone', at: [-2, 6, '16:10'], by: 'luis', kind: 'note', text: 'Cloth came on Tuesday, and by Saturday the bottom was sheathed.', task: 'sheath-bottom-port' },
  { build: 'Whimbrel', at: [-4, 2, '21:00'], by: 'hanne', kind: 'note', text: 'Drawings checked, one frame drawn twice and one not at all; wrote to the designer.', task: 'check-plans' },
  { build: 'Whimbrel', at: [-3, 2, '20:30'], by: 'hanne', kind: 'decision', text: 'The designer answered: frame 3 is frame 4 moved aft by 420 mm. Written on the drawing.', task: 'check-plans' },
  { build: 'Whimbrel', at: [-2, 7, '15:30'], by: 'inge', kind: 'note', text: 'Panels are cut in pairs. The bandsaw blade was blunt; a new one is in.', task: 'cut-panels' },
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
  { build: 'Dunlin', week: -8, by: 'marten', headline: 'A window missed and an evening of wet sanding for it; two fill coats on all the same.' },
  { build: 'Dunlin', week: -7, by: 'marten', headline: 'The bottom is filled: the weave is gone.' },
  { build: 'Dunlin', week: -6, by: 'marten', headline: 'Half-term: the skeg, and little else. A working party on Sunday week is to make it good.', next: 'Ask for five on Sunday: seats and rails.' },
  { build: 'Dunlin', week: -5, by: 'oona', headline: 'Turned back, both rails on, seats fitted: the working party made up what half-term had cost.' },
  { build: 'Dunlin', week: -4, by: 'oona' },
  {
    build: 'Dunlin', week: -3, by: 'marten', headline: 'Seats are in and the deck is fitted. One window slipped away on Saturday.', lessons: 'First coats before noon.',
    slips: { 'seal-deck-2': { cause: 'window', words: 'it would have opened at half past five; we lock up at half past four' } },
  },
  {
    build: 'Dunlin', week: -2, by: 'oona', headline: 'The leak test found a void under the port seat, while it can still be reached.', next: 'Mend the void first. The router is five weeks away; the slot waits for it.',
    slips: { 'open-slot': { cause: 'tool', words: 'the router did not come' } },
  },
  { build: 'Dunlin', week: -1, by: 'marten', headline: 'The void is mended, and dry.', next: 'Hands to Turnstone where the router is wanted here.' },
  { build: 'Turnstone', week: -8, by: 'priya', headline: 'She is stitched, and looks like a boat.' },
  { build: 'Turnstone', week: -7, by: 'priya' },
  { build: 'Turnstone', week: -6, by: 'yusuf', headline: 'Two of us, half-term: one fillet, and its window missed.' },
  { build: 'Turnstone', week: -5, by: 'priya', headline: 'Washed and taped; with the working party the slip is made up.' },
  { build: 'Turnstone', week: -4, by: 'priya', headline: 'Turned over.' },
  {
    build: 'Turnstone', week: -3, by: 'priya', headline: 'The cloth did not come, so the bottom is bare; the sides are sealed instead.', next: 'The cloth is promised for Tuesday: three of us on Saturday to sheathe.',
    slips: { 'lay-cloth': { cause: 'waiting', words: 'glass cloth, promised for the Friday before' } },
  },
  { build: 'Turnstone', week: -2, by: 'luis', headline: 'Cloth on Tuesday, a sheathed bottom on Saturday: the slip is made up.' },
  { build: 'Turnstone', week: -1, by: 'yusuf' },
  { build: 'Whimbrel', week: -4, by: 'hanne', headline: 'First week: papers and drawings, and a letter to the designer.' },
  { build: 'Whimbrel', week: -3, by: 'hanne' },
  { build: 'Whimbrel', week: -2, by: 'inge', headline: 'All panels are cut, in pairs.' },
  { build: 'Whimbrel', week: -1, by: 'hanne' },
]
