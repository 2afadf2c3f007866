import { toChildArray, type ComponentChildren } from 'preact'
import type { BuildHead, PhaseLines, TaskLine } from '../../src/features/builds/queries/build-page.ts'
import { Breadcrumb, Button, ButtonLink, ButtonRow, DefinitionRows, Empty, Field, Form, format, Layout, list, Notice, Progress, sentence, Swatch, Table, Tag, TapForm, usePage, type Column, type FormRefusal, type Typed } from '../shared/index.ts'
import { dayWords, hoursMin, swatchOf } from './words.ts'

export type BuildPageProps = { build: BuildHead; phases: readonly PhaseLines[]; holds: number; snags: number; costCents: number; refusal?: FormRefusal; typed?: Typed; phaseId?: string }

export function BuildPage({ build, phases, holds, snags, costCents, refusal, typed, phaseId }: BuildPageProps) {
  const page = usePage()
  const mayEdit = page.may('builds.edit')
  const tasks = phases.flatMap((p) => p.tasks)
  const done = tasks.filter((t) => t.state === 'done').length
  const at = `/builds/${build.id}`
  return (
    <Layout title={build.name} above={<Breadcrumb items={[{ href: '/builds', text: 'Builds' }]} />} live={[`build:${build.id}`]} wide>
      <Head build={build} costCents={costCents} />
      <Progress share={tasks.length === 0 ? 0 : done / tasks.length}>
        {done} of {tasks.length} tasks done, {hoursMin(tasks.reduce((n, t) => n + t.loggedMin, 0))} logged, about {hoursMin(tasks.reduce((n, t) => n + t.leftMin, 0))} left
      </Progress>
      <Links name="Work">
        <a href={`${at}/plan`}>Work plan</a>
        <a href={`${at}/forecast`}>Forecast</a>
        <a href={`${at}/weeks`}>Weeks</a>
        <a href={`${at}/snags`}>{snags === 0 ? 'Snags' : `Snags (${snags})`}</a>
        <a href={`${at}/log`}>Log</a>
        <a href={`${at}/reviews`}>Week reviews</a>
        <a href={`${at}/progress`}>Progress</a>
      </Links>
      <Links name="About her">
        <a href={`${at}/estimate`}>Estimate</a>
        <a href={`${at}/materials`}>Materials</a>
        <a href={`${at}/holds`}>{holds === 0 ? 'Holds' : `Holds (${holds})`}</a>
        <a href={`${at}/measurements`}>Measurements</a>
        <a href={`${at}/record`}>Record</a>
        {page.may('reviews.share') && <a href={`${at}/guests`}>Guests</a>}
        {mayEdit && <a href={`${at}/team`}>Team</a>}
        {mayEdit && <a href={`${at}/edit`}>Name, place, target</a>}
      </Links>
      <ButtonRow>
        {page.may('builds.log') && <ButtonLink href={`${at}/log`}>Write in her log</ButtonLink>}
        {page.may('builds.log') && <ButtonLink href={`${at}/snags/new`}>Write down a snag</ButtonLink>}
        {mayEdit && <ButtonLink href={`${at}/tasks/new`}>Add a task</ButtonLink>}
        {mayEdit && build.state !== 'launched' && <ButtonLink href={`${at}/pause`}>{build.state === 'paused' ? 'Go on' : 'Pause'}</ButtonLink>}
      </ButtonRow>
      {tasks.length === 0 && <Empty action={mayEdit && <ButtonLink href={`${at}/tasks/new`} kind="main">Add a task</ButtonLink>}>She has no tasks yet.</Empty>}
      {phases.map((p) => <Phase key={p.id} phase={p} build={build} mayEdit={mayEdit} refusal={phaseId === p.id ? refusal : undefined} typed={typed} />)}
    </Layout>
  )
}

/** Pages about her in one short group; each link is its own child, those left out are false. */
function Links({ name, children }: { name: string; children: ComponentChildren }) {
  return (
    <nav class="page-links" aria-label={name}>
      <p aria-hidden="true">{name}</p>
      <ul>{toChildArray(children).map((link, n) => <li key={n}>{link}</li>)}</ul>
    </nav>
  )
}

