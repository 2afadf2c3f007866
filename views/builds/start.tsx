import type { StartFormModel } from '../../src/features/builds/queries/start-form.ts'
import {
  Breadcrumb, Button, ButtonRow, Caution, DefinitionRows, Form, Layout, measurementGroups, Notice, RadioRow, SelectField, Sheet, usePage,
  type FormRefusal, type Typed,
} from '../shared/index.ts'
import { AboutFields, TeamFields } from './_about-fields.tsx'
import { MeasurementField, MeasurementText, useShown } from './_measurements.tsx'
import { storeOptions } from './_store-options.ts'
import { GRADES, SKILLS } from './words.ts'

export type StartProps = { model: StartFormModel; asked: readonly string[]; isReady: boolean; typed?: Typed | undefined; refusal?: FormRefusal | undefined }

export function StartBuildPage({ model, asked, isReady, typed, refusal }: StartProps) {
  const crumbs = <Breadcrumb items={[{ href: '/builds', text: 'Builds' }, { href: '/builds/new', text: 'Start a build' }]} />
  const first = model.measurements.filter((m) => asked.includes(m.key))
  const action = `/builds/new/${model.list.key}`
  return (
    <Layout title={model.list.name} above={crumbs}>
      <p>{model.list.about}</p>
      {isReady ? <Whole model={model} asked={asked} action={action} typed={typed} refusal={refusal} /> : (
        <Sheet title="First: how large is she, and how fine?">
          <Form action={action} method="get" typed={typed} refusal={refusal}>
            {first.map((line) => <MeasurementField key={line.key} line={{ ...line, guessed: false }} />)}
            <RadioRow name="grade" legend="Finish" options={GRADES} value={model.grade} hint="Sets how many coats, and how long fairing takes" />
            <RadioRow name="skill" legend="How practised is her team" options={SKILLS} value={model.skill} hint="Sets how much resin the glass takes, and how much is wasted" />
            <Button>Work out the rest</Button>
          </Form>
          <p>The list was worked out for {model.list.calibratedFor}.</p>
        </Sheet>
      )}
    </Layout>
  )
}

function Whole({ model, asked, action, typed, refusal }: { model: StartFormModel; asked: readonly string[]; action: string; typed?: Typed | undefined; refusal?: FormRefusal | undefined }) {
  const page = usePage()
  const shown = useShown()
  const first = model.measurements.filter((m) => asked.includes(m.key))
  const fixed = Object.fromEntries(first.map((m) => [`m.${m.key}`, shown(m)]))
  const again = new URLSearchParams({ grade: model.grade, skill: model.skill }).toString()
  return (
    <Form action={action} refusal={refusal} typed={typed} hidden={{ ...fixed, grade: model.grade, skill: model.skill, list: model.list.key }}>
      {model.measurements.length > 0 && <Sheet title="Measurements">
        <DefinitionRows
          rows={[
            ...first.map((m) => [m.label, <MeasurementText key={m.key} line={m} />] as const),
            ['Finish', GRADES.find((g) => g.value === model.grade)?.label ?? model.grade],
            ['Her team', SKILLS.find((x) => x.value === model.skill)?.label ?? model.skill],
          ]}
        />
        <p><a href={`${action}?${again}`}>Another length, beam, finish or team</a></p>
        <p>Measure what you can from the plans. Whatever is left as it stands is a guess from length and beam, and can be measured later.</p>
        <MeasurementGroups model={model} asked={asked} wrong={Object.keys(refusal?.fields ?? {})} />
      </Sheet>}
      {model.products.length > 0 && <Sheet title="What the list’s names stand for here">
        <ToolFields model={model} />
        {model.places.map(({ role, chosen }) => (
          <SelectField
            key={role} name={`place.${role}`} label={role === 'bench' ? 'Place for bench work' : 'Place for painting'} value={chosen} blank="Where she stands"
            options={model.choices.places.map((p) => ({ value: p.id, label: p.name }))}
          />
        ))}
        {model.choices.products.length === 0 && <Notice kind="care">The club has no cure products yet: <a href="/stores/cure-products">put in the usual ones</a> first, then come back.</Notice>}
        {model.products.map(({ role, chosen }) => (
          <SelectField
            key={role} name={`product.${role}`} label={PRODUCTS[role]} value={chosen} blank="Choose" required
            options={model.choices.products.map((p) => ({ value: p.id, label: p.name }))}
          />
        ))}
      </Sheet>}
      {model.materials.length > 0 && <MaterialFields model={model} />}
      <Sheet title="Herself">
        <AboutFields values={{ placeId: (model.choices.places.find((p) => p.bays > 0 && p.site.kind === 'club') ?? model.choices.places.find((p) => p.bays > 0) ?? model.choices.places[0])?.id }} choices={model.choices} />
        {model.choices.places.length === 0 && <Notice kind="care">The club has no place yet: <a href="/workshop/places/new">add one</a> first.</Notice>}
        <TeamFields choices={model.choices} team={page.member ? [page.member.id] : []} />
        <ButtonRow><Button>Start her</Button></ButtonRow>
      </Sheet>
    </Form>
  )
}

