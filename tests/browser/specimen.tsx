import type { FastifyInstance } from 'fastify'
import { z } from 'zod'
import type { Feature } from '../../src/app/features.ts'
import { refused, write, type Refusal, type Typed } from '../../src/platform/write.ts'
import * as parts from '../../views/shared/index.ts'
import { SpecimenCharts } from './specimen-charts.tsx'

const { Board, Breadcrumb, Button, ButtonLink, ButtonRow, Caution, CheckField, DateField, DefinitionRows, Empty, Field, FieldGroup, Form, Layout, Notice } = parts
const { NumberField, PrintSheet, Progress, RadioRow, SelectField, Sheet, Span, Swatch, Table, Tag, TapForm, TextArea, TickBox, TimeField, When } = parts

type Props = { refusal?: Refusal; typed?: Typed }

const STATES = ['waiting', 'ready', 'under-way', 'curing', 'open', 'missed', 'paused', 'done'] as const
const TASKS = [
  { id: 'a', name: 'Sheathe bottom, port', state: 'curing', why: 'until about Sun 02:30, when its window opens', left: 0 },
  { id: 'b', name: 'First fill coat', state: 'open', why: 'opens 02:30, shuts Sun 14:00', left: 60 },
  { id: 'c', name: 'Turn her over', state: 'waiting', why: 'for six people at once; four come on Saturday', left: 45 },
] as const

/** Every part once, with words as a club would read them. */
export function Specimen({ refusal, typed }: Props) {
  const noon = new Date('2026-05-30T12:00:00Z')
  return (
    <Layout title="Specimen of parts" section="builds" live={['plan']} above={<Breadcrumb items={[{ href: '/builds', text: 'Builds' }, { href: '/builds/x', text: 'Nightjar' }]} />}>
      <p>Coats, hands and hours: <When at={noon} />, <Span from={noon} to={new Date('2026-05-30T14:30:00Z')} />, over midnight <Span from={noon} to={new Date('2026-05-31T01:30:00Z')} />.</p>
      <Board>
        <Sheet title="States" actions={<ButtonLink href="/builds">All builds</ButtonLink>}>
          <ul class="plain-list">{STATES.map((state) => <li key={state}><Swatch state={state} /></li>)}</ul>
          <p><Tag>pinned</Tag> <Tag>projected</Tag></p>
        </Sheet>
        <Sheet title="Nightjar">
          <Progress share={0.305}>61 of 200 h earned, two weeks behind; 3 h a week more makes it good</Progress>
          <DefinitionRows rows={[['Launch', <When at={noon} as="day" />], ['Kept in', 'Main floor, bay 2'], ['Team', 'Ann, Ben and Cleo'], ['Left out', null]]} />
          <ButtonRow><TapForm action="/specimen" kind="main" about="for Sat 30 May">I’m coming</TapForm><TapForm action="/specimen" pressed>Not this time</TapForm></ButtonRow>
        </Sheet>
      </Board>
      <Notice title="A quiet word">The router comes on Tuesday; what needs it is planned from Wednesday on.</Notice>
      <Notice kind="good">Nothing waits for hands this week.</Notice>
      <Notice kind="care" title="The window shuts at 21:00">Somebody has to be here by 20:00, or she is washed and sanded before the next coat.</Notice>
      <Caution>Uncured epoxy sensitises skin: gloves on, sleeves down, no solvents on hands.</Caution>
      <Empty action={<ButtonLink href="/builds/new" kind="main">Start a build</ButtonLink>}>No build yet. Start one from a standard job list, with your measurements.</Empty>
      <Sheet title="Tasks">
        <Table
          caption="What can be worked on"
          rows={TASKS}
          rowKey={(task) => task.id}
          columns={[
            { key: 'task', heading: 'Task', cell: (task) => <a href="/builds">{task.name}</a> },
            { key: 'state', heading: 'State', cell: (task) => <Swatch state={task.state} /> },
            { key: 'why', heading: 'Why', cell: (task) => task.why },
            { key: 'left', heading: 'Work left', numeric: true, cell: (task) => parts.duration(task.left) },
          ]}
        />
      </Sheet>
      <SpecimenCharts />
      <Sheet title="Log a coat">
        <Form action="/specimen" refusal={refusal} typed={typed} version={3}>
          <Field name="name" label="Name of the coat" value="First fill coat" required />
          <FieldGroup legend="Started and finished" hint="As the clock on the wall had it.">
            <div class="form-row"><DateField name="day" label="Day" value="2026-05-30" /><TimeField name="start" label="Start" value="14:00" /><TimeField name="end" label="End" value="15:10" /></div>
          </FieldGroup>
          <NumberField name="mixed" label="Mixed" unit="g" value={650} hint="Resin and hardener together." />
          <SelectField name="product" label="Cure product" blank="Choose one" value="b" options={[{ value: 'a', label: 'Slow hardener' }, { value: 'b', label: 'Fast hardener', group: 'For the cold' }]} />
          <RadioRow name="thumb" legend="Thumbnail test" value="sticky" options={[{ value: 'wet', label: 'wet' }, { value: 'sticky', label: 'clean but sticky' }, { value: 'hard', label: 'hard' }]} />
          <CheckField name="weave" label="The weave is full" checked hint="No shiny pools, no dry spots." />
          <TextArea name="note" label="Note" required={false} value="Cold in the corner by the door." />
          <ButtonRow><Button>Save</Button><Button kind="care" name="what" value="remove">Take it out</Button><ButtonLink href="/builds">Leave it</ButtonLink></ButtonRow>
        </Form>
      </Sheet>
      <PrintSheet foot="Waste resin stands in sand, outside, until it is cold.">
        <h2>Session sheet</h2>
        <ul class="plain-list"><li><TickBox />Fill coat on Nightjar: Ann, Ben</li><li><TickBox />Shed locked</li></ul>
      </PrintSheet>
    </Layout>
  )
}

const SpecimenForm = z.object({ name: z.string().min(1, 'Give the coat a name.'), mixed: z.coerce.number('Mixed is a number of grams, such as 650.') })

/** A feature that only the test app has. `stale` as a name shows what a stale page gets. */
export const specimenFeature: Feature = {
  name: 'specimen',
  policy: { specimen: { who: 'public' } },
  routes: async (app: FastifyInstance) => {
    app.get('/specimen', { config: { may: 'specimen' } }, (_req, reply) => reply.view<Props>(Specimen, {}))
    app.post('/specimen', { config: { may: 'specimen' } }, (req, reply) =>
      write(req, reply, {
        schema: SpecimenForm,
        run: async (_tx, _ctx, input) =>
          input.name === 'stale'
            ? refused(409, 'Ben changed this coat meanwhile.', { current: { name: 'Second fill coat', mixed: 700, product: 'a', thumb: 'hard' } })
            : { ok: true, value: { location: '/specimen', flash: `${input.name} is logged: ${input.mixed} g.` } },
        refused: (refusal, typed) => reply.view(Specimen, { refusal, typed }, { status: refusal.status }),
      }),
    )
  },
}
