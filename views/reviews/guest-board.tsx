import type { GuestBoard, GuestPhoto } from '../../src/features/reviews/guests/model.ts'
import { DefinitionRows, format, list, Progress, Sheet, usePage, useTimes, type TimeWords } from '../shared/index.ts'
import { nextWords, shareWords, stateWords, whenWords } from './guest-words.ts'
import { GuestLayout } from './guest-layout.tsx'

export type GuestBoardProps = GuestBoard & { at: string }

/** Noon of a day lies within it in every zone. */
const noon = (day: string): number => Date.parse(`${day}T12:00:00Z`) / 60_000

/** A boat as her builders show her: how far she is, when she may be launched, what happens next. */
export function GuestBoardPage(props: GuestBoardProps) {
  const { boat, work, launch, next, money, team } = props
  const { club } = usePage()
  const times = useTimes()
  return (
    <GuestLayout title={boat.name}>
      <p class="lead">{[boat.design, stateWords(boat, times)].filter((t) => t !== '').join('. ')}.</p>
      {work !== null && <Progress share={work.share}>{shareWords(work, boat.state, club)}</Progress>}
      {boat.state !== 'launched' && (
        <Sheet title="When will she be launched?">
          {whenWords(boat.state, launch, times).map((text) => <p key={text}>{text}</p>)}
        </Sheet>
      )}
      {next.length > 0 && boat.state === 'active' && (
        <Sheet title="What happens next">
          <ul class="plain-list">
            {next.map((n, at) => <li key={at}>{nextWords(n, times)}</li>)}
          </ul>
        </Sheet>
      )}
      {(team !== null || money !== null) && (
        <Sheet title="About her">
          <DefinitionRows
            rows={[
              ['Built by', team !== null && team.length > 0 ? list(team) : null],
              ['Materials so far', money === null ? null : `${format.money(money.spentCents, club)}${money.budgetCents === null ? '' : ` of about ${format.wholeMoney(money.budgetCents, club)}`}. Hours are never priced.`],
            ]}
          />
        </Sheet>
      )}
      <Photos {...props} />
      <Weeks {...props} times={times} />
      <Snags {...props} times={times} />
      <Log {...props} times={times} />
    </GuestLayout>
  )
}

function Photos({ photos, at, boat }: GuestBoardProps) {
  if (photos.length === 0) return null
  return (
    <Sheet title="Newest photos">
      <ul class="guest-photos">
        {photos.map((p) => <li key={p.id}><Photo photo={p} at={at} boat={boat.name} /></li>)}
      </ul>
    </Sheet>
  )
}

function Photo({ photo: p, at, boat }: { photo: GuestPhoto; at: string; boat: string }) {
  const times = useTimes()
  const day = times.date(noon(p.takenOn))
  return (
    <figure>
      <a href={`${at}/photos/${p.id}/whole`}>
        <img src={`${at}/photos/${p.id}/small`} width={p.width} height={p.height} loading="lazy" alt={p.caption === '' ? `${boat}, ${day}` : p.caption} />
      </a>
      <figcaption>{p.caption !== '' && <>{p.caption} </>}<span class="quiet">{day}</span></figcaption>
    </figure>
  )
}

function Weeks({ weeks, at, times }: GuestBoardProps & { times: TimeWords }) {
  if (weeks.length === 0) return null
  return (
    <Sheet title="Week by week">
      <ul class="guest-weeks">
        {weeks.map((w) => <li key={w.monday}><a href={`${at}/weeks/${w.monday}`}>Week {w.no}</a> <span class="quiet">from {times.date(noon(w.monday))}</span></li>)}
      </ul>
    </Sheet>
  )
}

function Snags({ snags, times }: GuestBoardProps & { times: TimeWords }) {
  if (snags === null) return null
  return (
    <Sheet title="Snags">
      {snags.length === 0 ? <p>None is open.</p> : (
        <>
          <p>Faults that were found and will be put right; every boat has some.</p>
          <ul>{snags.map((s) => <li key={s.no}><b>{s.what}</b>{s.whereAt !== '' && `, ${s.whereAt}`} <span class="quiet">since {times.date(noon(s.since))}</span></li>)}</ul>
        </>
      )}
    </Sheet>
  )
}

const KIND = { note: null, lesson: 'Learnt: ', decision: 'Decided: ' } as const

function Log({ log, times }: GuestBoardProps & { times: TimeWords }) {
  if (log === null || log.length === 0) return null
  return (
    <Sheet title="From her log">
      <ul class="plain-list">
        {log.map((l) => <li key={l.id}><span class="quiet">{times.date(noon(l.on))}{l.by !== null && `, ${l.by}`}</span><br />{KIND[l.kind] !== null && <b>{KIND[l.kind]}</b>}<span class="own-words">{l.text}</span></li>)}
      </ul>
    </Sheet>
  )
}
