import type { TimesPage } from '../../src/features/sessions/queries/times.ts'
import { Breadcrumb, Button, DateField, Empty, Field, Form, Layout, SelectField, Sheet, TapForm, TimeField, usePage, type FormRefusal, type Typed } from '../shared/index.ts'
import { choices, dateText, shownTime, WEEKDAYS, weekdayOptions } from './words.ts'

export type MyTimesProps = TimesPage & { base: string; today: string; form?: 'usual' | 'own-hours' | 'home'; refusal?: FormRefusal; typed?: Typed }

export function MyTimesView(props: MyTimesProps) {
  const { member } = props
  const page = usePage()
  const isSelf = page.member?.id === member.id
  return (
    <Layout
      title={isSelf ? 'My times' : `Times of ${member.name}`}
      section={isSelf ? 'me' : 'members'}
      above={<Breadcrumb items={isSelf ? [{ href: '/me', text: 'Me' }] : [{ href: '/members', text: 'Members' }, { href: `/members/${member.id}`, text: member.name }]} />}
    >
      <Usual {...props} />
      <OwnHours {...props} />
      {isSelf && <p>For one session, <a href="/sessions">answer there</a>: an answer wins over usual times.</p>}
    </Layout>
  )
}

const sentTo = (props: MyTimesProps, form: MyTimesProps['form']) => (props.form === form ? { refusal: props.refusal, typed: props.typed } : {})

function Usual(props: MyTimesProps) {
  const { usual, clubSites, series, base, countUsual } = props
  return (
    <Sheet title="Usually at sessions">
      <p>{countUsual ? 'Until an answer is given, sessions count as these times. Far ahead, plans go by them alone.' : 'The club counts only answers; far ahead, plans go by these times.'}</p>
      {usual.length === 0 && <Empty>No usual times yet: without an answer, no hours are counted on.</Empty>}
      <ul class="plain-list">
        {usual.map((u) => (
          <li key={u.id}>
            {WEEKDAYS[u.weekday - 1]} {u.fromTime}–{shownTime(u.toTime)}, {u.siteName}
            <TapForm action={`${base}/usual/${u.id}/delete`} about={`${WEEKDAYS[u.weekday - 1]} ${u.fromTime}`}>Take out</TapForm>
          </li>
        ))}
      </ul>
      {series.map((s) => (
        <TapForm key={`${s.siteId} ${s.weekday} ${s.starts}`} action={`${base}/usual`} fields={{ siteId: s.siteId, weekday: s.weekday, fromTime: s.starts, toTime: shownTime(s.ends) }}>
          {`All of ${s.name} (${WEEKDAYS[s.weekday - 1]} ${s.starts}–${shownTime(s.ends)})`}
        </TapForm>
      ))}
      {clubSites.length > 0 && (
        <Form action={`${base}/usual`} layout="row" label="Add usual times" {...sentTo(props, 'usual')}>
          <SelectField name="siteId" label="Where" options={choices(clubSites)} />
          <SelectField name="weekday" label="Weekday" value={6} options={weekdayOptions} />
          <TimeField name="fromTime" label="From" value="10:00" />
          <TimeField name="toTime" label="To" value="16:00" />
          <Button>Add</Button>
        </Form>
      )}
    </Sheet>
  )
}

function OwnHours(props: MyTimesProps) {
  const { own, homes, member, base, today } = props
  const page = usePage()
  return (
    <Sheet title="Own hours at home">
      <p>For a build that is kept at somebody’s home: weekly hours there need no keyholder.</p>
      <ul class="plain-list">
        {own.map((o) => (
          <li key={o.id}>
            {WEEKDAYS[o.weekday - 1]} {o.fromTime}–{shownTime(o.toTime)}, {o.siteName}, from {dateText(o.fromOn, page.club?.locale)}{o.untilOn && ` until ${dateText(o.untilOn, page.club?.locale)}`}
            <TapForm action={`${base}/own-hours/${o.id}/delete`} about={`${WEEKDAYS[o.weekday - 1]} ${o.fromTime}`}>Take out</TapForm>
          </li>
        ))}
      </ul>
      {homes.length > 0 && (
        <Form action={`${base}/own-hours`} layout="row" label="Add own hours" {...sentTo(props, 'own-hours')}>
          <SelectField name="siteId" label="At" value={homes.find((h) => h.memberId === member.id)?.id} options={choices(homes)} />
          <SelectField name="weekday" label="Weekday" value={3} options={weekdayOptions} />
          <TimeField name="fromTime" label="From" value="19:00" />
          <TimeField name="toTime" label="To" value="21:00" />
          <DateField name="fromOn" label="First day" value={today} />
          <DateField name="untilOn" label="Last day" required={false} />
          <Button>Add</Button>
        </Form>
      )}
      {!homes.some((h) => h.memberId === member.id) && (
        <details open={props.form === 'home'}>
          <summary>A build is kept at my home</summary>
          <Form action={`${base}/home`} layout="row" label="Add a home" {...sentTo(props, 'home')}>
            <Field name="name" label="Name of the site" value={`${member.name}’s home`} />
            <Button>Add it</Button>
          </Form>
          <p class="muted">An officer then adds the place in it (garage, shed) under Workshop, with its temperatures.</p>
        </details>
      )}
    </Sheet>
  )
}
