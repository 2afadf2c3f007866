import type { BuildRecord } from '../../src/features/reviews/record/model.ts'
import {
  Breadcrumb, Button, ButtonLink, ButtonRow, DateField, DefinitionRows, ErrorSummary, Form, format, hours, Layout, list, Notice, PrintSheet, sentence, usePage, type FormRefusal, type Typed,
} from '../shared/index.ts'
import { Agreed, Batches, Coats, Hours, Learnt, Lots, Measures, Photos, Snags, WeighIns, Weeks } from './record-parts.tsx'
import { useDays } from './record-words.ts'

export type RecordProps = BuildRecord & { today: string; refusal?: FormRefusal | undefined; typed?: Typed | undefined }

/** The whole build as one document, for whoever measures, registers, insures or buys her, and for the club to look back on. */
export function BuildRecordPage(props: RecordProps) {
  const { boat } = props
  const page = usePage()
  const { on } = useDays()
  const at = `/builds/${boat.id}`
  return (
    <Layout title={`The record of ${boat.name}`} section="builds" wide above={<Breadcrumb items={[{ href: '/builds', text: 'Builds' }, { href: at, text: boat.name }]} />}>
      <div class="no-print">
        <ServiceDay {...props} />
        <ButtonRow>
          <ButtonLink href={`${at}/record/hours.csv`}>Hours as a list (CSV)</ButtonLink>
          <ButtonLink href={`${at}/record/lots.csv`}>Lots as a list (CSV)</ButtonLink>
        </ButtonRow>
      </div>
      <PrintSheet foot={<p>As the books of {page.club?.name} stood on {on(page.now)}. Keep the paper receipts and the product data sheets with it.</p>}>
        <div class="record">
          <Boat {...props} />
          <Measures {...props} />
          <Hours {...props} />
          <Coats {...props} />
          <Lots {...props} />
          <Batches {...props} />
          <Snags {...props} />
          <Learnt {...props} />
          <WeighIns {...props} />
          <Agreed {...props} />
          <Weeks {...props} />
          <Photos {...props} />
        </div>
      </PrintSheet>
    </Layout>
  )
}

/** What it is good for: trade practice, second-hand from sailing bodies' and boating administrators' pages. Rules differ, so it tells to ask. */
function ServiceDay({ boat, today, refusal, typed }: RecordProps) {
  const page = usePage()
  const { day } = useDays()
  const mayEdit = page.may('builds.edit')
  if (!boat.maySetInService) {
    return (
      <>
        {refusal && <ErrorSummary refusal={refusal} />}
        {boat.inServiceOn !== null && <Notice><p>Put into service {day(boat.inServiceOn)}, and not launched by her tasks.</p></Notice>}
      </>
    )
  }
  return (
    <section class="paper" id="service" aria-labelledby="service-title">
      <h2 id="service-title">Put into service</h2>
      <p>{boat.inServiceOn === null ? `${boat.name} has no such day yet: the first on which she was used as a boat, not her first float.` : `${sentence(`On ${day(boat.inServiceOn)}`)}`}</p>
      <p>Why write it down: where she is registered or sold, people may ask for receipts, photos and a builder’s declaration, and some rules on amateur-built boats count years from this day. Those rules can want her built in the main by whoever uses her: a boat built by a club and then raffled or given to somebody else may not qualify, even as a gift. Ask the authority where she will be kept; don’t assume.</p>
      {mayEdit && (
        <Form action={`/builds/${boat.id}/record/in-service`} version={boat.version} layout="row" refusal={refusal} typed={typed} label="Put into service">
          <DateField name="day" label="The day" value={boat.inServiceOn} min={boat.startedOn} max={today} hint="Empty takes it back." />
          <Button kind="plain">Save</Button>
        </Form>
      )}
    </section>
  )
}

const GRADE = { workboat: 'workboat', good: 'good', show: 'show' } as const

function Boat({ boat, cents, hours: worked }: RecordProps) {
  const { club } = usePage()
  const { day } = useDays()
  return (
    <section>
      <h2>What she is</h2>
      <DefinitionRows
        rows={[
          ['Design', boat.design],
          ['Built by', club?.name],
          ['Built at', boat.place],
          ['Team', boat.team.length === 0 ? null : list(boat.team)],
          ['Everybody who worked on her', boat.hands.length === 0 ? null : list(boat.hands)],
          ['Begun', day(boat.startedOn)],
          ['Launched', boat.launchedOn === null ? (boat.state === 'launched' ? 'yes' : 'not yet') : day(boat.launchedOn)],
          ['Put into service', boat.inServiceOn === null ? (boat.state === 'launched' ? 'not written down' : 'not yet') : day(boat.inServiceOn)],
          ['Finish', GRADE[boat.grade]],
          ['Job list', boat.list === null ? null : `${boat.list.name}${boat.list.version === null ? '' : `, version ${boat.list.version}`}`],
          ['Meant to weigh', boat.massTargetG === null ? null : format.mass(boat.massTargetG, club)],
          ['Hours', worked.totalMin === 0 ? null : `${hours(worked.totalMin)} of all hands`],
          ['Materials', cents === null ? null : format.money(cents, club)],
        ]}
      />
    </section>
  )
}
