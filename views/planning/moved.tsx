import type { Move, NameBook } from '../../src/features/planning/model.ts'
import type { Moved } from '../shared/page-context.ts'
import { Empty, Layout, MovedLines, Sheet } from '../shared/index.ts'
import { useWords } from './use-words.ts'
import { buildName, byNearness, moveSentence, plural, sentence } from './words.ts'

export type MovedProps = { names: NameBook; moves: readonly Move[]; causes: readonly string[]; madeAt: number }

/** All that one plan moved against the one before, by build, each with its reason. */
export function MovedPage({ names, moves, causes, madeAt }: MovedProps) {
  const w = useWords(names)
  const builds = [...new Set(moves.map((m) => m.buildId))].sort((a, b) => (buildName(w, a) < buildName(w, b) ? -1 : 1))
  return (
    <Layout title="What moved">
      <p>The plan was worked out {w.times.dayTime(madeAt)}{causes.length > 0 && <>, because of: {causes.join('; ')}</>}.</p>
      {moves.length === 0 && <Empty>Nothing moves: the plan stands as it was.</Empty>}
      {builds.map((id) => {
        const own = moves.filter((m) => m.buildId === id).sort(byNearness)
        return (
          <Sheet key={id} title={<>{buildName(w, id)} <span class="muted">{plural(own.length, 'change')}</span></>}>
            <ul class="moves">{own.map((m, at) => <li key={at}>{moveSentence(w, m, false)}</li>)}</ul>
            <p><a href={`/builds/${id}/plan`}>The whole plan of {buildName(w, id)}</a></p>
          </Sheet>
        )
      })}
    </Layout>
  )
}

export type WaitingProps = { again: string; why: readonly Moved[] }

/** Shown while the plan is being worked out, or when it could not be; as a fragment, the lines alone. */
export function WaitingPage({ again, why }: WaitingProps) {
  return (
    <Layout title="What moved">
      <Empty action={<a class="button button-plain" href={again}>Look again</a>}>{why.map((m) => sentence(m.text)).join(' ')}</Empty>
    </Layout>
  )
}

export function MovedFragment({ moved }: { moved: readonly Moved[] }) {
  return <MovedLines moved={moved} />
}