function Head({ build, costCents }: { build: BuildHead; costCents: number }) {
  const { club, may } = usePage()
  const locale = club?.locale ?? 'en-GB'
  return (
    <>
      {build.state === 'paused' && <Notice title={`Paused${build.pausedOn === null ? '' : ` since ${dayWords(build.pausedOn, locale)}`}`}><p>{build.pauseNote === '' ? 'She rests. Her bay and what she holds stay hers.' : sentence(build.pauseNote)}</p></Notice>}
      {build.state === 'launched' && (
        <Notice kind="good" title="Launched">
          <p>
            Fair winds. Her tasks stay here to look back on; <a href={`/builds/${build.id}/record`}>her record</a> has all of her on paper.
            {build.inServiceOn === null && may('builds.edit') && <> When she is in use, <a href={`/builds/${build.id}/record#service`}>say since which day</a>: some rules count from it.</>}
          </p>
        </Notice>
      )}
      <DefinitionRows
        rows={[
          ['Design', build.design],
          ['Stands in', build.place],
          ['Team', build.team.length === 0 ? 'nobody yet' : list(build.team.map((m) => (m.isMinor ? `${m.name} (minor)` : m.name)))],
          ['Launch target', build.launchTarget === null ? 'none' : dayWords(build.launchTarget, locale)],
          ['Priority', String(build.priority)],
          ['Started', dayWords(build.startedOn, locale)],
          ['Materials so far', may('builds.money') ? <a href={`/builds/${build.id}/costs`}>{format.money(costCents, club)}</a> : null],
          ['Seen by', build.visibility === 'team' ? 'her team and the officers' : null],
        ]}
      />
    </>
  )
}

function Phase({ phase, build, mayEdit, refusal, typed }: { phase: PhaseLines; build: BuildHead; mayEdit: boolean; refusal?: FormRefusal | undefined; typed?: Typed | undefined }) {
  return (
    <details class="phase" open={phase.isOpen || refusal !== undefined}>
      <summary><b>{phase.name}</b> <span class="quiet">{phase.done} of {phase.tasks.length} done</span></summary>
      <Table caption={phase.name} quietCaption rows={phase.tasks} rowKey={(t) => t.id} rowId={(t) => `task-${t.id}`} columns={columns(build.id, mayEdit)} />
      {mayEdit && (
        <Form action={`/builds/${build.id}/phases/${phase.id}`} layout="row" refusal={refusal} typed={refusal && typed}>
          <Field name="name" label={`Name of this phase`} value={phase.name} maxLength={80} />
          <Button kind="plain">Rename</Button>
          <ButtonLink href={`/builds/${build.id}/tasks/new?phase=${phase.id}`}>Add a task to it</ButtonLink>
        </Form>
      )}
    </details>
  )
}

function columns(buildId: string, mayEdit: boolean): Column<TaskLine>[] {
  const at = (t: TaskLine) => `/builds/${buildId}/tasks/${t.id}`
  return [
    {
      key: 'task', heading: 'Task',
      cell: (t) => <><a href={at(t)}>{t.name}</a>{t.isPinned && <> <Tag>pinned</Tag></>}{t.isCoat && <> <Tag>cures</Tag></>}</>,
    },
    {
      key: 'state', heading: 'State and why',
      cell: (t) => <><Swatch state={swatchOf(t)}>{t.word}</Swatch> {t.why}{t.steps > 0 && t.state !== 'done' && t.ticked > 0 ? ` ${t.ticked} of ${t.steps} steps ticked.` : ''}</>,
    },
    {
      key: 'hours', heading: 'Hours',
      cell: (t) => <>{t.loggedMin > 0 ? `${hoursMin(t.loggedMin)} of ` : ''}{hoursMin(t.likelyMin)}<br /><span class="quiet">{handsWords(t)}</span></>,
    },
    ...(mayEdit ? [{ key: 'order', heading: 'Order', cell: (t: TaskLine) => <Order task={t} at={at(t)} /> }] : []),
  ]
}

function handsWords({ handsFrom, handsTo }: TaskLine): string {
  if (handsTo === 0) return 'by itself'
  if (handsFrom !== handsTo) return `${handsFrom}–${handsTo} hands`
  return `${handsTo} ${handsTo === 1 ? 'pair of hands' : 'together'}`
}

function Order({ task: t, at }: { task: TaskLine; at: string }) {
  return (
    <div class="button-row">
      <TapForm action={`${at}/move`} fields={{ to: 'up' }} about={`Move “${t.name}” up`}><span aria-hidden="true">↑</span></TapForm>
      <TapForm action={`${at}/move`} fields={{ to: 'down' }} about={`Move “${t.name}” down`}><span aria-hidden="true">↓</span></TapForm>
    </div>
  )
}
