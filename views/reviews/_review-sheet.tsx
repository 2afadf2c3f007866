import type { ComponentChildren } from 'preact'
import type { Review, Shows } from '../../src/features/reviews/model.ts'
import { CRAFT_WORDS } from '../shared/forecast-words.ts'
import { duration, format, hours, list, plural, sentence, Sign, Table, usePage, weekWords } from '../shared/index.ts'
import { CAME_WORDS, reviewWords, stockWords, useWords, weatherWords, type ReviewWords } from './review-words.ts'

export type ReviewSheetProps = {
  /** For guests as `forGuests` left it. */
  review: Review
  shows: Shows
  /** Where a photo's small picture is. */
  photoAt(id: string): string
}
type Part = ReviewSheetProps & { w: ReviewWords }

/** The page of a week: what was meant, what came of it, and what is next. Everything on it is in the review itself, so a signed one stays as it was. */
export function ReviewSheet(props: ReviewSheetProps) {
  const { review, shows } = props
  const { club } = usePage()
  const w = useReviewWords(review)
  const part = { ...props, w }
  return (
    <article class="review">
      <p class="review-week">
        <b>{review.facts.build.name}</b>, her week {review.no} · {weekWords(review.isoWeek)} · {w.day(review.monday)} to {w.day(sundayOf(review.monday))}
        {review.state !== 'signed' && ` · not signed, as of ${w.at(review.facts.asOf)}`}
      </p>
      <p class="lead">{review.shown.headline}</p>
      {review.facts.pause && <p>Paused since {w.day(review.facts.pause.from)}{shows.names && review.facts.pause.note !== '' ? `: ${review.facts.pause.note}` : ''}. Pauses are part of building.</p>}
      <Meant {...part} />
      <Hours {...part} />
      <Slips {...part} />
      <Coats {...part} />
      <Used {...part} club={club} />
      <Sums {...part} club={club} />
      <Snags {...part} />
      <Launch {...part} />
      <Next {...part} club={club} />
      <Photos {...part} />
      <Lessons {...part} />
      {review.state === 'signed' && review.signedAt !== null && <p class="review-signed">Signed{review.signedBy === null ? '' : ` by ${review.signedBy}`} on {w.at(review.signedAt)}.</p>}
    </article>
  )
}

export function useReviewWords(review: Pick<Review, 'monday'>): ReviewWords {
  const { club } = usePage()
  return reviewWords(club ?? { zone: 'UTC', locale: 'en-GB', units: 'metric', currency: 'EUR' }, sundayOf(review.monday).slice(0, 4))
}

const sundayOf = (monday: string): string => new Date(Date.parse(`${monday}T12:00:00Z`) + 6 * 86_400_000).toISOString().slice(0, 10)

function Section({ title, children }: { title: string; children: ComponentChildren }) {
  return (
    <section class="review-part">
      <h2>{title}</h2>
      {children}
    </section>
  )
}

type Row = { key: string; name: string; meantMin: number | null; workedMin: number; came: string; isDone: boolean; ticked: readonly string[] }

function rowsOf({ facts: { meant, done } }: Review): Row[] {
  const doneOf = new Map(done.map((d) => [d.key, d]))
  return [
    ...meant.map((m): Row => ({ ...m, came: CAME_WORDS[m.came], isDone: m.came === 'finished', ticked: doneOf.get(m.key)?.ticked ?? [] })),
    ...done.filter((d) => !d.wasMeant).map((d): Row => ({ ...d, meantMin: null, came: d.isFinished ? 'finished' : d.workedMin > 0 ? 'goes on' : 'a step on', isDone: d.isFinished })),
  ]
}

/** So many steps are named, the rest counted. */
const STEPS = 3

function Meant({ review }: Part) {
  const rows = rowsOf(review)
  const { facts } = review
  if (rows.length === 0) return <Section title="Meant and done"><p>{facts.hasMeant ? 'Nothing was meant for this week, and nothing was logged.' : 'Nothing was logged.'}</p></Section>
  return (
    <Section title="Meant and done">
      {!facts.hasMeant && <p class="muted">No plan was kept of what was meant this week.</p>}
      <Table
        caption="What was meant when the week began, and what was done" quietCaption rows={rows} rowKey={(r) => r.key} stack={false}
        columns={[
          { key: 'name', heading: 'What', cell: (r) => <What row={r} /> },
          { key: 'meant', heading: 'Meant', numeric: true, cell: (r) => (r.meantMin === null ? '–' : hours(r.meantMin)) },
          { key: 'worked', heading: 'Worked', numeric: true, cell: (r) => hours(r.workedMin) },
        ]}
      />
    </Section>
  )
}

