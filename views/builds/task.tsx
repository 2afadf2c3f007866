import { Button, ButtonLink, ButtonRow, Caution, DefinitionRows, ErrorSummary, Form, NumberField, Sheet, Swatch, TapForm, usePage, When } from '../shared/index.ts'
import { amountRange } from '../shared/format.ts'
import { BuildLayout } from './_head.tsx'
import { CoatSheet } from './_task-coat.tsx'
import { HoursSheet } from './_task-hours.tsx'
import { LinksSheet } from './_task-links.tsx'
import { PinsSheet } from './_task-pins.tsx'
import { SnagsSheet } from './_task-snags.tsx'
import { StoresSheet } from './_task-stores.tsx'
import { refusedFor, type TaskPageProps } from './task-props.ts'
import { dayWords, hoursMin, STAGE_WORD, swatchOf } from './words.ts'

export function TaskPage(props: TaskPageProps) {
  const { build, task, state, sent } = props
  const page = usePage()
  const mayLog = page.may('builds.log')
  const mayEdit = page.may('builds.edit')
  const at = `/builds/${build.id}/tasks/${task.id}`
  return (
    <BuildLayout build={build} title={task.name} live={[`build:${build.id}`]}>
      <p class="state"><Swatch state={swatchOf({ ...state, isWindowOpen: state.state === 'ready' && state.window !== null })}>{state.word}</Swatch> {state.why}</p>
      {sent?.form === 'task' && <ErrorSummary refusal={sent.refusal} />}
      <Cautions {...props} />
      {mayLog && <QuickRow {...props} at={at} />}
      <StoresSheet {...props} at={at} mayLog={mayLog} mayEdit={mayEdit} />
      <StepsSheet {...props} at={at} mayLog={mayLog} />
      <CoatSheet {...props} at={at} mayLog={mayLog} />
      <HoursSheet {...props} at={at} mayLog={mayLog} />
      <SnagsSheet {...props} mayLog={mayLog} />
      <LinksSheet {...props} at={at} mayEdit={mayEdit} mayLog={mayLog} />
      <PinsSheet {...props} at={at} mayEdit={mayEdit} />
      <Facts {...props} />
      {mayEdit && (
        <Sheet title="Change it">
          <ButtonRow>
            <ButtonLink href={`${at}/edit`}>Edit</ButtonLink>
            <ButtonLink href={`${at}/split`}>Split in two</ButtonLink>
            <ButtonLink href={`/builds/${build.id}/tasks/new?after=${task.id}`}>Add a task after it</ButtonLink>
            <TapForm action={`${at}/move`} fields={{ to: 'up' }}>Move up</TapForm>
            <TapForm action={`${at}/move`} fields={{ to: 'down' }}>Move down</TapForm>
            {props.logs.length === 0 && props.stores.entries.length === 0 && !task.isFinished && <TapForm action={`${at}/delete`} kind="care" about={task.name}>Delete</TapForm>}
          </ButtonRow>
        </Sheet>
      )}
    </BuildLayout>
  )
}

/** Safety where the work is, each said once. */
function Cautions({ task, coat, build, steps }: TaskPageProps) {
  if (task.isFinished && coat === null) return null
  const machines = task.tools.flatMap((t) => (t.competence === null ? [] : [t.competence]))
  const minors = build.team.filter((m) => m.isMinor && m.isActive).map((m) => m.name)
  const hazard = task.product?.hazard ?? ''
  const said = [
    task.caution,
    sameWarning(hazard, task.caution) ? '' : hazard,
    task.dusty && !/dust/i.test(task.caution) ? 'Dust harms: extractor on, a mask that fits and filters it; never dry-sand film that is not cured.' : '',
    machines.length > 0 && !/machine/i.test(task.caution) ? `Only people checked on ${machines.join(' and ')} work with it, guards on.` : '',
    minors.length > 0 && (task.product !== null || machines.length > 0 || task.dusty) ? `${minors.join(', ')} ${minors.length === 1 ? 'is' : 'are'} under age: not without the supervision that local rules ask for, and not with uncured resin, solvents or machines.` : '',
    ...steps.map((s) => s.caution),
  ].filter((t, i, all) => t !== '' && all.indexOf(t) === i)
  if (said.length === 0) return null
  return <Caution>{said.map((t) => <p key={t}>{t}</p>)}</Caution>
}

/** A list's caution and a product's often say the same, in other words after the first few. */
const sameWarning = (a: string, b: string) => a !== '' && a.slice(0, 24) === b.slice(0, 24)

