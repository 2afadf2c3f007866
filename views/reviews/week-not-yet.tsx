import { Breadcrumb, ButtonLink, ButtonRow, ErrorSummary, Layout, Notice, weekWords, type FormRefusal } from '../shared/index.ts'

export type WeekNotYetProps = { build: { id: string; name: string }; isoWeek: string; says: string; refusal?: FormRefusal }

/** A week that is no week of hers, or not yet: why, and where to go. */
export function WeekNotYet({ build, isoWeek, says, refusal }: WeekNotYetProps) {
  return (
    <Layout
      title={`${build.name}, ${weekWords(isoWeek)}`} section="builds"
      above={<Breadcrumb items={[{ href: '/builds', text: 'Builds' }, { href: `/builds/${build.id}`, text: build.name }, { href: `/builds/${build.id}/reviews`, text: 'Week reviews' }]} />}
    >
      {refusal ? <ErrorSummary refusal={refusal} /> : <Notice><p>{says}</p></Notice>}
      <ButtonRow>
        <ButtonLink href={`/builds/${build.id}/reviews`} kind="main">Her weeks</ButtonLink>
        <ButtonLink href={`/builds/${build.id}/plan`}>Her work plan</ButtonLink>
      </ButtonRow>
    </Layout>
  )
}