/** The task, and what became of it. */
function What({ row }: { row: Row }) {
  const steps = [...row.ticked.slice(0, STEPS), ...(row.ticked.length > STEPS ? [`${row.ticked.length - STEPS} more`] : [])]
  return (
    <>
      {row.name}
      <span class="review-so">{row.isDone && <Sign state="done" />} {row.came}{steps.length > 0 ? `; ticked: ${list(steps)}` : ''}</span>
    </>
  )
}

function Hours({ review: { facts } }: Part) {
  const [meant, worked] = [facts.hours.reduce((n, h) => n + h.meantMin, 0), facts.hours.reduce((n, h) => n + h.workedMin, 0)]
  if (meant === 0 && worked === 0) return null
  const rows = [...facts.hours.map((h) => ({ name: CRAFT_WORDS[h.craft], meantMin: h.meantMin, workedMin: h.workedMin })), { name: 'Together', meantMin: meant, workedMin: worked }]
  return (
    <Section title="Hours by kind of work">
      <Table
        caption="Hours of all hands by kind of work" quietCaption rows={rows} rowKey={(r) => r.name} stack={false}
        columns={[
          { key: 'name', heading: 'Kind', cell: (r) => (r.name === 'Together' ? <b>{r.name}</b> : sentence(r.name).slice(0, -1)) },
          { key: 'meant', heading: 'Meant', numeric: true, cell: (r) => (facts.hasMeant ? hours(r.meantMin) : '–') },
          { key: 'worked', heading: 'Worked', numeric: true, cell: (r) => hours(r.workedMin) },
        ]}
      />
      {facts.availableMin !== null && <p class="muted">Her team could come for {hours(facts.availableMin)}, for all boats together.</p>}
    </Section>
  )
}

function Slips({ review: { shown } }: Part) {
  if (shown.slips.length === 0) return null
  return (
    <Section title="What goes on, and why">
      <ul>
        {shown.slips.map((s) => <li key={s.key}><b>{s.name}</b>: {s.words}{s.leftMin !== null && s.leftMin > 0 ? `; about ${duration(s.leftMin)} to do` : ''}.</li>)}
      </ul>
    </Section>
  )
}

function Coats({ review: { facts }, w }: Part) {
  if (facts.coats.length === 0) return null
  return (
    <Section title="Coats and glue put on">
      <ul>
        {facts.coats.map((c) => (
          <li key={c.taskId}>
            <b>{c.name}</b>: {c.product}, {w.at(c.start)}, in {c.place}{c.window === 'met' ? '; within its window' : c.window === 'missed' ? '; after washing and sanding, its window was missed' : ''}.
          </li>
        ))}
      </ul>
    </Section>
  )
}

type Club = ReturnType<typeof usePage>['club']

function Used({ review: { facts }, club }: Part & { club: Club }) {
  if (facts.used.length === 0) return null
  return (
    <Section title="Goods used">
      <ul>
        {facts.used.map((u) => (
          <li key={u.itemId}>
            <b>{u.item}</b>: {format.stockNeed(u.milli, u.unit, club)}{u.lots.length > 0 ? `, lot ${list(u.lots.map(String))}` : ''}; {useWords(u, club)}{u.tasks.length > 0 ? ` for ${list(u.tasks)}` : ''}.
          </li>
        ))}
      </ul>
    </Section>
  )
}

function Sums({ review: { facts }, shows, club, w }: Part & { club: Club }) {
  const lines = [moneyLine(facts, shows, club), massLine(facts, club, w), earnedLine(facts)].filter((t) => t !== '')
  if (lines.length === 0) return null
  return <Section title="Money, weight and progress"><ul>{lines.map((t) => <li key={t}>{t}</li>)}</ul></Section>
}

function moneyLine({ money }: Review['facts'], shows: Shows, club: Club): string {
  if (money === null || !shows.money) return ''
  const week = money.week === 0 ? 'nothing charged this week' : `${format.money(money.week, club)} charged this week`
  const budget = money.budget === null ? '' : ` of a budget of ${format.wholeMoney(money.budget, club)}`
  const earned = money.earned === null ? '' : `; the work done was to cost ${format.wholeMoney(money.earned, club)}`
  return sentence(`${week}, ${format.money(money.toDate, club)} to date${budget}${earned}`)
}

function massLine({ mass }: Review['facts'], club: Club, w: ReviewWords): string {
  if (mass === null) return ''
  const weighed = mass.weighedG === null || mass.weighedOn === null ? '' : `${format.mass(mass.weighedG, club)} on the scales${mass.inWeek ? ' this week' : ''} (${w.day(mass.weighedOn)})`
  const likely = mass.likelyG === null ? '' : `all of her ${format.mass(Math.round(mass.likelyG / 100) * 100, club)} by the estimate of the agreed plan`
  const target = mass.targetG === null ? '' : `${format.mass(mass.targetG, club)} wanted`
  const said = [weighed, likely, target].filter((t) => t !== '')
  return said.length === 0 ? '' : sentence(said.join('; '))
}

