import type { EditSnagModel, SnagFormModel } from '../../src/features/builds/snags/queries/snag-page.ts'
import type { SnagLine } from '../../src/features/builds/snags/queries/snags.ts'
import { Button, CheckField, DateField, Field, FileField, Form, RadioRow, SelectField, type FormRefusal, type Typed } from '../shared/index.ts'
import { BuildLayout } from './_head.tsx'
import { CONSENT, FOR_GUESTS, FOR_GUESTS_HINT } from './log-words.ts'
import { BAD_OPTIONS } from './snag-words.ts'

type Sent = { refusal?: FormRefusal | undefined; typed?: Typed | undefined }

/** One screen: what, where, how bad, a photo. */
export function NewSnag({ refusal, typed, ...model }: SnagFormModel & Sent) {
  const { build, today, taskId } = model
  const opened = refusal?.fields?.['foundOn'] !== undefined || refusal?.fields?.['taskId'] !== undefined
  return (
    <BuildLayout build={build} title="Write down a snag" more={[{ href: `/builds/${build.id}/snags`, text: 'Snags' }]}>
      <Form action={`/builds/${build.id}/snags/new${taskId === null ? '' : `?task=${taskId}`}`} files refusal={refusal} typed={typed}>
        <What {...model} snag={null} />
        <FileField name="photos" label="Photo" several hint={CONSENT} />
        <details open={opened}>
          <summary>Another day, the task, guests</summary>
          <DateField name="foundOn" label="Found on" value={today} max={today} />
          <AtTask {...model} snag={null} />
          <CheckField name="forGuests" label={FOR_GUESTS} hint={FOR_GUESTS_HINT} />
        </details>
        <Button>Write it down</Button>
      </Form>
    </BuildLayout>
  )
}

export function EditSnag({ refusal, typed, snag, ...model }: EditSnagModel & Sent) {
  const { build, today } = model
  const at = `/builds/${build.id}/snags/${snag.id}`
  return (
    <BuildLayout build={build} title={`Snag ${snag.no}`} more={[{ href: `/builds/${build.id}/snags`, text: 'Snags' }, { href: at, text: snag.what }]}>
      <Form action={`${at}/edit`} version={snag.version} refusal={refusal} typed={typed}>
        <What {...model} snag={snag} />
        <DateField name="foundOn" label="Found on" value={snag.foundOn} max={today} />
        <AtTask {...model} snag={snag} />
        <Button>Save</Button>
      </Form>
    </BuildLayout>
  )
}

type Fields = SnagFormModel & { snag: SnagLine | null }

function What({ faults, snag }: Fields) {
  return (
    <>
      <SelectField name="kind" label="What it is" value={snag?.kind} blank="something else" options={faults.map((f) => ({ value: f.key, label: `${f.name}: ${f.looks}` }))} size="full" />
      <Field name="what" label="In your words" value={snag?.what} maxLength={200} size="full" hint="May stay empty where the list above says it" />
      <Field name="whereAt" label="Where" value={snag?.whereAt} maxLength={200} size="full" hint="Port bow, a hand above the chine, 40 cm from the stem" />
      <RadioRow name="bad" legend="How bad" value={snag?.bad ?? 'before_next'} options={BAD_OPTIONS} />
    </>
  )
}

const AtTask = ({ tasks, taskId, snag }: Fields) => (
  <SelectField name="taskId" label="Found at" value={snag?.taskId ?? taskId} blank="no task in particular" options={tasks.map((t) => ({ value: t.id, label: t.name, group: t.phase.name }))} hint="Its rework comes after that task" />
)
