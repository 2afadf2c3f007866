import type { BuildChoices } from '../../src/features/builds/queries/build-form.ts'
import { CheckField, DateField, Field, FieldGroup, NumberField, RadioRow, SelectField } from '../shared/index.ts'

export type AboutValues = { name?: string; design?: string; placeId?: string; launchTarget?: string; priority?: string; visibility?: string }

export function AboutFields({ values, choices }: { values: AboutValues; choices: BuildChoices }) {
  return (
    <>
      <Field name="name" label="Her name" value={values.name} required maxLength={80} hint="The working name will do" />
      <Field name="design" label="Design" value={values.design} required={false} maxLength={200} hint="Whose plans, which model" size="full" />
      <SelectField
        name="placeId" label="Where she stands" value={values.placeId} required
        options={choices.places.map((p) => ({ value: p.id, label: `${p.name} (${p.site.name}, ${p.bays === 0 ? 'no bays' : p.bays === 1 ? '1 bay' : `${p.bays} bays`})` }))}
      />
      <DateField name="launchTarget" label="Launch target" value={values.launchTarget} required={false} />
      <NumberField name="priority" label="Priority" value={values.priority ?? '1'} hint="1 is usual; 2 weighs twice as much when builds compete for hands and tools" />
      <RadioRow
        name="visibility" legend="Who sees her" value={values.visibility ?? 'club'}
        options={[{ value: 'club', label: 'The club' }, { value: 'team', label: 'Her team and the officers' }]}
      />
    </>
  )
}

export function TeamFields({ choices, team, name = 'team' }: { choices: Pick<BuildChoices, 'members'>; team: readonly string[]; name?: string }) {
  return (
    <FieldGroup legend="Team" name={name} hint="Who works on her. Members who help on any build need not be ticked.">
      {choices.members.map((m) => <CheckField key={m.id} name={name} value={m.id} label={m.isMinor ? `${m.name} (minor)` : m.name} checked={team.includes(m.id)} />)}
    </FieldGroup>
  )
}
