import { GuestLayout } from './guest-layout.tsx'

/** A link that opens nothing, and what to do about it. `back`: where the link itself still opens. */
export function GuestGone({ title, text, back }: { title: string; text: string; back?: string | undefined }) {
  return (
    <GuestLayout title={title}>
      <p>{text}</p>
      {back !== undefined && <p><a href={back}>Back to the boat</a></p>}
    </GuestLayout>
  )
}
