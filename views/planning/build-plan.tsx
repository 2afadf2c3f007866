import type { BuildPlan } from '../../src/features/planning/queries/build-plan.ts'
import type { PieceView } from '../../src/features/planning/queries/shown.ts'
import { Breadcrumb, ButtonLink, ButtonRow, Empty, ErrorSummary, Layout, Notice, Sheet, Swatch, Table, Tag, TapForm, usePage, type Column, type FormRefusal } from '../shared/index.ts'
import { failureWords } from './failure.ts'
import { launchText } from './launch.ts'
import { logHref, PieceTime, sentenceCase, WindowLine } from './pieces.tsx'
import { useWords } from './use-words.ts'
import { droppedReason, duration, launchDay, missedReason, placeName, reason, sentence, taskName, unplannedReason, whoDoes, type Words } from './words.ts'

/** The plan of one build: its launch and what keeps it there, every piece with its reason, windows, and what can't be planned. */
export function BuildPlanPage(data: BuildPlan & { refusal?: FormRefusal }) {
  const w = useWords(data.names)
  const { build } = data
  return (
    <Layout title={`${build.name}: the plan`} section="builds" wide live={['plan']} above={<Breadcrumb items={[{ href: '/builds', text: 'Builds' }, { href: `/builds/${build.id}`, text: build.name }]} />}>
      <ButtonRow>
        <ButtonLink href={`/builds/${build.id}/forecast`}>Forecast</ButtonLink>
        <ButtonLink href={`/builds/${build.id}/weeks`}>Week by week</ButtonLink>
        <ButtonLink href="/weeks-ahead">All builds, weeks ahead</ButtonLink>
        <ButtonLink href={`/builds/${build.id}/options`}>Compare options</ButtonLink>
      </ButtonRow>
      {data.refusal && <ErrorSummary refusal={{ message: refusedText(data.refusal) }} />}
      {data.failure && <Notice kind="care"><p>{failureWords(w, data.failure)}</p></Notice>}
      {build.state === 'paused' && <Notice><p>She is paused: nothing is planned for her. Her wet films and what she holds still count.</p></Notice>}
      {data.madeAt === null && <Empty action={<ButtonLink href={`/builds/${build.id}/plan`}>Look again</ButtonLink>}>The plan is being worked out.</Empty>}
      {data.madeAt !== null && build.state === 'active' && <Launch data={data} w={w} />}
      {data.dropped.length > 0 && (
        <Notice kind="care" title="Could not stay as it was">
          <ul>{data.dropped.map((d, at) => <li key={at}>{sentence(droppedReason(w, d))}</li>)}</ul>
        </Notice>
      )}
      {data.unplanned.length > 0 && (
        <Sheet title="Can’t be planned yet">
          <p>The rest of the plan stands.</p>
          <ul class="unplanned">{data.unplanned.map((u) => <li key={u.taskId}><b>{sentenceCase(taskName(w, u.taskId))}</b>: {sentence(unplannedReason(w, u.reason))}</li>)}</ul>
        </Sheet>
      )}
      <Windows data={data} w={w} />
      {data.madeAt !== null && <Pieces data={data} w={w} />}
    </Layout>
  )
}

/** The note of a field that this page does not show is said with the message. */
const refusedText = ({ message, fields }: FormRefusal): string => [message, ...Object.values(fields ?? {}).map(sentence)].join(' ')

function Launch({ data, w }: { data: BuildPlan; w: Words }) {
  const { build, launch, lowerBound, late, chain } = data
  const card = { ...build, team: [], placeId: '', onTeam: true }
  return (
    <Sheet title="Launch">
      <p>{sentence(launchText(w, { build: card, launch, lowerBound, late }))}</p>
      {chain.length > 0 && (
        <>
          <h3>What keeps her launch there</h3>
          <p class="muted">Each of these waits for what its line says. Bringing one of them forward is what would launch her sooner.</p>
          <ol class="chain">
            {chain.map((p) => (
              <li key={p.pieceId}>
                <PieceTime w={w} piece={p} withDay /> <b>{sentenceCase(taskName(w, p.taskId))}</b>: {sentence(reason(w, p))}
              </li>
            ))}
            {launch && <li><b>Launch</b> {launchDay(w, launch)}</li>}
          </ol>
        </>
      )}
    </Sheet>
  )
}

function Windows({ data, w }: { data: BuildPlan; w: Words }) {
  if (data.windows.length + data.missed.length === 0) return null
  return (
    <Sheet title="Recoat windows">
      {data.windows.length > 0 && <ul class="windows">{data.windows.map((x) => <WindowLine key={x.linkId} w={w} window={x} withBuild={false} />)}</ul>}
      {data.missed.length > 0 && (
        <>
          <h3>Let go</h3>
          <ul class="windows">{data.missed.map((m) => <li key={m.linkId}><Swatch state="missed">{sentence(missedReason(w, m))}</Swatch></li>)}</ul>
        </>
      )}
    </Sheet>
  )
}

function Pieces({ data, w }: { data: BuildPlan; w: Words }) {
  const page = usePage()
  const chain = new Set(data.chain.map((p) => p.pieceId))
  const columns: Column<PieceView>[] = [
    { key: 'when', heading: 'When', cell: (p) => <PieceTime w={w} piece={p} withDay /> },
    {
      key: 'task', heading: 'Piece', isName: true,
      cell: (p) => <><a href={logHref(w, p)}>{sentenceCase(taskName(w, p.taskId))}</a>{p.fixed === 'pinned' && <> <Tag>pinned</Tag></>}{chain.has(p.pieceId) && <> <Tag>keeps the launch</Tag></>}</>,
    },
    { key: 'who', heading: 'Who', cell: (p) => whoDoes(w, p.people, p.supervisor) },
    { key: 'where', heading: 'Where', cell: (p) => (p.placeId ? placeName(w, p.placeId) : '') },
    { key: 'why', heading: 'Why not earlier', cell: (p) => sentence(reason(w, p)) },
    { key: 'float', heading: 'May slip by', numeric: true, cell: (p) => slack(p.float) },
    ...(page.may('planning.pin') ? [{ key: 'pin', heading: <span class="hidden">Pin</span>, cell: (p: PieceView) => <Pin data={data} w={w} piece={p} /> }] : []),
  ]
  return (
    <Sheet title="Pieces">
      <p class="muted">Pieces that show a week only lie beyond the sessions entered so far: it is assumed that the weekly rhythm goes on. “May slip by” is how far a piece can move without moving the launch.</p>
      <Table caption={`Pieces of ${data.build.name} in order`} quietCaption columns={columns} rows={data.pieces} rowKey={(p) => p.pieceId} empty="Nothing is left to plan for her." />
    </Sheet>
  )
}

function slack(minutes: number): string {
  if (minutes <= 0) return 'nothing'
  return minutes >= 2880 ? `${Math.floor(minutes / 1440)} days` : duration(minutes)
}

/** A pin holds a piece at its time whatever else moves; taken away, the plan is free again. */
function Pin({ data, w, piece }: { data: BuildPlan; w: Words; piece: PieceView }) {
  if (piece.taskId.startsWith('wash:') || piece.projected) return null
  const pin = data.pins.find((p) => p.taskId === piece.taskId && p.start === piece.start)
  const name = taskName(w, piece.taskId)
  if (pin) return <TapForm action={`/builds/${data.build.id}/plan/unpin`} fields={{ pin: pin.id }} about={name}>Unpin</TapForm>
  return <TapForm action={`/builds/${data.build.id}/plan/pin`} fields={{ piece: piece.pieceId }} about={name}>Pin</TapForm>
}
