import type { MailLine, MailState, RemindersPage } from '../../src/features/planning/reminders/queries/page.ts'
import { Breadcrumb, Button, CheckField, Empty, FieldGroup, Form, Layout, Notice, Sheet, TapForm, Table, TimeField, usePage, When, type FormRefusal, type Typed } from '../shared/index.ts'

export type RemindersProps = RemindersPage & { refusal?: FormRefusal; typed?: Typed }

const OFF: Record<Exclude<MailState, 'on'>, string> = {
  'no-mail': 'The service has no mail set up, so none go out yet. Whoever runs it sets SMTP_URL and MAIL_FROM. What you tick here counts from then on.',
  'no-address': 'Mail is set up, but the service doesn’t know its own address for the links, so none go out yet. Whoever runs it sets PUBLIC_URL. What you tick here counts from then on.',
}

/** What a member is reminded of by mail, when not, and what was sent. */
export function RemindersView({ state, address, wish, waiting, sent, refusal, typed }: RemindersProps) {
  return (
    <Layout title="Reminders" section="me" above={<Breadcrumb items={[{ href: '/me', text: 'Me' }]} />}>
      {state !== 'on' && <Notice kind="care"><p>{OFF[state]}</p></Notice>}
      <Sheet title="What I am reminded of">
        <p>By mail to {address ? <b class="mail-address">{address}</b> : 'the address you sign in with'} (<a href="/me">change it</a>). Nothing is sent unless you tick it; every mail has a link that stops them all with one tap.</p>
        <Form action="/me/reminders" version={wish.version} refusal={refusal} typed={typed}>
          <CheckField name="windows" label="My window opens" hint="When a coat that you are planned on may go on, and until when" checked={wish.windows} />
          <CheckField name="sessions" label="A session is tomorrow" hint="At 18:00 the day before, if you said that you come or usually do: time, place, who has the keys, your pieces" checked={wish.sessions} />
          <FieldGroup legend="Quiet hours" name="quiet" hint="What falls into them waits until they are over, if it is still of use then, and else is not sent. Both the same: no quiet hours">
            <TimeField name="quietFrom" label="Quiet from" value={wish.quietFrom} />
            <TimeField name="quietTo" label="Quiet until" value={wish.quietTo} />
          </FieldGroup>
          <Button>Save</Button>
        </Form>
      </Sheet>
      {state === 'on' && (
        <Sheet title="Try it out">
          <p>See whether mails reach you before you rely on them; look among unwanted mail too.</p>
          <TapForm action="/me/reminders/try">Send me one now</TapForm>
        </Sheet>
      )}
      {waiting.length > 0 && (
        <Sheet title="Waiting">
          <Table
            caption="As things stand; when the plan moves, they move with it"
            rows={waiting}
            rowKey={(m) => m.id}
            columns={[
              { key: 'what', heading: 'What', cell: (m) => m.subject },
              { key: 'when', heading: 'Goes', cell: (m) => (m.failure ? `${m.failure}; it is tried again` : <When at={m.sendAt} />) },
            ]}
          />
        </Sheet>
      )}
      <Sheet title="Sent">
        {sent.length === 0
          ? <Empty>Nothing was sent to you yet.</Empty>
          : (
            <Table
              caption="The last ten"
              quietCaption
              rows={sent}
              rowKey={(m) => m.id}
              columns={[
                { key: 'what', heading: 'What', cell: (m) => m.subject },
                { key: 'when', heading: 'When', cell: (m) => <When at={m.markedAt ?? m.sendAt} /> },
                { key: 'how', heading: 'How it went', cell: (m) => <Outcome mail={m} address={address} /> },
              ]}
            />
          )}
      </Sheet>
    </Layout>
  )
}

/** A minute after the mark a mail is either gone or nobody knows. */
const SENDING_MS = 120_000

function Outcome({ mail, address }: { mail: MailLine; address: string | null }) {
  const { now } = usePage()
  if (mail.sentAt) return <>given to the mail server</>
  if (mail.failure) return <span class="mail-address">could not be delivered to {address ?? 'you'}: {mail.failure}</span>
  if (mail.markedAt && now.getTime() - mail.markedAt.getTime() < SENDING_MS) return <>on its way</>
  return <>not sure: the service was interrupted while it was sent, and never sends one twice</>
}
