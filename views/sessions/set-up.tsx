import { currencyOptions, localeOptions, UNIT_OPTIONS, zoneOptions } from '../shared/club-choices.ts'
import { Button, CheckField, Field, FieldGroup, Form, Layout, Notice, RadioRow, SelectField, TimeField, type FormRefusal, type Typed } from '../shared/index.ts'

export type SetUpProps = { refusal?: FormRefusal; typed?: Typed }

export function SetUpView({ refusal, typed }: SetUpProps) {
  return (
    <Layout title="Set up your club" section={null}>
      <p>Once, by the person who started the service. You become the first officer; everything here can be changed later.</p>
      <Form action="/set-up" refusal={refusal} typed={typed}>
        <Field name="code" label="Set-up code" hint="Printed where the service was started" autocomplete="off" required />
        <FieldGroup legend="The club">
          <Field name="club" label="Name of the club" required />
          <SelectField name="zone" label="Time zone" options={zoneOptions()} blank="Choose" hint="Where the workshop is: all times are its local times" />
          <SelectField name="locale" label="Dates and numbers as in" value="en-GB" options={localeOptions()} />
          <RadioRow name="units" legend="Units" value="metric" options={UNIT_OPTIONS} />
          <SelectField name="currency" label="Currency" value="EUR" options={currencyOptions()} />
        </FieldGroup>
        <FieldGroup legend="You">
          <Field name="name" label="Your name" autocomplete="name" required />
          <Field name="email" label="E-mail" type="email" autocomplete="username" hint="You sign in with it; no mail is sent" required />
          <Field name="password" label="Password" type="password" autocomplete="new-password" hint="10 characters or more; a few words in a row do well" />
          <Field name="again" label="Password once more" type="password" autocomplete="new-password" />
        </FieldGroup>
        <FieldGroup legend="Weekly session">
          <CheckField name="saturdays" label="The workshop is open on Saturdays" hint="Enters the next 12 Saturdays, with you as keyholder" checked />
          <TimeField name="starts" label="Starts" value="10:00" />
          <TimeField name="ends" label="Ends" value="16:00" />
        </FieldGroup>
        <Notice title="It begins with">
          <p>
            a workshop with a main floor and a paint tent, the tools and competences that a dinghy needs, and cure products with stand-in figures.
            Replace the figures by those of your own data sheets before you rely on a recoat window.
          </p>
        </Notice>
        <Button>Set up</Button>
      </Form>
    </Layout>
  )
}
