import { ButtonLink, ButtonRow, Layout, Notice, TapForm, usePage } from '../shared/index.ts'

/** From a mail, signed in or not: one button that stops reminders, and what it says then. */
export function StopView({ stopKey, isDone }: { stopKey: string; isDone: boolean }) {
  const page = usePage()
  const club = page.club?.name ?? 'the club'
  return (
    <Layout title={isDone ? 'No reminders any more' : 'Stop reminders'} section={null}>
      {isDone
        ? <Notice kind="good"><p>{club} sends you no reminders any more. You can tick them again at any time, signed in, under “Me”.</p></Notice>
        : (
          <>
            <p>{club} sends you reminders by mail. One tap, and it sends none any more.</p>
            <TapForm action={`/reminders/stop/${stopKey}`} kind="main">Stop all reminders</TapForm>
          </>
        )}
      {page.member && <ButtonRow><ButtonLink href="/me/reminders">What I am reminded of</ButtonLink></ButtonRow>}
    </Layout>
  )
}
