import type { CostRulePageModel } from '../../src/features/stores/queries/value.ts'
import { Breadcrumb, Button, DateField, Field, Form, format, Layout, RadioRow, Sheet, Table, TimeField, usePage, When, type FormRefusal, type Typed } from '../shared/index.ts'

const RULE = { average: 'weighted average', fifo: 'first in, first out' } as const

/** Which of two formulas says what a draw costs, since when and why. */
export function CostRulePage({ inForce, changes, example, refusal, typed }: CostRulePageModel & { refusal?: FormRefusal | undefined; typed?: Typed | undefined }) {
  const { club } = usePage()
  const money = (cents: number) => format.money(cents, club)
  return (
    <Layout title="Costing rule" above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }, { href: '/stores/charges', text: 'Charges' }]} />}>
      <p>What is drawn is charged by <b>{RULE[inForce]}</b>.</p>
      <Sheet title="What the rules mean">
        <p><b>Weighted average</b>: all stock of an item has one price, the average of what is there; each receipt moves it. Prices that jump are smoothed, and two builds that draw on one day pay the same.</p>
        <p><b>First in, first out</b>: what came first is charged first, at what it cost then; what is left is worth what was paid last. Which can it comes out of does not matter: cans are taken first expired, first out, under either rule.</p>
        <p>
          1 kg was bought at {money(2000)}, then 1 kg at {money(3000)}; 1 kg is drawn. By the average it is charged {money(example.average.out)} and {money(example.average.left)} stay in stock; first in, first out charges
          {' '}{money(example.fifo.out)} and {money(example.fifo.left)} stay. Over the years both charge the same.
        </p>
        <p>A change counts from its moment on. What is booked keeps its cost; returns and reversals go back at the cost they left at. At a change to first in, first out, what is there counts as one receipt; at a change to the average, it is averaged.</p>
      </Sheet>
      <Sheet title="Change it">
        <Form action="/stores/cost-rule" refusal={refusal} typed={typed}>
          <RadioRow name="rule" legend="Charge by" value={inForce === 'average' ? 'fifo' : 'average'} options={[{ value: 'average', label: RULE.average }, { value: 'fifo', label: RULE.fifo }]} />
          <div class="form form-row">
            <DateField name="day" label="From the day" hint="Both empty: from now on" />
            <TimeField name="time" label="at" hint="Empty: from midnight" />
          </div>
          <Field name="why" label="Why" required maxLength={300} size="full" hint="Who decided it, and for what" />
          <Button>Change the rule</Button>
        </Form>
      </Sheet>
      <Sheet title="Changes so far">
        <Table
          caption="The latest first; of one moment, the one entered last counts" rows={changes} rowKey={(c) => c.id} empty="None: weighted average since the book was begun."
          columns={[
            { key: 'from', heading: 'From', cell: (c) => <><When at={c.fromAt} />{c.isToCome && <span class="quiet"> (to come)</span>}</> },
            { key: 'rule', heading: 'Rule', cell: (c) => RULE[c.rule] },
            { key: 'why', heading: 'Why', cell: (c) => c.why },
            { key: 'by', heading: 'By', cell: (c) => c.by },
          ]}
        />
      </Sheet>
    </Layout>
  )
}
