import type { CloseOutPage as Data } from '../../src/features/planning/queries/close-out.ts'
import type { SheetPiece } from '../../src/features/planning/queries/sheet.ts'
import { Breadcrumb, Button, ButtonLink, Caution, CheckField, Field, FieldGroup, Form, Layout, Notice, RadioRow, Sheet, Swatch, TextArea, TimeField, type FormRefusal, type Typed } from '../shared/index.ts'
import { Films } from './films.tsx'
import { sentenceCase } from './pieces.tsx'
import { useWords } from './use-words.ts'
import { buildName, duration, personName, taskName, type Words } from './words.ts'

export type CloseOutProps = Data & { refusal?: FormRefusal; typed?: Typed }

/** The last page of a session: its pieces, what still cures, the shed; saved in one go. */
export function CloseOutPage(data: CloseOutProps) {
  const w = useWords(data.names)
  const { session, closed } = data
  const title = `Close out ${w.times.dayTime(session.start)}–${w.times.timeOr(session.end, session.start)}`
  return (
    <Layout title={title} section="sessions" above={<Breadcrumb items={[{ href: '/sessions', text: 'Sessions' }, { href: `/sessions/${session.id}`, text: 'This session' }]} />}>
      {closed ? <Closed data={data} w={w} /> : <Open data={data} w={w} />}
    </Layout>
  )
}

function Closed({ data: { closed, session }, w }: { data: Data; w: Words }) {
  if (!closed) return null
  return (
    <Notice kind="good" title="Closed out">
      <p>
        {closed.by ?? 'Somebody'} closed it out {w.times.dayTime(Math.floor(closed.at.getTime() / 60_000))}. Shed {closed.shedLocked ? 'locked' : 'not ticked as locked'}; waste {closed.wasteSafe ? 'dealt with' : 'not ticked as dealt with'}.
        {closed.note && ` “${closed.note}”`}
      </p>
      <p>Hours that were forgotten can still be logged on their tasks. <a href={`/sessions/${session.id}/sheet`}>The sheet of the session</a></p>
    </Notice>
  )
}

function Open({ data, w }: { data: CloseOutProps; w: Words }) {
  const { session, pieces } = data
  if (session.start > w.times.now) return <Notice><p>This session has not begun yet. <a href={`/sessions/${session.id}/sheet`}>Its sheet</a></p></Notice>
  const { curing } = data
  return (
    <>
      {session.end > w.times.now && <Notice><p>The session goes on until {w.times.time(session.end)}; once closed out, what is not done is planned anew.</p></Notice>}
      <Form action={`/sessions/${session.id}/close-out`} refusal={data.refusal} typed={data.typed} label="Close-out">
        {pieces.length === 0 && <p>Nothing was planned for this session. Work that was done can be logged on its task.</p>}
        {pieces.map((p, at) => <PieceFields key={p.pieceId} at={at} piece={p} data={data} w={w} />)}
        {curing.length > 0 && (
          <Sheet title="What still cures">
            <Films films={curing} w={w} />
          </Sheet>
        )}
        <Sheet title="Before you go">
          <Caution>
            <ul>
              <li>Mixed resin left in a pot heats itself and can burn: leftovers outside on bare ground until cold, never in the bin.</li>
              <li>Rags with oil or varnish, and sanding dust with resin or hardener in it, can catch fire by themselves: rags spread flat outside or under water in a lidded metal bin, dust out of the shed.</li>
            </ul>
          </Caution>
          <CheckField name="wasteSafe" label="Waste dealt with: pots, rags, dust" />
          <CheckField name="shedLocked" label="Heaters and tools off, shed locked" />
          <TextArea name="note" label="Note" required={false} rows={2} hint="What ran out, what broke, who sees to what" />
        </Sheet>
        <Button kind="main">Close out</Button>
      </Form>
      <p><ButtonLink href="/builds">Something else was done: log it on its task</ButtonLink></p>
    </>
  )
}

function PieceFields({ at, piece, data, w }: { at: number; piece: SheetPiece; data: Data; w: Words }) {
  const name = (field: string) => `p${at}_${field}`
  const isWash = piece.taskId.startsWith('wash:')
  const state = data.states.get(piece.task.id)
  const title = `${buildName(w, piece.buildId)}: ${sentenceCase(taskName(w, piece.taskId))}`
  if (!isWash && state?.state === 'done') return <Sheet title={title}><p><Swatch state="done">Done, and logged.</Swatch></p></Sheet>
  const isLogged = data.logged.has(piece.taskId)
  const time = (t: number) => (isLogged ? '' : w.times.time(t))
  const isCoat = piece.task.product !== null && !isWash
  const unattended = piece.task.kind === 'unattended'
  const there = piece.people.filter((id) => data.here.length === 0 || data.here.includes(id))
  const shown = data.members.filter((m) => piece.people.includes(m.id) || data.here.includes(m.id) || data.comers.some((c) => c.memberId === m.id))
  return (
    <Sheet title={title}>
      <input type="hidden" name={name('task')} value={piece.taskId} />
      <input type="hidden" name={name('build')} value={piece.buildId} />
      <RadioRow
        name={name('state')} legend="How did it go?"
        options={[{ value: 'done', label: 'Done' }, { value: 'part', label: 'In part' }, { value: 'not', label: 'Not done' }]}
      />
      {!unattended && (
        <>
          <div class="form-row">
            <TimeField name={name('from')} label={isCoat ? 'On from' : 'From'} value={time(piece.start)} {...(isLogged ? { hint: 'Hours are logged already: leave empty, or add more' } : isCoat ? { hint: 'First stroke: the film cures from its real times' } : {})} />
            <TimeField name={name('to')} label={isCoat ? 'to' : 'To'} value={time(piece.end)} />
            <Field name={name('left')} label="If in part: work left" size="short" value="" hint={leftHint(data, piece)} required={false} />
          </div>
          <FieldGroup legend="Who" name={name('people')}>
            <div class="tick-row">{shown.map((m) => <CheckField key={m.id} name={name('people')} value={m.id} label={personName(w, m.id)} checked={!isLogged && there.includes(m.id)} />)}</div>
          </FieldGroup>
        </>
      )}
    </Sheet>
  )
}

/** What the books have left now, before this session's hours. */
function leftHint(data: Data, piece: SheetPiece): string {
  if (piece.taskId.startsWith('wash:')) return 'Left empty for a wash: its hours count'
  const left = data.left.get(piece.task.id)
  const unit = piece.task.kind === 'together' ? 'hours all together' : 'hours of one pair of hands'
  return left === undefined ? `In ${unit}, 1.5 or 1:30` : `In ${unit}; before today ${duration(left)}`
}
