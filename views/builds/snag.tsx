import type { ReworkFormModel, SnagPageModel } from '../../src/features/builds/snags/queries/snag-page.ts'
import { Button, ButtonLink, ButtonRow, Caution, CheckField, DateField, DefinitionRows, ErrorSummary, Field, FieldGroup, Form, NumberField, SelectField, Sheet, Swatch, TapForm, TextArea, usePage, When, type FormRefusal, type Typed } from '../shared/index.ts'
import { BuildLayout } from './_head.tsx'
import { Photos } from './_photos.tsx'
import { Entry } from './log.tsx'
import { BAD_WORDS, sinceWords, STATE_SWATCH, STATE_WORDS, stateOf } from './snag-words.ts'
import { dayWords } from './words.ts'

type Sent = { form: string; refusal: FormRefusal; typed: Typed }
export type SnagProps = SnagPageModel & { sent?: Sent | undefined }

export function SnagPage(props: SnagProps) {
  const { build, snag, entries, sent, rework } = props
  const page = usePage()
  const at = `/builds/${build.id}/snags/${snag.id}`
  const mayLog = page.may('builds.log')
  return (
    <BuildLayout build={build} title={snag.what} more={[{ href: `/builds/${build.id}/snags`, text: 'Snags' }]} live={[`build:${build.id}`]}>
      {sent?.form === 'withdraw' && <ErrorSummary refusal={sent.refusal} />}
      <About {...props} />
      <Photos buildId={build.id} photos={snag.photos} />
      {mayLog && (
        <ButtonRow>
          <ButtonLink href={`${at}/edit`}>Change what it says</ButtonLink>
          <ButtonLink href={`/builds/${build.id}/log?snag=${snag.id}`}>Add a note or photo</ButtonLink>
          {snag.closedOn !== null && <TapForm action={`${at}/reopen`} about={`snag ${snag.no}`}>Open again</TapForm>}
        </ButtonRow>
      )}
      <Usual {...props} />
      {rework && page.may('builds.edit') && <MakeRework {...props} rework={rework} at={at} />}
      {snag.closedOn === null && mayLog && <Close {...props} at={at} />}
      {entries.length > 0 && <Sheet title="In her log"><ul class="plain-list log-list">{entries.map((e) => <Entry key={e.id} buildId={build.id} entry={e} />)}</ul></Sheet>}
      {mayLog && (page.member?.id === snag.foundById || page.may('builds.edit')) && snag.rework === null && (
        <Sheet title="Take it back">
          <p>Where it was none, or stands here twice. Its number stays used.</p>
          <TapForm action={`${at}/withdraw`} kind="care" about={`snag ${snag.no}`}>Take it back</TapForm>
        </Sheet>
      )}
    </BuildLayout>
  )
}

function About({ build, snag, today }: SnagProps) {
  const locale = usePage().club?.locale ?? 'en-GB'
  const state = stateOf(snag)
  return (
    <DefinitionRows
      rows={[
        ['Snag', String(snag.no)],
        ['State', <><Swatch state={STATE_SWATCH[state]}>{STATE_WORDS[state]}</Swatch>{snag.closedOn !== null && ` ${dayWords(snag.closedOn, locale)}`}{snag.closedNote !== '' && `: ${snag.closedNote}`}</>],
        ['Where', snag.whereAt],
        ['How bad', BAD_WORDS[snag.bad]],
        ['Found', `${dayWords(snag.foundOn, locale)} by ${snag.foundBy}${snag.closedOn === null ? ` (${sinceWords(snag, today) === 'today' ? 'today' : `${sinceWords(snag, today)} ago`})` : ''}`],
        ['At', snag.taskId && <a href={`/builds/${build.id}/tasks/${snag.taskId}`}>{snag.taskName}</a>],
        ['Rework', snag.rework && <><a href={`/builds/${build.id}/tasks/${snag.rework.taskId}`}>{snag.rework.name}</a>{snag.rework.finishedAt === null ? ': finishing it closes the snag' : <>, finished <When at={snag.rework.finishedAt} as="day" /></>}</>],
      ]}
    />
  )
}

