import type { CompetenceLine } from '../../src/features/members/queries/members.ts'
import { Breadcrumb, Button, Caution, CheckField, Field, Form, Layout, list, NumberField, Sheet, Tag, TextArea, usePage, type FormRefusal, type Typed } from '../shared/index.ts'
import { heldWords } from './words.ts'

/** `form`: which of the page's forms was refused, "new" or the id of a competence. */
export type CompetencesProps = { competences: CompetenceLine[]; today: string; form?: string; refusal?: FormRefusal; typed?: Typed }

export function CompetencesView({ competences, today, form, refusal, typed }: CompetencesProps) {
  const mayEdit = usePage().may('members.edit')
  return (
    <Layout title="Competences" above={<Breadcrumb items={[{ href: '/members', text: 'Members' }]} />}>
      <p>What somebody must have been checked on before they do a task or use a tool. “Supervised” works beside somebody with the full check.</p>
      <Caution defers="The machine’s instructions, the club’s rules and local law come first.">
        A check here is a note of what a competent person has seen. It replaces no instruction at the machine.
      </Caution>
      {competences.map((c) => (
        <Sheet key={c.id} title={<>{c.name} {!c.isActive && <Tag>given up</Tag>}</>}>
          {c.note && <p>{c.note}</p>}
          <p>{c.refreshYears === null ? 'A check has no end.' : `A check is good for ${c.refreshYears} ${c.refreshYears === 1 ? 'year' : 'years'}.`}{c.tools.length > 0 && ` Asked for by: ${list(c.tools)}.`}</p>
          <p>{c.holders.length === 0 ? 'Nobody holds it: tasks that ask for it can’t be planned.' : list(c.holders.map((h) => heldWords(h, today)))}</p>
          {mayEdit && (
            <details open={form === c.id}>
              <summary>Change</summary>
              <Form action={`/competences/${c.id}`} refusal={form === c.id ? refusal : undefined} typed={form === c.id ? typed : undefined}>
                <Fields competence={c} />
                <CheckField name="isActive" label="In use" checked={c.isActive} />
                <Button>Save</Button>
              </Form>
            </details>
          )}
        </Sheet>
      ))}
      {mayEdit && (
        <Sheet title="Add one">
          <Form action="/competences" refusal={form === 'new' ? refusal : undefined} typed={form === 'new' ? typed : undefined}>
            <Fields />
            <Button>Add</Button>
          </Form>
        </Sheet>
      )}
    </Layout>
  )
}

function Fields({ competence }: { competence?: CompetenceLine }) {
  return (
    <>
      <Field name="name" label="Name" value={competence?.name} required />
      <TextArea name="note" label="What is checked" value={competence?.note} required={false} rows={2} />
      <NumberField name="refreshYears" label="Good for" unit="years" whole value={competence?.refreshYears} required={false} hint="Empty: no end" />
    </>
  )
}
