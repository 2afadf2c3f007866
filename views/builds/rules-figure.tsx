import type { FigurePageModel } from '../../src/features/builds/queries/rules-page.ts'
import { Breadcrumb, Button, DefinitionRows, FieldGroup, Form, Layout, list, NumberField, Sheet, TapForm, TextArea, usePage, type FormRefusal, type Typed } from '../shared/index.ts'
import { figureText, isShare, rangeText } from './rule-words.ts'

export type RulesFigureProps = FigurePageModel & { refusal?: FormRefusal | undefined; typed?: Typed | undefined }

/** One figure of the rules: what is usual and from where, and the club's own in its place. */
export function RulesFigure({ figure: { key, about, usual, own }, usedBy, refusal, typed }: RulesFigureProps) {
  const page = usePage()
  const { club } = page
  const at = `/estimate-rules/${key}`
  const now = own ?? usual
  const isGlass = about.unit === 'share of mass'
  // A share is typed as people say it.
  const shown = (n: number) => (isShare(about.unit) && !isGlass ? `${Math.round(n * 1000) / 10} %` : String(Math.round(n * 10_000) / 10_000))
  const unit = isShare(about.unit) ? undefined : about.unit
  const how = isGlass ? 'A share of the mass, such as 0.43 or 43 %. The low end takes most resin.' : isShare(about.unit) ? 'Such as 15 % or 0.15.' : `In ${about.unit}.`
  const field = (name: 'low' | 'likely' | 'high', label: string) => <NumberField name={name} label={label} value={shown(now[name])} required {...(unit ? { unit } : {})} />
  return (
    <Layout title={about.label} section="builds" above={<Breadcrumb items={[{ href: '/builds', text: 'Builds' }, { href: '/estimate-rules', text: 'Rules of the estimate' }]} />}>
      <DefinitionRows
        rows={[
          ['Usual', rangeText(usual, about.unit, club)],
          ['Where from', about.source],
          ['Used by', usedBy.length === 0 ? null : list(usedBy.map((r) => r.name.toLowerCase()))],
          ['Can lie between', `${figureText(about.min, about.unit, club)} and ${figureText(about.max, about.unit, club)} ${isGlass ? 'of the mass' : isShare(about.unit) ? '%' : about.unit}`],
        ]}
      />
      <Sheet title={own ? 'This club’s own figure' : 'Set the club’s own figure'}>
        <Form action={at} refusal={refusal} typed={typed} hidden={{ stored: own?.version ?? 0 }}>
          {about.kind === 'number' ? field('likely', about.label) : (
            <FieldGroup legend="From the lowest to the highest" hint={how}>
              {field('low', 'Low')}
              {field('likely', 'Likely')}
              {field('high', 'High')}
            </FieldGroup>
          )}
          <TextArea name="note" label="Where it is from" value={own?.note ?? ''} required={false} rows={2} hint="The data sheet and its date, or what was weighed" />
          <Button>Save</Button>
        </Form>
        {own && <TapForm action={`${at}/usual`} kind="care">Back to the usual figure</TapForm>}
      </Sheet>
    </Layout>
  )
}
