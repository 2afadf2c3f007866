import type { BuildCard } from '../../src/features/builds/queries/builds.ts'
import { ButtonLink, ButtonRow, Empty, Layout, list, Progress, rangeWords, Sheet, sentence, Swatch, Tag, usePage, useTimes } from '../shared/index.ts'
import { dayWords, hoursMin, swatchOf } from './words.ts'

export function Builds({ builds }: { builds: readonly BuildCard[] }) {
  const page = usePage()
  const start = page.may('builds.start') && <ButtonLink href="/builds/new" kind="main">Start a build</ButtonLink>
  const groups = [
    { title: 'Under construction', rows: builds.filter((b) => b.state === 'active') },
    { title: 'Paused', rows: builds.filter((b) => b.state === 'paused') },
    { title: 'Launched', rows: builds.filter((b) => b.state === 'launched') },
  ].filter((g) => g.rows.length > 0)
  return (
    <Layout title="Builds" live={['plan']}>
      {builds.length === 0 ? <Empty action={start}>No build is under way yet. A standard job list gets one going: her tasks, links and hours are worked out from a few measurements.</Empty> : <ButtonRow>{start}<ButtonLink href="/club-sheet">Club sheet</ButtonLink><ButtonLink href="/log">Search what was written down</ButtonLink></ButtonRow>}
      {groups.map((g) => (
        <section key={g.title} aria-label={g.title}>
          <h2>{g.title}</h2>
          {g.rows.map((b) => <Card key={b.id} build={b} />)}
        </section>
      ))}
    </Layout>
  )
}

function Card({ build: b }: { build: BuildCard }) {
  const { club } = usePage()
  const times = useTimes()
  const facts = [b.design, b.place, b.team.length > 0 ? list(b.team) : 'no team yet', b.launchTarget === null ? '' : `to be launched by ${dayWords(b.launchTarget, club?.locale ?? 'en-GB')}`].filter((t) => t !== '')
  return (
    <Sheet title={<><a href={`/builds/${b.id}`}>{b.name}</a>{b.isTeamOnly && <> <Tag>team only</Tag></>}</>}>
      <p>{facts.join(' · ')}</p>
      {b.state === 'launched' ? (
        <p><Swatch state="done">launched</Swatch></p>
      ) : (
        <Progress share={b.tasks === 0 ? 0 : b.done / b.tasks}>
          {b.done} of {b.tasks} tasks done, {hoursMin(b.loggedMin)} logged, about {hoursMin(b.leftMin)} left
        </Progress>
      )}
      {b.range !== null && <p><a href={`/builds/${b.id}/forecast`}>{sentence(rangeWords(times, b.range))}</a></p>}
      {b.state === 'paused' && <p><Swatch state="paused" /> {b.pauseNote !== '' && sentence(b.pauseNote)}</p>}
      {b.next.length > 0 && (
        <ul class="plain-list">
          {b.next.map((t) => (
            <li key={t.id}><Swatch state={swatchOf(t)}>{t.word}</Swatch> <a href={`/builds/${b.id}/tasks/${t.id}`}>{t.name}</a>: {t.why}</li>
          ))}
        </ul>
      )}
    </Sheet>
  )
}
