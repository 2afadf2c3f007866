import { Button, CheckField, Field, FieldGroup, Form, Layout, Notice, RadioRow, SelectField, TimeField, type FormRefusal, type Typed } from '../shared/index.ts'

export type SetUpProps = { refusal?: FormRefusal; typed?: Typed }

const LOCALES = [
  ['en-GB', 'United Kingdom'], ['en-IE', 'Ireland'], ['en-US', 'United States'], ['en-CA', 'Canada'], ['en-AU', 'Australia'], ['en-NZ', 'New Zealand'], ['en-ZA', 'South Africa'],
] as const

const sample = (locale: string): string =>
  new Intl.DateTimeFormat(locale, { timeZone: 'UTC', weekday: 'short', day: 'numeric', month: 'short', year: 'numeric' }).format(new Date('2026-11-28T00:00:00Z'))

const zones = () => Intl.supportedValuesOf('timeZone').map((zone) => ({ value: zone, label: zone.replaceAll('_', ' '), group: zone.split('/')[0] ?? '' }))

function currencies() {
  const names = new Intl.DisplayNames('en', { type: 'currency' })
  const first = ['EUR', 'GBP', 'USD', 'CAD', 'AUD', 'NZD']
  const option = (code: string, group: string) => ({ value: code, label: `${code} – ${names.of(code) ?? code}`, group })
  return [...first.map((c) => option(c, 'Often')), ...Intl.supportedValuesOf('currency').filter((c) => !first.includes(c)).map((c) => option(c, 'All'))]
}

export function SetUpView({ refusal, typed }: SetUpProps) {
  return (
    <Layout title="Set up your club" section={null}>
      <p>Once, by the person who started the service. You become the first officer; everything here can be changed later.</p>
      <Form action="/set-up" refusal={refusal} typed={typed}>
        <Field name="code" label="Set-up code" hint="Printed where the service was started" autocomplete="off" required />
        <FieldGroup legend="The club">
          <Field name="club" label="Name of the club" required />
          <SelectField name="zone" label="Time zone" options={zones()} blank="Choose" hint="Where the workshop is: all times are its local times" />
          <SelectField name="locale" label="Dates and numbers as in" value="en-GB" options={LOCALES.map(([value, place]) => ({ value, label: `${place} (${sample(value)})` }))} />
          <RadioRow name="units" legend="Units" value="metric" options={[{ value: 'metric', label: 'Metric: m, kg, °C' }, { value: 'imperial', label: 'Imperial: ft, lb, °F' }]} />
          <SelectField name="currency" label="Currency" value="EUR" options={currencies()} />
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
