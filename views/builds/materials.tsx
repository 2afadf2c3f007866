import type { MaterialLine, MaterialsPageModel } from '../../src/features/builds/queries/materials-page.ts'
import { Button, ButtonLink, ButtonRow, Empty, Form, format, Notice, plural, SelectField, Sheet, Table, usePage, type FormRefusal, type PageClub, type Typed } from '../shared/index.ts'
import { BuildLayout } from './_head.tsx'
import { storeOptions, USES } from './_store-options.ts'

export type MaterialsProps = MaterialsPageModel & { refusal?: FormRefusal | undefined; typed?: Typed | undefined }

/** What the materials of a build are in the stores, all names at once. */
export function Materials(props: MaterialsProps) {
  const { build, lines, unmixed } = props
  const page = usePage()
  const mayEdit = page.may('builds.edit')
  return (
    <BuildLayout build={build} title="Materials">
      <ButtonRow><ButtonLink href={`/builds/${build.id}/stock`}>Does what is there suffice?</ButtonLink></ButtonRow>
      {lines.length === 0 && <Empty>Her tasks ask for no materials. Add them where the work is: at a task, under “Edit”.</Empty>}
      {unmixed.map((p) => (
        <Notice key={p.id} kind="care">
          What is mixed of “{p.name}” can’t be set aside: nobody has said which resin and hardener it is.{' '}
          {page.may('stores.keep') ? <a href={`/stores/cure-products/${p.id}/system`}>Say so</a> : 'The storekeeper can.'}
        </Notice>
      ))}
      {lines.length > 0 && (mayEdit ? <Tie {...props} /> : <Shown {...props} />)}
      <Sums {...props} />
    </BuildLayout>
  )
}

function Tie({ build, lines, stores, refusal, typed }: MaterialsProps) {
  const { club } = usePage()
  return (
    <Sheet title="What they are in the stores">
      {stores.items.length === 0 && <Notice>The <a href="/stores">stores</a> have no items yet: the storekeeper puts in the usual ones to begin with.</Notice>}
      <p>What is tied to the stores is set aside for her, and the plan says when it runs short. “Mixed” is shared out between resin and hardener by the ratio of the task’s cure product.</p>
      <Form action={`/builds/${build.id}/materials`} refusal={refusal} typed={typed} hidden={Object.assign({}, ...lines.map(hiddenOf)) as Record<string, string>}>
        {lines.map((l, i) => (
          <div class="form-row" key={l.name}>
            <SelectField
              name={`from.${i}`} label={l.name} value={l.guess ?? l.from} hint={hintOf(l, club)} {...(l.from === '' ? { blank: 'As it is: her tasks differ' } : {})}
              options={storeOptions(stores, l.from)}
            />
            <SelectField name={`use.${i}`} label={`Stock for ${l.name}`} value={l.from === 'not' ? '' : l.use} {...(l.from === 'not' ? { blank: 'by its kind' } : l.use === '' ? { blank: 'As it is: her tasks differ' } : {})} options={USES} />
          </div>
        ))}
        <Button>Save</Button>
      </Form>
    </Sheet>
  )
}

const hiddenOf = (l: MaterialLine, i: number) => ({ [`name.${i}`]: l.name, [`was.${i}`]: l.from, [`wasUse.${i}`]: l.use })

function hintOf(l: MaterialLine, club: PageClub | null) {
  const sums = l.sums.map((s) => `${format.amount(s.likely, s.unit, club)}${s.unit === 'pcs' ? ' pieces' : ''}`).join(' and ')
  return `${plural(l.tasks, 'task', 'tasks')}${sums === '' ? ', all finished' : `, ${sums} still to come`}${l.guess === null ? '' : '. A guess by its name: look whether it fits'}`
}

function Shown({ lines, stores }: MaterialsProps) {
  const { club } = usePage()
  const words = (from: string) => (from === '' ? 'differs from task to task' : storeOptions(stores, from).find((o) => o.value === from)?.label ?? 'not in the stores')
  return (
    <Sheet title="What they are in the stores">
      <Table
        caption="Materials of her tasks" quietCaption rows={lines} rowKey={(l) => l.name}
        columns={[
          { key: 'name', heading: 'Material', cell: (l) => l.name },
          { key: 'left', heading: 'Still to come', cell: (l) => l.sums.map((s) => format.amountRange(s, club)).join(' and ') || 'nothing' },
          { key: 'from', heading: 'In the stores', cell: (l) => words(l.from) },
        ]}
      />
    </Sheet>
  )
}

function Sums({ items }: MaterialsProps) {
  const { club } = usePage()
  if (items.length === 0) return null
  return (
    <Sheet title="From the stores">
      <Table
        caption="What her tasks take from the stores" quietCaption rows={items} rowKey={(i) => i.itemId} stack
        columns={[
          { key: 'item', heading: 'Item', cell: (i) => <a href={`/stores/items/${i.itemId}`}>{i.name}</a> },
          { key: 'left', heading: 'Still to draw', numeric: true, cell: (i) => format.stockNeed(i.leftMilli, i.unit, club) },
          { key: 'drawn', heading: 'Drawn', numeric: true, cell: (i) => format.stockAmount(i.drawnMilli, i.unit, club) },
        ]}
      />
      <p class="quiet">Still to draw: the likely amounts of tasks that are not finished, less what was drawn for them.</p>
    </Sheet>
  )
}
