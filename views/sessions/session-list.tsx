import type { SessionLine, SessionList } from '../../src/features/sessions/queries/sessions.ts'
import { ButtonLink, Empty, Layout, Notice, plural, Sheet, Span, TapForm, usePage } from '../shared/index.ts'
import { AnswerTaps, AnswerWords } from './answer.tsx'
import { dateText, everyWords, shownTime, WEEKDAYS } from './words.ts'

export function SessionListView({ sessions, past, series, hasSites }: SessionList) {
  const page = usePage()
  const mayEdit = page.may('sessions.edit')
  const ending = series.filter((s) => s.isEnding)
  return (
    <Layout title="Sessions" live={sessions.map((s) => `session:${s.id}`)}>
      {mayEdit && ending.length > 0 && (
        <Notice title="Soon no more sessions to answer for">
          {ending.map((s) => <p key={s.id}>{s.name} is entered only until {dateText(s.untilOn, page.club?.locale)}: <a href={`/sessions/series/${s.id}`}>enter more</a>.</p>)}
        </Notice>
      )}
      <div class="button-row">
        {mayEdit && hasSites && <ButtonLink href="/sessions/new" kind="main">Enter sessions</ButtonLink>}
        <ButtonLink href="/my-times">My usual times</ButtonLink>
      </div>
      <Sheet title="Coming sessions">
        {sessions.length === 0 && <Empty>{hasSites ? 'No session is entered yet. Work is planned only for hours that somebody is there.' : 'There is no site yet: an officer adds one under Workshop.'}</Empty>}
        <ul class="plain-list">{sessions.map((s) => <Line key={s.id} session={s} />)}</ul>
      </Sheet>
      {past.length > 0 && (
        <Sheet title="The last sessions">
          <ul class="plain-list">
            {past.map((s) => (
              <li key={s.id}>
                <a href={`/sessions/${s.id}`}>{dateText(s.date, page.club?.locale)}, {s.starts}–{shownTime(s.ends)}</a>
                {s.title && ` · ${s.title}`}: {s.state === 'closed' ? `closed out${s.here > 0 ? `, ${plural(s.here, 'person', 'people')} ticked as here` : ''}` : s.state === 'cancelled' ? 'called off' : <>not closed out{mayEdit && <> · <a href={`/sessions/${s.id}/close-out`}>close it out</a></>}</>}
              </li>
            ))}
          </ul>
        </Sheet>
      )}
      {series.length > 0 && (
        <Sheet title="Weekly sessions">
          <ul class="plain-list">
            {series.map((s) => (
              <li key={s.id}>
                <a href={`/sessions/series/${s.id}`}>{s.name}</a>: {WEEKDAYS[s.weekday - 1]} {s.starts}–{shownTime(s.ends)}, {everyWords(s.everyWeeks)}, entered until {dateText(s.untilOn, page.club?.locale)}
                {s.goesOn ? ' and assumed to go on' : ', then it ends'}
              </li>
            ))}
          </ul>
        </Sheet>
      )}
    </Layout>
  )
}

function Line({ session: s }: { session: SessionLine }) {
  const page = usePage()
  const about = `${dateText(s.date, page.club?.locale)} ${s.starts}`
  const holdsKeys = page.member?.roles.some((role) => role === 'keyholder' || role === 'officer') ?? false
  return (
    <li id={`s-${s.id}`}>
      <h3><a href={`/sessions/${s.id}`}><Span from={s.start} to={s.end} /></a>{s.title && ` · ${s.title}`}</h3>
      {s.state === 'cancelled' ? (
        <p><b>Called off.</b> {s.note}</p>
      ) : s.state === 'closed' ? (
        <p>Closed out.</p>
      ) : (
        <div class="line-split">
          <div>
            <p>
              {s.siteName} · {s.keyholderName ? `key: ${s.keyholderName}` : 'nobody has the key yet'} · {s.keyless ? <b>no keyholder there: nobody’s hours count</b> : `${plural(s.counted, 'person', 'people')} counted on`}
            </p>
            <p class="muted">You: <AnswerWords mine={s.mine} hours={s.myHours} session={s} keyless={s.keyless} hasKey={s.keyholderId === page.member?.id} /></p>
          </div>
          <div>
            <AnswerTaps sessionId={s.id} about={about} starts={s.starts} ends={shownTime(s.ends)} mine={s.mine} back="list" />
            {holdsKeys && !s.keyholderId && <TapForm action={`/sessions/${s.id}/key`} fields={{ key: 'take', back: 'list' }} about={about}>I take the key</TapForm>}
          </div>
        </div>
      )}
    </li>
  )
}
