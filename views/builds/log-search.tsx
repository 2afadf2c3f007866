import type { FoundHits, Hit } from '../../src/features/builds/log/queries/search.ts'
import { Button, ButtonLink, Empty, Field, Form, Layout, plural, SelectField, Tag, usePage } from '../shared/index.ts'
import { DayOf } from './_day.tsx'
import { photoUrl } from './_photos.tsx'
import { excerpt, KIND_WORDS, marked } from './log-words.ts'

export type LogSearchProps = FoundHits & { asked: { q: string; build?: string | undefined; kind?: Hit['kind'] | undefined } }

/** What was written down on all builds that a person may see, by words. */
export function LogSearch({ asked, builds, words, hits, total, page, pages }: LogSearchProps) {
  const { path } = usePage()
  const to = (n: number) => {
    const query = new URLSearchParams(path.split('?')[1] ?? '')
    query.set('page', String(n))
    return `/log?${query.toString()}`
  }
  return (
    <Layout title="What was written down" section="builds">
      <Form action="/log" method="get" layout="row" label="Search">
        <Field name="q" type="search" label="Words" value={asked.q} maxLength={200} />
        <SelectField name="build" label="Build" value={asked.build} blank="all" options={builds.map((b) => ({ value: b.id, label: b.name }))} />
        <SelectField name="kind" label="Kind" value={asked.kind} blank="all" options={Object.entries(KIND_WORDS).map(([value, label]) => ({ value, label: `${label}s` }))} />
        <Button>Search</Button>
      </Form>
      <p role="status">{said(asked.q, words, total)}</p>
      {hits.length === 0 ? <Empty>{nothing(asked.q, words)}</Empty> : <ul class="plain-list log-list">{hits.map((hit) => <HitLine key={hit.id} hit={hit} words={words} />)}</ul>}
      {pages > 1 && (
        <nav aria-label="Pages" class="button-row">
          {page > 1 && <ButtonLink href={to(page - 1)}>Newer</ButtonLink>}
          <span class="quiet">Page {page} of {pages}</span>
          {page < pages && <ButtonLink href={to(page + 1)}>Older</ButtonLink>}
        </nav>
      )}
    </Layout>
  )
}

function said(q: string, words: readonly string[], total: number): string {
  if (words.length === 0) return q.trim() === '' ? `${plural(total, 'line')}, newest first.` : ''
  return `${plural(total, 'line')} with ${words.map((w) => `“${w}…”`).join(' and ')}, newest first.`
}

function nothing(q: string, words: readonly string[]): string {
  if (q.trim() === '') return 'Nothing is written down there yet.'
  if (words.length === 0) return 'Signs alone can’t be looked for: type a word, or its beginning.'
  return 'Nothing found. Fewer words find more, and the beginning of a word is enough.'
}

const placeOf = (hit: Hit): string =>
  hit.kind === 'snag' ? `/builds/${hit.buildId}/snags/${hit.id}` : hit.kind === 'photo' ? `${photoUrl(hit.buildId, hit.id)}/about` : `/builds/${hit.buildId}/log/${hit.id}`

function HitLine({ hit, words }: { hit: Hit; words: readonly string[] }) {
  return (
    <li class="log-hit">
      {hit.photoId !== null && <img src={`${photoUrl(hit.buildId, hit.photoId)}/small`} width="96" height="96" alt="" loading="lazy" />}
      <div>
        <p class="log-head">
          <a href={placeOf(hit)}>{hit.build}, <DayOf at={hit.at} /></a> <Tag>{hit.kind === 'snag' ? `snag ${hit.no}` : KIND_WORDS[hit.kind].toLowerCase()}</Tag> <span class="quiet">{hit.by}</span>
        </p>
        <p class="log-text">{marked(excerpt(hit.text, words), words).map(({ text, isHit }, n) => (isHit ? <mark key={n}>{text}</mark> : text))}</p>
      </div>
    </li>
  )
}
