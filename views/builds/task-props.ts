import type { TaskPageModel } from '../../src/features/builds/queries/task-page.ts'
import type { FormRefusal, Typed } from '../shared/index.ts'

export type Sent = { form: string; refusal: FormRefusal; typed: Typed }
export type TaskPageProps = TaskPageModel & { findings: readonly { name: string; label: string; how: string }[]; today: { date: string; time: string }; sent?: Sent | undefined }

/** What a form of this page was refused for, if it was this one. */
export const refusedFor = (sent: Sent | undefined, form: string) => (sent?.form === form ? { refusal: sent.refusal, typed: sent.typed } : {})
