import type { SitePage, SiteRow } from '../../src/features/sessions/queries/workshop.ts'
import { Breadcrumb, Button, CheckField, Field, FieldGroup, Form, Layout, NumberField, RadioRow, SelectField, Table, useField, usePage, type FormRefusal, type Typed } from '../shared/index.ts'
import { unitsOf } from '../shared/format.ts'
import { choices, MONTHS } from './words.ts'

export type Preset = { key: string; name: string; about: string }
export type NewPlaceProps = { sites: SiteRow[]; fields: Record<string, string>; presets: readonly Preset[]; preset: string; refusal?: FormRefusal; typed?: Typed }

export function NewPlaceView({ sites, fields, presets, preset, refusal, typed }: NewPlaceProps) {
  return (
    <Layout title="Add a place" section="workshop" above={<Breadcrumb items={[{ href: '/workshop', text: 'Workshop' }]} />}>
      <p>Start from what is most like it; every figure can be changed.</p>
      <ul class="plain-list">
        {presets.map((p) => (
          <li key={p.key}><a href={`/workshop/places/new?like=${p.key}`} aria-current={p.key === preset ? 'true' : undefined}>{p.name}</a> <span class="muted">{p.about}</span></li>
        ))}
      </ul>
      <PlaceForm action="/workshop/places/new" sites={sites} fields={fields} refusal={refusal} typed={typed} />
    </Layout>
  )
}

export type PlaceFormProps = { action: string; sites: SiteRow[]; fields: Record<string, string>; version?: number; isEdit?: boolean; refusal?: FormRefusal | undefined; typed?: Typed | undefined }

export function PlaceForm({ action, sites, fields, version, isEdit = false, refusal, typed }: PlaceFormProps) {
  const { club } = usePage()
  const { unit } = unitsOf(club?.units ?? 'metric').temperature
  return (
    <Form action={action} version={version} refusal={refusal} typed={typed} label="The place">
      <Field name="name" label="Name" value={fields['name']} maxLength={120} hint="Such as “Main floor” or “Paint tent”" />
      <SelectField name="siteId" label="Site" value={fields['siteId']} options={choices(sites)} />
      <NumberField name="bays" label="Bays" value={fields['bays']} whole hint="Slots for whole boats; 0 when none fits" />
      <NumberField name="settle" label="Dust settles in" value={fields['settle']} unit="h" hint="So long after dusty work no coat is started here" />
      <FieldGroup legend="Temperatures without heating" hint="Monthly means of the air inside and of the dew point. The presets are from memory, for a start: the club’s own figures and readings are better.">
        <Table
          caption={`Monthly means, ${unit}`}
          quietCaption
          rows={MONTHS.map((month, i) => ({ month, n: i + 1 }))}
          rowKey={(r) => r.month}
          columns={[
            { key: 'month', heading: 'Month', cell: (r) => r.month },
            { key: 'air', heading: `Air, ${unit}`, cell: (r) => <Cell name={`air${r.n}`} label={`Air in ${r.month}, ${unit}`} value={fields[`air${r.n}`]} /> },
            { key: 'dew', heading: `Dew point, ${unit}`, cell: (r) => <Cell name={`dew${r.n}`} label={`Dew point in ${r.month}, ${unit}`} value={fields[`dew${r.n}`]} /> },
          ]}
        />
        <NumberField name="halfSwing" label="Warmer in the afternoon, colder at night by" value={fields['halfSwing']} unit={unit} hint="Half of the day’s swing: warmest at 15:00, coldest at 03:00" />
      </FieldGroup>
      <FieldGroup legend="Heating">
        <NumberField name="heatTo" label="Heated to at least" value={fields['heatTo']} unit={unit} hint="From before a session to its end; empty: not heated" />
        <NumberField name="heatBefore" label="Heating goes on before a session" value={fields['heatBefore']} unit="h" />
      </FieldGroup>
      {isEdit && <CheckField name="isRetired" label="Given up: nothing is planned here any more" checked={fields['isRetired'] === 'on'} />}
      <Button>{isEdit ? 'Save' : 'Add the place'}</Button>
    </Form>
  )
}

/** A field in a table: the row and column name it, its message stands under it. */
function Cell({ name, label, value }: { name: string; label: string; value: string | undefined }) {
  const field = useField(name)
  return (
    <>
      <input id={field.id} name={name} class="input input-short" type="text" inputMode="decimal" autoComplete="off" value={field.value(value)} aria-label={label} aria-invalid={field.invalid} aria-describedby={field.describedBy(false)} />
      {field.error && <p class="field-error" id={`${field.id}-error`}>{field.error}</p>}
      {field.stored !== undefined && <p class="field-stored" id={`${field.id}-stored`}>Stored meanwhile: <b>{field.stored}</b></p>}
    </>
  )
}

export type SiteProps = SitePage & { refusal?: FormRefusal; typed?: Typed }

export function SiteView({ site, members, refusal, typed }: SiteProps) {
  return (
    <Layout title={site ? site.name : 'Add a site'} section="workshop" above={<Breadcrumb items={[{ href: '/workshop', text: 'Workshop' }]} />}>
      <Form action={site ? `/workshop/sites/${site.id}` : '/workshop/sites/new'} refusal={refusal} typed={typed}>
        <Field name="name" label="Name" value={site?.name} maxLength={120} />
        <RadioRow name="kind" legend="What it is" value={site?.kind ?? 'club'} options={[{ value: 'club', label: 'The club’s' }, { value: 'home', label: 'A member’s home' }]} hint="At a home, own hours need no keyholder" />
        <SelectField name="memberId" label="Whose home" value={site?.memberId} options={choices(members)} blank="Not a home" />
        <Button>Save</Button>
      </Form>
    </Layout>
  )
}
