/** Why something meant did not come off, in plain words; nobody is to blame for any of them. */
export const SLIP_WORDS = {
  'fewer-hands': 'fewer came than meant',
  'took-longer': 'it took longer than thought',
  weather: 'too cold or damp',
  waiting: 'waiting for something to come',
  tool: 'a tool was missing',
  window: 'the window was missed',
  rework: 'something had to be done again',
  other: 'other work went first',
  pause: 'a pause',
  own: 'in our own words',
} as const
export type SlipCause = keyof typeof SLIP_WORDS
export const SLIP_CAUSES = Object.keys(SLIP_WORDS) as SlipCause[]
