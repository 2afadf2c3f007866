import type { ClubSettings } from '../../src/features/members/queries/club.ts'
import { currencyOptions, localeOptions, UNIT_OPTIONS, zoneOptions } from '../shared/club-choices.ts'
import { unitsOf, type Units } from '../shared/format.ts'
import { Breadcrumb, Button, CheckField, Field, FieldGroup, Form, Layout, NumberField, RadioRow, SelectField, type FormRefusal, type Typed } from '../shared/index.ts'

export type ClubProps = { club: ClubSettings; /** Units of the figures on the page. */ shownIn: Units; refusal?: FormRefusal; typed?: Typed }

export function ClubView({ club, shownIn, refusal, typed }: ClubProps) {
  const { difference } = unitsOf(shownIn)
  const offset = String(Math.round(difference.fromSi(club.surfaceOffset) * 100) / 100)
  const compared = refusal?.current === undefined ? refusal : { ...refusal, current: { ...club, surfaceOffset: offset } }
  return (
    <Layout title="The club’s settings" above={<Breadcrumb items={[{ href: '/members', text: 'Members' }]} />}>
      <Form action="/club" version={club.version} hidden={{ shownIn }} refusal={compared} typed={typed}>
        <FieldGroup legend="The club">
          <Field name="name" label="Name of the club" value={club.name} required />
          <SelectField
            name="zone"
            label="Time zone"
            value={club.zone}
            options={zoneOptions(club.zone)}
            blank="Choose"
            hint="Sessions keep their local times: one at 10:00 is at 10:00 in the new zone. What was logged, and pieces that are pinned, keep their moment"
          />
          <SelectField name="locale" label="Dates and numbers as in" value={club.locale} options={localeOptions()} />
          <RadioRow name="units" legend="Units" value={club.units} options={UNIT_OPTIONS} hint="Only how figures are shown and typed; none of them changes" />
          <SelectField name="currency" label="Currency" value={club.currency} options={currencyOptions()} hint="Amounts are not converted" />
        </FieldGroup>
        <FieldGroup legend="Planning">
          <NumberField
            name="missedWindowDays"
            label="What a missed window costs"
            unit="days"
            whole
            value={club.missedWindowDays}
            hint="Beside the work of washing and sanding: a launch may be so many days later before a recoat window is missed for it. 0 counts the work alone"
          />
          <NumberField
            name="surfaceOffset"
            label="Surface against air"
            unit={difference.unit}
            value={offset}
            hint="Added to the air’s temperature where a coat asks for a surface above dew point; below 0 where hulls are colder than the air. A measured surface is better than any guess"
          />
          <CheckField
            name="countUsual"
            label="Unanswered sessions count as usual attendance"
            checked={club.countUsual}
            hint="Otherwise only answers count in the sessions that are entered. Far ahead, plans go by usual attendance either way"
          />
          <NumberField
            name="planSchedules"
            label="How long the planner tries"
            unit="schedules"
            whole
            value={club.planSchedules}
            hint="Schedules it compares before it shows the best; more take longer and may find a better one. After a few seconds it shows the best so far in any case"
          />
        </FieldGroup>
        <Button>Save</Button>
      </Form>
    </Layout>
  )
}
