/** What a thumb, a strip of tape or the sander tells about a film. Common practice, no source. Pure. */
import type { CureStage } from '../../../core/cure/types.ts'

export const FINDINGS = {
  'dust-free': { label: 'Dust-free', how: 'A finger drawn lightly over it leaves no mark', stage: 'dustFree', later: 0 },
  wet: { label: 'Still wet', how: 'It comes off on the glove: look again in an hour', stage: 'opens', later: 60 },
  dents: { label: 'Dents, clean to the touch', how: 'Sticky, a thumbnail dents it, nothing comes off: the next coat can go on', stage: 'opens', later: 0 },
  firm: { label: 'Firm', how: 'A thumbnail no longer dents it: too late for the next coat without washing and sanding', stage: 'closes', later: 0 },
  sands: { label: 'Sands to powder', how: 'Paper makes dust, it does not clog: wash, then sand', stage: 'sandable', later: 0 },
  hard: { label: 'Hard', how: 'Clamps off, she can be moved: squeeze-out snaps instead of bending', stage: 'handleable', later: 0 },
} as const satisfies Record<string, { label: string; how: string; stage: CureStage; later: number }>

export type Finding = keyof typeof FINDINGS
export const findingNames = Object.keys(FINDINGS) as [Finding, ...Finding[]]
