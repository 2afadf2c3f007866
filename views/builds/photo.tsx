import type { PhotoPageModel } from '../../src/features/builds/log/queries/log-page.ts'
import { Button, CheckField, DateField, DefinitionRows, Field, Form, Sheet, TapForm, usePage, type FormRefusal, type Typed } from '../shared/index.ts'
import { BuildLayout } from './_head.tsx'
import { photoUrl } from './_photos.tsx'
import { FOR_GUESTS_HINT } from './log-words.ts'
import { dayWords } from './words.ts'

export type PhotoProps = PhotoPageModel & { refusal?: FormRefusal | undefined; typed?: Typed | undefined }

export function PhotoPage({ build, photo, by, entry, snag, today, refusal, typed }: PhotoProps) {
  const page = usePage()
  const at = photoUrl(build.id, photo.id)
  const mayChange = page.may('builds.log') && (page.member?.id === photo.byId || page.may('builds.edit'))
  const title = photo.caption === '' ? 'A photo' : photo.caption
  return (
    <BuildLayout build={build} title={title} more={[{ href: `/builds/${build.id}/log`, text: 'Log' }]}>
      <a href={at}><img class="photo-whole" src={at} width={photo.width} height={photo.height} alt={photo.caption === '' ? `Photo of ${dayWords(photo.takenOn, page.club?.locale ?? 'en-GB')}` : photo.caption} /></a>
      <DefinitionRows
        rows={[
          ['Taken', dayWords(photo.takenOn, page.club?.locale ?? 'en-GB')],
          ['Sent by', by],
          ['With', entry && <a href={`/builds/${build.id}/log#entry-${entry.id}`}>{entry.text.length > 90 ? `${entry.text.slice(0, 88)}…` : entry.text}</a>],
          ['Shows', snag && <a href={`/builds/${build.id}/snags/${snag.id}`}>Snag {snag.no}: {snag.what}</a>],
          ['Guests', photo.forGuests ? 'may see it, where their link shows photos' : 'don’t see it'],
        ]}
      />
      {mayChange && (
        <Sheet title="Describe it">
          <Form action={at} refusal={refusal} typed={typed}>
            <Field name="caption" label="Caption" value={photo.caption} maxLength={300} size="full" hint="What it shows, for who can’t see it and who searches" />
            <DateField name="takenOn" label="Taken on" value={photo.takenOn} max={today} />
            <CheckField name="forGuests" label="Guests may see it" checked={photo.forGuests} hint={FOR_GUESTS_HINT} />
            <Button>Save</Button>
          </Form>
          <p>Somebody in it does not want to be? Take it out: it is deleted for good, here and wherever it was shown.</p>
          <TapForm action={`${at}/remove`} kind="care" about="this photo, for good">Take it out</TapForm>
        </Sheet>
      )}
    </BuildLayout>
  )
}
