import type { SeriesPage } from '../../src/features/sessions/queries/sessions.ts'
import {
  Breadcrumb, Button, CheckField, DateField, DefinitionRows, Field, Form, Layout, NumberField, SelectField, Sheet, Table, TimeField, usePage, type FormRefusal, type Typed,
} from '../shared/index.ts'
import { choices, dateText, everyWords, shownTime, WEEKDAYS, weekdayOptions } from './words.ts'

export type SeriesProps = SeriesPage & { fields: Record<string, string>; today: string; form?: 'change' | 'end'; refusal?: FormRefusal; typed?: Typed }

export function SeriesView({ series: s, siteName, coming, choices: c, fields, today, form, refusal, typed }: SeriesProps) {
  const page = usePage()
  const locale = page.club?.locale
  const sent = (of: 'change' | 'end') => (form === of ? { refusal, typed } : {})
  return (
    <Layout title={s.name} above={<Breadcrumb items={[{ href: '/sessions', text: 'Sessions' }]} />}>
      <Sheet title="The rhythm">
        <DefinitionRows
          rows={[
            ['When', `${WEEKDAYS[s.weekday - 1]} ${s.starts}–${shownTime(s.ends)}, ${everyWords(s.everyWeeks)}`],
            ['Where', siteName],
            ['Keyholder', c.keyholders.find((k) => k.id === s.keyholderId)?.name ?? 'nobody yet: then nobody’s hours count unless somebody with a key comes'],
            ['Entered until', fields['untilOn'] && dateText(fields['untilOn'], locale)],
            ['After that', s.goesOn ? 'assumed to go on when planning far ahead' : 'it ends'],
          ]}
        />
      </Sheet>
      <Sheet title="Its coming sessions">
        <Table
          caption="Coming sessions of this series"
          quietCaption
          rows={coming}
          rowKey={(r) => r.id}
          empty="None is entered. Give a later “Entered until” below to enter more."
          columns={[
            { key: 'date', heading: 'Date', cell: (r) => <a href={`/sessions/${r.id}`}>{dateText(r.date, locale)}</a> },
            { key: 'hours', heading: 'Hours', cell: (r) => `${r.starts}–${shownTime(r.ends)}` },
            { key: 'key', heading: 'Keyholder', cell: (r) => r.keyholderName ?? 'nobody yet' },
            { key: 'answers', heading: 'Answers', numeric: true, cell: (r) => r.answers },
            { key: 'state', heading: 'Note', cell: (r) => (r.state === 'cancelled' ? 'called off' : r.state === 'closed' ? 'closed out' : r.isChanged ? 'changed by itself' : '') },
          ]}
        />
      </Sheet>
      {page.may('sessions.edit') && (
        <>
          <Sheet title="Change it from a date on">
            <p>Sessions before that date stay. So do those that were changed or called off by themselves. For one day alone, change that session.</p>
            <Form action={`/sessions/series/${s.id}`} version={s.version} {...sent('change')}>
              <DateField name="fromOn" label="From" value={fields['fromOn']} min={today} />
              <Field name="name" label="Name" value={fields['name']} maxLength={120} />
              <SelectField name="weekday" label="Weekday" value={fields['weekday']} options={weekdayOptions} />
              <TimeField name="starts" label="Starts" value={fields['starts']} />
              <TimeField name="ends" label="Ends" value={fields['ends']} hint="00:00 is midnight at the end of the day" />
              <NumberField name="everyWeeks" label="Every how many weeks" value={fields['everyWeeks']} whole />
              <SelectField name="keyholderId" label="Keyholder" value={fields['keyholderId']} options={choices(c.keyholders)} blank="Nobody yet" />
              <DateField name="untilOn" label="Entered until" value={fields['untilOn']} hint="A later date enters more sessions" />
              <CheckField name="goesOn" label="The rhythm goes on after that" checked={fields['goesOn'] === 'on'} />
              <CheckField name="skipTaken" label="Leave out dates that are taken already" />
              <Button>Save from that date on</Button>
            </Form>
          </Sheet>
          <Sheet title="End it">
            <Form action={`/sessions/series/${s.id}/end`} version={s.version} layout="row" {...sent('end')}>
              <DateField name="fromOn" label="No sessions of it from" value={fields['fromOn']} min={today} />
              <Button kind="care">End the series</Button>
            </Form>
          </Sheet>
        </>
      )}
    </Layout>
  )
}
