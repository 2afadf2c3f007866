import { Breadcrumb, Button, Form, Layout, type FormRefusal, type Typed } from '../shared/index.ts'
import { MemberFields } from './member-fields.tsx'

export type NewMemberProps = { refusal?: FormRefusal; typed?: Typed }

export function NewMemberView({ refusal, typed }: NewMemberProps) {
  return (
    <Layout title="Add a member" above={<Breadcrumb items={[{ href: '/members', text: 'Members' }]} />}>
      <Form action="/members/new" refusal={refusal} typed={typed}>
        <MemberFields />
        <Button>Add</Button>
      </Form>
    </Layout>
  )
}