/** How such a fault is usually mended, with the caution where it can hurt. */
function Usual({ fault, minors, snag }: SnagProps) {
  if (fault === null || snag.closedOn !== null) return null
  return (
    <Sheet title={`${fault.name}, as it is usually mended`}>
      <p class="quiet">Looks like: {fault.looks}.</p>
      <ol>{fault.steps.map((s) => <li key={s}>{s}</li>)}</ol>
      {fault.afterCure.length > 0 && <><p>Once the resin can be sanded:</p><ol start={fault.steps.length + 1}>{fault.afterCure.map((s) => <li key={s}>{s}</li>)}</ol></>}
      {fault.alsoTakes.length > 0 && <p>Takes besides: {fault.alsoTakes.join(', ')}.</p>}
      <Caution><p>{fault.caution}</p><p>{minors}</p></Caution>
      <p class="quiet">Common practice, no source: what the data sheet of her resin says comes first.</p>
    </Sheet>
  )
}

function MakeRework({ build, snag, rework, sent, at, minors }: SnagProps & { rework: ReworkFormModel; at: string }) {
  const { values: v } = rework
  const own = sent?.form === 'rework' ? { refusal: sent.refusal, typed: sent.typed } : {}
  const near = rework.tasks.filter((t) => t.isNear)
  const far = rework.tasks.filter((t) => !t.isNear)
  const box = (t: (typeof near)[number]) => <CheckField key={t.id} name="before" value={t.id} label={t.name} checked={rework.before.includes(t.id)} />
  return (
    <Sheet title="Make it rework">
      <p>It becomes work in the plan{rework.phase === null ? '' : `, in “${rework.phase}”`}{snag.taskName === null ? '' : `, after “${snag.taskName}”`}, and what is ticked below waits for it.</p>
      <Form action={`${at}/rework`} {...own}>
        <Field name="name" label="Name" value={v.name} maxLength={100} size="full" />
        <NumberField name="low" label="Hours of hands, low" value={v.low} unit="h" />
        <NumberField name="likely" label="Likely" value={v.likely} unit="h" />
        <NumberField name="high" label="High" value={v.high} unit="h" />
        <NumberField name="handsFrom" label="Hands, from" value={v.handsFrom} whole />
        <NumberField name="handsTo" label="Hands, to" value={v.handsTo} whole />
        <SelectField name="productId" label="What cures in it" value={v.productId} blank="nothing" options={rework.products.map((p) => ({ value: p.id, label: p.name }))} />
        <TextArea name="steps" label="Steps, one a line" value={v.steps} rows={Math.max(3, v.steps.split('\n').length + 1)} />
        <TextArea name="afterCure" label="Steps once it can be sanded, one a line" value={v.afterCure} rows={3} hint="A task of their own after the cure. Empty: none" />
        <CheckField name="dusty" label="Its first steps make dust" checked={v.dusty} hint="Sanding after the cure is taken as dusty anyway" />
        <FieldGroup legend="These wait for it" name="before" hint={waitHint(snag.bad, rework.hasLaunch, rework.before.length)}>
          {near.map(box)}
          {far.length > 0 && <details><summary>Others of her open tasks ({far.length})</summary>{far.map(box)}</details>}
        </FieldGroup>
        {snag.kind === null && <Caution><p>Cured resin, glass and ply make dust that harms: extractor on, a P3 mask that fits. Uncured resin sensitises: gloves, fresh air. Blush is washed off with water before sanding. Two-pack paint with isocyanates only with the protection its data sheet asks for.</p><p>{minors}</p></Caution>}
        <Button>Put it into the plan of {build.name}</Button>
      </Form>
    </Sheet>
  )
}

function waitHint(bad: SnagProps['snag']['bad'], hasLaunch: boolean, ticked: number): string {
  if (bad === 'looks') return 'It only shows, so nothing has to wait; tick what should'
  if (bad === 'before_launch') return hasLaunch ? 'The launch waits for it; tick what else should' : 'She has no launch task yet: tick what must not begin before it is mended'
  if (bad === 'stop') return 'All that is open in this phase waits; untick what can go on'
  return ticked === 0 ? 'Nothing is known to come over it: tick what does' : 'What comes over it, as her links have it; change it where they don’t know'
}

function Close({ snag, today, sent, at }: SnagProps & { at: string }) {
  const own = sent?.form === 'close' ? { refusal: sent.refusal, typed: sent.typed } : {}
  return (
    <Sheet title="Close it without rework">
      <Form action={`${at}/close`} {...own}>
        <Field name="note" label="How" size="full" maxLength={500} hint="“mended while fairing”, “left as it is: under the seat nobody sees it”" />
        <DateField name="on" label="On" value={today} max={today} min={snag.foundOn} />
        <Button kind="plain">Close snag {snag.no}</Button>
      </Form>
    </Sheet>
  )
}
