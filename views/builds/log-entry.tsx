import type { EntryPageModel } from '../../src/features/builds/log/queries/log-page.ts'
import { Button, ButtonLink, DateField, Form, RadioRow, SelectField, Sheet, TapForm, TextArea, usePage, type FormRefusal, type Typed } from '../shared/index.ts'
import { BuildLayout } from './_head.tsx'
import { Entry } from './log.tsx'
import { KINDS_OF_ENTRY } from './log-words.ts'

export type EntryProps = EntryPageModel & { refusal?: FormRefusal | undefined; typed?: Typed | undefined }

/** Correcting an entry, or taking it back. */
export function EntryPage({ build, entry, day, today, tasks, refusal, typed }: EntryProps) {
  const page = usePage()
  const isOwn = page.member?.id === entry.byId
  const at = `/builds/${build.id}/log/${entry.id}`
  return (
    <BuildLayout build={build} title="An entry of her log" more={[{ href: `/builds/${build.id}/log`, text: 'Log' }]}>
      <ul class="plain-list log-list"><Entry buildId={build.id} entry={entry} /></ul>
      {isOwn && (
        <Sheet title="Correct it">
          <Form action={at} version={entry.version} refusal={refusal} typed={typed}>
            <TextArea name="text" label="What happened" value={entry.text} rows={4} />
            <RadioRow name="kind" legend="It is a" value={entry.kind} options={KINDS_OF_ENTRY} />
            <DateField name="day" label="When" value={day} max={today} />
            <SelectField name="task" label="About" value={entry.taskId} blank="nothing in particular" options={tasks.map((t) => ({ value: t.id, label: t.name, group: t.phase.name }))} />
            <Button>Save</Button>
          </Form>
          <p class="quiet">How it read before is kept in the audit trail. Photos are described, or taken out, on their own pages.</p>
        </Sheet>
      )}
      {(isOwn || page.may('builds.edit')) && (
        <Sheet title="Take it back">
          {!isOwn && refusal && <p class="field-error">{refusal.message}</p>}
          <p>It leaves her log. Its words stay in the audit trail{entry.photos.length > 0 ? '; its photos are deleted for good' : ''}.</p>
          <div class="button-row">
            <TapForm action={`${at}/withdraw`} kind="care" about="this entry">Take it back</TapForm>
            <ButtonLink href={`/builds/${build.id}/log`}>Leave it</ButtonLink>
          </div>
        </Sheet>
      )}
    </BuildLayout>
  )
}