/** The two taps: hours, finished, and what is left. */
function QuickRow({ task, at, sent, state }: TaskPageProps & { at: string }) {
  return (
    <Sheet title="Log">
      {sent?.form === 'finish' && <ErrorSummary refusal={sent.refusal} />}
      <ButtonRow>
        {[['0.5', '½ h'], ['1', '1 h'], ['2', '2 h']].map(([hours, text]) => (
          <TapForm key={hours} action={`${at}/hours`} fields={{ hours: hours! }} about="by me until now">{text}</TapForm>
        ))}
        {task.isFinished ? <TapForm action={`${at}/reopen`} about={task.name}>Reopen</TapForm> : <TapForm action={`${at}/finish`} kind="main" about={task.name}>{task.isLaunch ? 'Launched' : 'Finished'}</TapForm>}
      </ButtonRow>
      <p class="quiet">The hours count as yours, until now. For others or another time, see “Hours” below.</p>
      {!task.isFinished && (
        <Form action={`${at}/left`} layout="row" {...refusedFor(sent, 'left')} label="Work left">
          <NumberField name="left" label="Work left, as you see it" value={task.statedLeftMin === null ? '' : hoursMin(state.leftMin)} unit="h" hint={`Reckoned: ${hoursMin(state.leftMin)}`} />
          <Button kind="plain">Say so</Button>
        </Form>
      )}
      {task.isFinished && task.finishedBy !== null && <p>Finished {state.finishedAt !== null && <When at={state.finishedAt} />}, marked by {task.finishedBy}.</p>}
    </Sheet>
  )
}

function StepsSheet({ steps, at, mayLog, sent, task }: TaskPageProps & { at: string; mayLog: boolean }) {
  if (steps.length === 0) return null
  return (
    <Sheet title="Checklist">
      <div id="steps" />
      {sent?.form === 'steps' && <ErrorSummary refusal={sent.refusal} />}
      <ul class="plain-list">
        {steps.map((s) => (
          <li key={s.id}>
            {mayLog && (
              <TapForm action={`${at}/steps/${s.id}`} fields={{ ticked: s.tickedAt === null ? 'yes' : 'no' }} pressed={s.tickedAt !== null} about={s.text}>
                {s.tickedAt === null ? 'Tick' : 'Ticked'}
              </TapForm>
            )}
            <span>{s.text}{s.tickedAt !== null && <span class="quiet"> ({s.tickedBy}, <When at={s.tickedAt} />)</span>}</span>
          </li>
        ))}
      </ul>
      {task.note !== '' && <p>{task.note}</p>}
    </Sheet>
  )
}

function Facts({ build, task, steps, state }: TaskPageProps) {
  const { club } = usePage()
  const range = `${hoursMin(task.workLowMin)} – ${hoursMin(task.workLikelyMin)} – ${hoursMin(task.workHighMin)}`
  const gate = [
    task.minAir !== null && `air at least ${task.minAir} °C`, task.maxAir !== null && `air at most ${task.maxAir} °C`, task.maxHumidity !== null && `humidity at most ${task.maxHumidity} %`,
    task.dewPointMargin !== null && `surface ${task.dewPointMargin} °C above dew point`,
  ].filter(Boolean)
  return (
    <Sheet title="What it takes">
      {task.note !== '' && steps.length === 0 && <p>{task.note}</p>}
      <DefinitionRows
        rows={[
          ['Phase', task.phase],
          ['Work', `${range} ${task.kind === 'shared' ? 'of hands' : task.kind === 'together' ? 'with everybody at once' : 'by itself'} (low, likely, high)`],
          ['Left', state.state === 'done' ? null : hoursMin(state.leftMin)],
          ['Hands', task.kind === 'unattended' ? 'none' : task.handsFrom === task.handsTo ? String(task.handsTo) : `${task.handsFrom} to ${task.handsTo}`],
          ['Pieces', task.kind === 'unattended' ? null : task.smallestMin === null ? 'in one go' : `of ${hoursMin(task.smallestMin)} or more`],
          ['Set-up, clear-up', task.setUpMin + task.clearUpMin === 0 ? null : `${task.setUpMin} and ${task.clearUpMin} min for each piece`],
          ['Where', task.portable ? 'anywhere' : task.places.length > 0 ? task.places.map((p) => p.name).join(', ') : 'where she stands'],
          ['Tools', task.tools.map((t) => `${t.count > 1 ? `${t.count} × ` : ''}${t.name}${t.heldUntil === null ? '' : ` (kept: ${STAGE_WORD[t.heldUntil].toLowerCase()})`}`).join(', ')],
          ['Checked on', [...new Set([...task.competences, ...task.tools.flatMap((t) => t.competence ?? [])])].join(', ')],
          ['Cures', task.product && <a href={`/stores/cure-products/${task.product.id}`}>{task.product.name}</a>],
          ['Dust', task.dusty ? 'makes dust' : null],
          ['Conditions', gate.join(', ')],
          ['Not before', task.releaseOn === null ? null : dayWords(task.releaseOn, club?.locale ?? 'en-GB')],
        ]}
      />
      {task.materials.length > 0 && (
        <ul>
          {task.materials.map((m) => (
            <li key={m.id}>
              {m.name}: {amountRange(m, club)}{m.rule !== '' && <span class="quiet"> ({m.rule})</span>}
              {m.line !== null && <> <a href={`/builds/${build.id}/estimate#line-${m.line}`}>Its line of the estimate<span class="hidden">: {m.name}</span></a></>}
              {m.ruleKey === 'ply' && <span class="quiet">; by area, and <a href={`/builds/${build.id}/layout`}>the layout</a> says how many whole sheets that is</span>}
            </li>
          ))}
        </ul>
      )}
    </Sheet>
  )
}