/** What is measured lies open; what the list decides until somebody chooses can be opened. */
function MeasurementGroups({ model, asked, wrong }: { model: StartFormModel; asked: readonly string[]; wrong: readonly string[] }) {
  const rest = model.measurements.filter((m) => !asked.includes(m.key))
  const groups = (Object.keys(measurementGroups) as (keyof typeof measurementGroups)[])
    .map((key) => ({ key, lines: rest.filter((m) => m.group === key) }))
    .filter((g) => g.lines.length > 0)
  return (
    <>
      {groups.map(({ key, lines }) => {
        const fields = lines.map((line) => <MeasurementField key={line.key} line={line} />)
        if (key === 'size' || key === 'areas') return <>{fields}</>
        return (
          <details key={key} open={lines.some((l) => wrong.includes(`m.${l.key}`))}>
            <summary>{measurementGroups[key]}</summary>
            {key === 'layers' && <Caution defers="The designer’s word comes first.">Ply, glass and tape carry her: ask the designer before you build with others than the plans say.</Caution>}
            {fields}
          </details>
        )
      })}
    </>
  )
}

const PRODUCTS: Record<StartFormModel['products'][number]['role'], string> = {
  epoxy: 'Epoxy for coats, glass and fillets', glue: 'Glue', fairing: 'Fairing compound', primer: 'Primer', topcoat: 'Topcoat', varnish: 'Varnish',
}

/** What her materials are in the stores: then the plan knows when they run short. */
function MaterialFields({ model }: { model: StartFormModel }) {
  return (
    <Sheet title="Her materials in the stores">
      {model.choices.items.length === 0 && <Notice>The <a href="/stores">stores</a> have no items yet. Start her all the same: her materials can be tied to items later, under “Materials”.</Notice>}
      <p>What is tied to the stores is set aside for her, and the plan says when it runs short. Choices are kept for the next build.</p>
      {model.materials.map((m) => (
        <SelectField
          key={m.name} name={`material.${m.name}`} label={`${m.name} (${m.units.map((u) => (u === 'm2' ? 'm²' : u)).join(', ')})`} value={m.chosen}
          options={storeOptions(model.choices, m.chosen)}
        />
      ))}
    </Sheet>
  )
}

function ToolFields({ model }: { model: StartFormModel }) {
  return (
    <>
      {model.tools.map((t) => (
        <SelectField
          key={t.name} name={`tool.${t.name}`} label={t.most > 1 ? `${t.name} (${t.most} at once)` : t.name} value={t.chosen}
          options={[{ value: 'add', label: 'Add to the club’s tools' }, { value: '', label: 'Leave out: nobody queues for it' }, ...model.choices.tools.map((c) => ({ value: c.id, label: `${c.name} (${c.count})` }))]}
        />
      ))}
      {model.competences.map((c) => (
        <SelectField
          key={c.name} name={`competence.${c.name}`} label={`Checked on: ${c.name}`} value={c.chosen}
          options={[{ value: 'add', label: 'Add to the club’s competences' }, { value: '', label: 'Leave out: anybody may' }, ...model.choices.competences.map((x) => ({ value: x.id, label: x.name }))]}
        />
      ))}
    </>
  )
}
