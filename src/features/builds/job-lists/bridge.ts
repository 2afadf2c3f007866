/** Links of a list from which tasks are left out. Pure. */
import type { CureStage } from '../../../core/cure/types.ts'
import type { DraftLink, JobList, LinkDef } from './types.ts'

const STAGES: readonly CureStage[] = ['workable', 'dustFree', 'opens', 'closes', 'sandable', 'handleable', 'fullCure']
const later = (a: CureStage, b: CureStage): CureStage => (STAGES.indexOf(a) >= STAGES.indexOf(b) ? a : b)

/** A left-out task hands its waits on: what came before it comes before what came after it. */
export function bridged(list: JobList, kept: ReadonlySet<string>): LinkDef[] {
  const cures = new Set(list.tasks.filter((t) => t.product !== undefined).map((t) => t.key))
  let links: LinkDef[] = [...list.links]
  const made = new Set<LinkDef>()
  for (const gone of list.tasks.filter((t) => !kept.has(t.key))) {
    const into = links.filter((l) => l.to === gone.key)
    const outOf = links.filter((l) => l.from === gone.key)
    links = links.filter((l) => l.to !== gone.key && l.from !== gone.key)
    for (const a of into) for (const b of outOf) {
      const link = { ...through(a, b, cures), from: a.from, to: b.to } as LinkDef
      made.add(link)
      links.push(link)
    }
  }
  return withoutNeedless(links, made)
}

type Wait = { kind: 'finish' } | { kind: 'stage'; stage: CureStage } | Omit<Extract<LinkDef, { kind: 'window' | 'lag' }>, 'from' | 'to'>

/** The wait that outlives the gap: a film under a left-out task still has to be hard before what came after it. */
export function through(a: LinkDef, b: LinkDef, cures: ReadonlySet<string>): Wait {
  if (b.kind === 'lag') return b
  if (!cures.has(a.from)) return a.kind === 'lag' ? a : { kind: 'finish' }
  if (a.kind === 'stage') return { kind: 'stage', stage: b.kind === 'stage' ? later(a.stage, b.stage) : a.stage }
  if (b.kind === 'stage') return { kind: 'stage', stage: b.stage }
  if (a.kind === 'window' && b.kind === 'window') return b
  return { kind: 'finish' }
}

/** A bridge that only says what other links say already is no link. */
function withoutNeedless(links: readonly LinkDef[], made: ReadonlySet<LinkDef>): LinkDef[] {
  const kept = [...links]
  for (const link of made) {
    const at = kept.indexOf(link)
    if (link.kind !== 'finish' || at === -1) continue
    kept.splice(at, 1)
    if (!reaches(kept, link.from, link.to)) kept.splice(at, 0, link)
  }
  return kept
}

function reaches(links: readonly LinkDef[], from: string, to: string): boolean {
  const seen = new Set([from])
  const open = [from]
  for (let key = open.pop(); key !== undefined; key = open.pop()) {
    for (const l of links) {
      if (l.from !== key || seen.has(l.to)) continue
      if (l.to === to) return true
      seen.add(l.to)
      open.push(l.to)
    }
  }
  return false
}

/** Two of a kind between the same tasks are one: of stages the later, of others the first. */
export function unique(links: readonly DraftLink[]): DraftLink[] {
  const out = new Map<string, DraftLink>()
  for (const l of links) {
    const key = `${l.fromKey}>${l.toKey}>${l.kind}`
    const had = out.get(key)
    if (!had) out.set(key, l)
    else if (had.stage !== null && l.stage !== null && later(had.stage, l.stage) !== had.stage) out.set(key, l)
  }
  return [...out.values()]
}
