import type { LogLine } from '../../src/features/builds/log/queries/log.ts'
import type { LogPageModel } from '../../src/features/builds/log/queries/log-page.ts'
import { Button, ButtonLink, CheckField, DateField, Empty, Field, FileField, Form, plural, RadioRow, SelectField, Sheet, Tag, TextArea, timeWords, usePage, useTimes, type FormRefusal, type Typed } from '../shared/index.ts'
import { DayOf } from './_day.tsx'
import { BuildLayout } from './_head.tsx'
import { Photos } from './_photos.tsx'
import { CONSENT, FOR_GUESTS, FOR_GUESTS_HINT, KIND_WORDS, KINDS_OF_ENTRY } from './log-words.ts'

export type LogProps = LogPageModel & { refusal?: FormRefusal | undefined; typed?: Typed | undefined }

export function LogPage(props: LogProps) {
  const { build, entries, count, page, pages, kind } = props
  const { may } = usePage()
  const at = `/builds/${build.id}/log`
  return (
    <BuildLayout build={build} title={`Log of ${build.name}`} live={[`build:${build.id}`]}>
      {may('builds.log') && <AddEntry {...props} />}
      <Form action="/log" method="get" layout="row" hidden={{ build: build.id }} label="Search her log">
        <Field name="q" type="search" label="Look for words in her log" maxLength={200} />
        <Button kind="plain">Search</Button>
      </Form>
      <p class="log-kinds">
        {[null, ...KINDS_OF_ENTRY.map((k) => k.value)].map((k) => (
          <a key={k ?? 'all'} href={k === null ? at : `${at}?kind=${k}`} aria-current={k === kind ? 'true' : undefined}>{k === null ? 'All' : `${KIND_WORDS[k]}s`}</a>
        ))}
        <span class="quiet">{plural(count, 'entry', 'entries')}</span>
      </p>
      {entries.length === 0 ? <Empty>{kind === null ? 'Nothing is written down yet. A line a session is enough: what was done, what went wrong, what was decided.' : `No ${kind} yet.`}</Empty> : <Entries buildId={build.id} entries={entries} />}
      {pages > 1 && (
        <nav aria-label="Pages" class="button-row">
          {page > 1 && <ButtonLink href={`${at}?${kind ? `kind=${kind}&` : ''}page=${page - 1}`}>Newer</ButtonLink>}
          <span class="quiet">Page {page} of {pages}</span>
          {page < pages && <ButtonLink href={`${at}?${kind ? `kind=${kind}&` : ''}page=${page + 1}`}>Older</ButtonLink>}
        </nav>
      )}
    </BuildLayout>
  )
}

/** One field, photos, a button; the rest is folded away until it is wanted. */
function AddEntry({ build, tasks, today, about, refusal, typed }: LogProps) {
  const opened = refusal !== undefined && Object.keys(refusal.fields ?? {}).some((f) => f !== 'text' && f !== 'photos')
  return (
    <Sheet title="Write it down">
      {about.snag && <p>About snag {about.snag.no}: {about.snag.what}.</p>}
      <Form action={`/builds/${build.id}/log`} files refusal={refusal} typed={typed} hidden={about.snag ? { snag: about.snag.id } : {}}>
        <TextArea name="text" label="What happened" rows={2} />
        <FileField name="photos" label="Photos" several hint={CONSENT} />
        <details open={opened || about.task !== null}>
          <summary>A lesson, a decision, another day, a task, guests</summary>
          <RadioRow name="kind" legend="It is a" value="note" options={KINDS_OF_ENTRY} />
          <DateField name="day" label="When" value={today} max={today} />
          <SelectField name="task" label="About" value={about.task} blank="nothing in particular" options={tasks.map((t) => ({ value: t.id, label: t.name, group: t.phase.name }))} />
          <CheckField name="forGuests" label={FOR_GUESTS} hint={FOR_GUESTS_HINT} />
        </details>
        <Button>Write it down</Button>
      </Form>
    </Sheet>
  )
}

function Entries({ buildId, entries }: { buildId: string; entries: readonly LogLine[] }) {
  const { club, now } = usePage()
  const times = timeWords(club, now)
  const monthOf = (e: LogLine) => times.localDate(e.at).slice(0, 7)
  const months = [...new Set(entries.map(monthOf))]
  return (
    <>
      {months.map((month) => (
        <section key={month} aria-labelledby={`m${month}`}>
          <h2 id={`m${month}`}>{monthWords(month, club?.locale ?? 'en-GB')}</h2>
          <ul class="plain-list log-list">
            {entries.filter((e) => monthOf(e) === month).map((e) => <Entry key={e.id} buildId={buildId} entry={e} />)}
          </ul>
        </section>
      ))}
    </>
  )
}

const monthWords = (month: string, locale: string): string =>
  new Intl.DateTimeFormat(locale, { month: 'long', year: 'numeric', timeZone: 'UTC' }).format(new Date(`${month}-15T12:00:00Z`))

/** One entry with its photos; its writer can correct it. */
export function Entry({ buildId, entry: e }: { buildId: string; entry: LogLine }) {
  const page = usePage()
  const times = useTimes()
  const isOwn = page.member?.id === e.byId
  return (
    <li id={`entry-${e.id}`}>
      <p class="log-head">
        <DayOf at={e.at} /> {e.kind !== 'note' && <Tag>{KIND_WORDS[e.kind].toLowerCase()}</Tag>} <span class="quiet">{e.by}</span>
        {e.taskId !== null && <> · <a href={`/builds/${buildId}/tasks/${e.taskId}`}>{e.taskName}</a></>}
        {e.snagId !== null && <> · <a href={`/builds/${buildId}/snags/${e.snagId}`}>Snag {e.snagNo}</a></>}
        {(isOwn || page.may('builds.edit')) && page.may('builds.log') && (
          <> · <a href={`/builds/${buildId}/log/${e.id}`}>{isOwn ? 'Correct' : 'Take back'}<span class="hidden"> the entry of {times.date(e.at)}</span></a></>
        )}
      </p>
      <p class="log-text">{e.text}</p>
      <Photos buildId={buildId} photos={e.photos} />
    </li>
  )
}
