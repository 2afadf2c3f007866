import type { ChoosePage, SheetFormPage } from '../../src/features/planning/option-sheets/queries/form.ts'
import type { Lever, SheetOption } from '../../src/features/planning/option-sheets/model.ts'
import {
  Breadcrumb, Button, ButtonLink, ButtonRow, Caution, CheckField, ErrorSummary, Field, FieldGroup, fieldUnit, Form, Layout, measureKind, measurementGroups,
  NumberField, SelectField, Sheet, shownIn, usePage, type FormRefusal, type Typed,
} from '../shared/index.ts'
import { valueWords } from './words.ts'

const FOUR = [0, 1, 2, 3]
/** What is mostly chosen comes first, what is measured last. */
const GROUPS = ['layers', 'coats', 'choices', 'size', 'areas'] as const

const above = (build: { id: string; name: string }) => (
  <Breadcrumb items={[{ href: '/builds', text: 'Builds' }, { href: `/builds/${build.id}`, text: build.name }, { href: `/builds/${build.id}/options`, text: 'Options' }]} />
)

/** What the options of a new sheet differ in. */
export function ChooseVariedPage({ build, levers, most, refusal }: ChoosePage & { refusal?: FormRefusal | undefined }) {
  const page = usePage()
  return (
    <Layout title={`${build.name}: what do the options differ in?`} section="builds" above={above(build)}>
      {levers.length === 0
        ? refusal ? <ErrorSummary refusal={{ message: refusal.message }} /> : <p class="lead">She was not started from a standard job list, so there is nothing to vary.</p>
        : (
          <Form method="get" action={`/builds/${build.id}/options/new`} refusal={refusal} hidden={{ choose: 1 }}>
            <FieldGroup legend={`Up to ${most} of these`} name="vary" hint="Beside each, how she is now">
              {GROUPS.map((key) => {
                const own = levers.filter((l) => l.group === key)
                return own.length === 0 ? null : (
                  <FieldGroup key={key} legend={measurementGroups[key]}>
                    {own.map((l) => <CheckField key={l.key} name="vary" value={l.key} label={<>{l.label} <span class="muted">{valueWords(l, l.now, page)}</span></>} />)}
                  </FieldGroup>
                )
              })}
            </FieldGroup>
            <Button>Fill in the options</Button>
          </Form>
        )}
    </Layout>
  )
}

/** The options of a sheet: each a name, and a value for whatever is varied. */
export function OptionsFormPage({ build, sheetId, version, draft, levers, kitPrice, refusal, typed }: SheetFormPage & { refusal?: FormRefusal; typed?: Typed }) {
  const page = usePage()
  const at = `/builds/${build.id}/options`
  return (
    <Layout title={sheetId === null ? `${build.name}: a new option sheet` : `${build.name}: the options`} section="builds" wide above={above(build)}>
      <Form action={sheetId === null ? at : `${at}/${sheetId}/edit`} refusal={refusal} typed={typed} version={version ?? undefined}>
        {levers.map((l) => <input key={l.key} type="hidden" name="vary" value={l.key} />)}
        <Field name="question" label="The question" value={draft.question} size="full" required maxLength={200} />
        {levers.some((l) => l.isStructural) && (
          <Caution defers="The designer decides about thickness, cloth, tape and spans.">Strength hangs on some of these. What comes out are numbers to compare, not scantlings: ask the designer before one is taken.</Caution>
        )}
        <p class="muted">Two options at least, four at most; leave the rest empty. A figure that stays empty is as she is now. Differences are told against the first.</p>
        <div class="option-fields">
          {FOUR.map((n) => <OptionFields key={n} n={n} levers={levers} option={draft.options[n]} />)}
        </div>
        {levers.some((l) => l.key === 'kit') && page.may('builds.money') && (
          <Field
            name="price.Kit of cut panels" label={`What a kit costs${page.club ? `, ${page.club.currency}` : ''}`} value={kitPrice ? (kitPrice.cents / 100).toFixed(2) : ''} size="short"
            hint="Whole, as it is delivered. May stay empty where the stores have a price for kits"
          />
        )}
        <ButtonRow>
          <Button>Save the options</Button>
          <ButtonLink href={sheetId === null ? at : `${at}/${sheetId}`}>Leave it</ButtonLink>
        </ButtonRow>
      </Form>
    </Layout>
  )
}

function OptionFields({ n, levers, option }: { n: number; levers: readonly Lever[]; option: Pick<SheetOption, 'name' | 'values'> | undefined }) {
  return (
    <Sheet title={`Option ${n + 1}`}>
      <Field name={`o${n}.name`} label="Name" value={option?.name} maxLength={60} size="full" required={n < 2} />
      {levers.map((l) => <LeverField key={l.key} name={`o${n}.${l.key}`} lever={l} value={option?.values[l.key]} />)}
    </Sheet>
  )
}

/** What nobody measures: the list has it until somebody chooses. */
const OF_THE_LIST: ReadonlySet<string> = new Set(['layers', 'coats', 'choices'])

function LeverField({ name, lever, value }: { name: string; lever: Lever; value: number | undefined }) {
  const page = usePage()
  const now = `As she is: ${valueWords(lever, lever.now, page)}${lever.isGuess ? (OF_THE_LIST.has(lever.group) ? ', the list’s own' : ', a guess') : ''}`
  if (lever.choices.length > 0) return <SelectField name={name} label={lever.label} value={value} options={lever.choices} blank="as she is" hint={now} />
  const [kind, units] = [measureKind(lever), page.club?.units ?? 'metric']
  const unit = fieldUnit(kind, units).word
  const shown = value === undefined ? '' : shownIn(value, kind, units)
  return (
    <NumberField name={name} label={lever.label} value={shown} whole={kind === 'count'} hint={now} {...(unit === '' ? {} : { unit })} />
  )
}