function earnedLine({ earned }: Review['facts']): string {
  if (earned === null) return ''
  const behind = earned.weeksBehind === null ? '' : Math.abs(earned.weeksBehind) < 0.5 ? ', about where the agreed plan has her'
    : `, about ${plural(Math.max(1, Math.round(Math.abs(earned.weeksBehind))), 'week')} ${earned.weeksBehind > 0 ? 'behind' : 'ahead of'} the agreed plan`
  return `${hours(earned.earnedMin)} of ${hours(earned.totalMin)} of her work done (${format.percent(earned.share)})${behind}.`
}

function Snags({ review: { facts }, shows }: Part) {
  if (!shows.snags || (facts.snags.length === 0 && facts.snagsOpen === 0)) return null
  return (
    <Section title="Snags">
      {facts.snags.length > 0 && (
        <ul>
          {facts.snags.map((s) => (
            <li key={s.no}>No. {s.no}, {s.what}{s.whereAt === '' ? '' : ` (${s.whereAt})`}: {s.found && s.mended ? 'found and mended' : s.mended ? 'mended' : s.rework === null ? 'found' : `found; it is mended with “${s.rework}”`}.</li>
          ))}
        </ul>
      )}
      <p>{facts.snagsOpen === 0 ? 'None is open.' : `${plural(facts.snagsOpen, 'snag is', 'snags are')} open.`}</p>
    </Section>
  )
}

function Launch({ review: { facts: { forecast } } }: Part) {
  if (forecast === null) return null
  return (
    <Section title="When will she be launched">
      <p>{sentence(forecast.words)}</p>
      {forecast.why.length > 0 && <ul>{forecast.why.map((t) => <li key={t}>{sentence(t)}</li>)}</ul>}
    </Section>
  )
}

function Next({ review: { facts, edits }, club, w, shows }: Part & { club: Club }) {
  const makeUp = facts.forecast?.makeUp ?? []
  if (facts.next.length === 0 && edits.next === '' && makeUp.length === 0) return null
  const needs = (n: Review['facts']['next'][number]) => [weatherWords(n.weather, club), ...n.stock.map((s) => stockWords(s, club))].filter((t) => t !== '')
  return (
    <Section title="What is next">
      {edits.next !== '' && <p class="own-words">{edits.next}</p>}
      {facts.next.length > 0 && (
        <ol class="review-next">
          {facts.next.map((n) => (
            <li key={`${n.name} ${n.start}`}>
              <b>{n.name}</b>, {n.projected ? w.week(n.start) : w.at(n.start)}{shows.names && n.people.length > 0 ? `, with ${list(n.people)}` : ''}.
              {needs(n).length > 0 && <span class="review-needs"> Needs {needs(n).join('; ')}.</span>}
            </li>
          ))}
        </ol>
      )}
      {makeUp.length > 0 && (
        <>
          <h3>To make up</h3>
          <ul>{makeUp.map((t) => <li key={t}>{sentence(t)}</li>)}</ul>
        </>
      )}
    </Section>
  )
}

function Photos({ review: { shown }, shows, photoAt, w }: Part) {
  if (!shows.photos || shown.photos.length === 0) return null
  return (
    <section class="review-part review-photos" aria-label="Photos of the week">
      {shown.photos.map((p) => (
        <figure key={p.id}>
          {p.isGone ? <p class="muted">This photo was taken out since.</p> : <img src={photoAt(p.id)} width={p.width} height={p.height} alt={p.caption === '' ? `Photo of ${w.day(p.takenOn)}` : p.caption} />}
          <figcaption>{p.caption === '' ? w.day(p.takenOn) : `${p.caption} (${w.day(p.takenOn)})`}</figcaption>
        </figure>
      ))}
    </section>
  )
}

const KINDS = { lesson: 'Lesson', decision: 'Decision', note: '' } as const

function Lessons({ review: { facts, edits }, shows }: Part) {
  const told = facts.log.filter((l) => l.kind !== 'note')
  const notes = facts.log.length - told.length
  if (!shows.log || (told.length === 0 && edits.lessons === '' && notes === 0)) return null
  return (
    <Section title="Lessons and decisions">
      {edits.lessons !== '' && <p class="own-words">{edits.lessons}</p>}
      {told.length > 0 && <ul>{told.map((l) => <li key={l.id}>{KINDS[l.kind]}: {sentence(l.text)}{shows.names && l.by !== '' ? ` (${l.by})` : ''}</li>)}</ul>}
      {notes > 0 && <p class="muted">{plural(notes, 'note')} of the week {notes === 1 ? 'stands' : 'stand'} in her log.</p>}
    </Section>
  )
}
