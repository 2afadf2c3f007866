import type { MyAnswer } from '../../src/features/sessions/queries/sessions.ts'
import { Button, Form, list, Span, TapForm, TimeField, useTimes, type FormRefusal, type Typed } from '../shared/index.ts'
import { shownTime } from './words.ts'

export type AnswerProps = {
  sessionId: string
  /** The session in words, for those who hear the page. */
  about: string
  starts: string
  ends: string
  mine: Pick<MyAnswer, 'answer' | 'fromTime' | 'toTime'> | null
  /** For another member. */
  memberId?: string
  back: 'list' | 'page'
  refusal?: FormRefusal | undefined
  typed?: Typed | undefined
}

/** One tap says it; other hours than the whole session take a few more. */
export function AnswerTaps({ sessionId, about, starts, ends, mine, memberId, back, refusal, typed }: AnswerProps) {
  const action = `/sessions/${sessionId}/answer`
  const who: Record<string, string> = { back, ...(memberId && { memberId }) }
  const isWhole = mine?.answer === 'coming' && !mine.fromTime && !mine.toTime
  return (
    <>
      <div class="button-row">
        <TapForm action={action} fields={{ ...who, answer: 'coming' }} about={about} pressed={mine?.answer === 'coming'} kind={isWhole ? 'main' : 'plain'}>{memberId ? 'Comes' : 'I come'}</TapForm>
        <TapForm action={action} fields={{ ...who, answer: 'not_coming' }} about={about} pressed={mine?.answer === 'not_coming'} kind={mine?.answer === 'not_coming' ? 'main' : 'plain'}>{memberId ? 'Does not' : 'I don’t'}</TapForm>
        {mine?.answer && <TapForm action={action} fields={{ ...who, answer: 'clear' }} about={about}>Take back</TapForm>}
      </div>
      <details open={refusal !== undefined}>
        <summary>From when to when</summary>
        <Form action={action} layout="row" hidden={{ ...who, answer: 'coming' }} refusal={refusal} typed={typed} label={`Hours: ${about}`}>
          <TimeField name="fromTime" label="From" value={mine?.fromTime ?? starts} />
          <TimeField name="toTime" label="To" value={mine?.toTime ?? ends} />
          <Button>{memberId ? 'Comes then' : 'I come then'}</Button>
        </Form>
      </details>
    </>
  )
}

export type Hours = readonly { start: number; end: number }[]

/** "10:00–12:30 and 14:00–16:00" */
export function HoursText({ hours }: { hours: Hours }) {
  const times = useTimes()
  if (hours.length === 1) return <Span from={hours[0]!.start} to={hours[0]!.end} day={false} />
  return <>{list(hours.map((h) => `${times.time(h.start)}–${times.time(h.end)}`))}</>
}

export type Said = Pick<MyAnswer, 'answer' | 'fromTime' | 'toTime' | 'cameAt' | 'leftAt'>
export type AnswerWordsProps = { mine: Said | null; hours: Hours; session: { starts: string; ends: string }; /** Nobody with a key is there at any time. */ keyless: boolean; /** This person has its key. */ hasKey?: boolean }

/** What somebody said, and what counts of it. */
export function AnswerWords({ mine, hours, session, keyless, hasKey = false }: AnswerWordsProps) {
  const hasSaid = Boolean(mine?.answer ?? mine?.cameAt)
  const said = mine?.cameAt ? (mine.leftAt ? 'was here' : 'is here') : mine?.answer === 'coming' ? 'comes' : mine?.answer === 'not_coming' ? 'does not come' : 'not answered'
  if (hours.length > 0) return <>{said}{hasSaid ? '' : hasKey ? ': has the key' : ': counts as usual'}, <HoursText hours={hours} /></>
  if (mine?.answer !== 'coming') return <>{said}</>
  const misses = (mine.fromTime ?? session.starts) >= session.ends || (mine.toTime ?? session.ends) <= session.starts
  const why = misses ? `the session is ${session.starts}–${shownTime(session.ends)} now; answer again` : keyless ? 'no keyholder' : 'no keyholder then'
  return <>{said}{mine.fromTime || mine.toTime ? ` ${mine.fromTime ?? session.starts}–${shownTime(mine.toTime ?? session.ends)}` : ''}, not counted: {why}</>
}
