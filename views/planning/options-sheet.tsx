import type { Lever, OptionResult } from '../../src/features/planning/option-sheets/model.ts'
import type { SheetPage } from '../../src/features/planning/option-sheets/queries/sheet.ts'
import {
  Breadcrumb, Button, ButtonLink, ButtonRow, Caution, Empty, ErrorSummary, Field, Form, format, Layout, list, Notice, RadioRow, Sheet, TapForm, TextArea, usePage, When, type FormRefusal, type Typed,
} from '../shared/index.ts'
import { OptionsTable } from './options-table.tsx'
import { useWords } from './use-words.ts'
import { sentence, settingWords, verdict, type Words } from './words.ts'

export type SheetRefused = { form: 'work' | 'take' | 'remove'; refusal: FormRefusal & { status: number }; typed: Typed }
type AskedPrice = { readonly material: string; readonly unit: string; readonly cents: number | null }
type Props = SheetPage & { prices: readonly AskedPrice[]; not?: SheetRefused | undefined }

/** One option sheet: what came of each option, which wins at what, and taking one. */
export function OptionSheetPage(data: Props) {
  const page = usePage()
  const w = useWords(data.names)
  const { build, sheet, levers, not } = data
  const at = `/builds/${build.id}/options/${sheet.id}`
  const mayEdit = page.may('builds.edit') && build.state !== 'launched'
  const { results } = sheet
  return (
    <Layout
      title={sheet.question} section="builds" wide live={['plan', `build:${build.id}`]}
      above={<Breadcrumb items={[{ href: '/builds', text: 'Builds' }, { href: `/builds/${build.id}`, text: build.name }, { href: `/builds/${build.id}/options`, text: 'Options' }]} />}
    >
      {not?.form === 'remove' && <ErrorSummary refusal={{ message: not.refusal.message }} />}
      {sheet.taken && (
        <Notice kind="good">
          <p>“{sheet.options[sheet.taken.index]?.name}” was taken <When at={sheet.taken.at} as="day" /> by {sheet.taken.by}; the others stay here to be read.</p>
          {sheet.taken.designerSaid !== '' && <p>The designer said: {sheet.taken.designerSaid}</p>}
        </Notice>
      )}
      {build.state === 'launched' && <Notice><p>She is launched: there is nothing left to choose between.</p></Notice>}
      {build.state === 'paused' && <Notice><p>She is paused, so nothing is planned for her: launches are not known until she goes on.</p></Notice>}
      {!build.hasLaunchTask && <Notice><p>None of her tasks is the launch, so the day counts on which the last of them is finished.</p></Notice>}
      {results && <Begun options={sheet.options.map((o) => o.name)} results={results.options} />}
      {data.stale && !sheet.taken && <Notice kind="care"><p>{STALE[data.stale]}</p></Notice>}
      {results
        ? (
          <Sheet title="Which wins at what">
            <p class="lead">{verdict(w, sheet.options, results, { money: page.may('builds.money') })}</p>
            <OptionsTable w={w} options={sheet.options} levers={levers} results={results} taken={sheet.taken?.index ?? null} />
            <Notes data={data} />
          </Sheet>
        )
        : <Empty>{`Not worked out yet: ${list(sheet.options.map((o) => o.name))}.`}</Empty>}
      {mayEdit && <div class="no-print"><Work data={data} at={at} w={w} /></div>}
      {results && <TaskChanges options={sheet.options.map((o) => o.name)} results={results.options} />}
      {mayEdit && <div class="no-print"><Take data={data} at={at} /></div>}
      {mayEdit && !sheet.taken && (
        <ButtonRow>
          <ButtonLink href={`${at}/edit`}>Change the options</ButtonLink>
          <TapForm action={`${at}/remove`} fields={{ version: sheet.version }} kind="care" about={sheet.question}>Take this sheet away</TapForm>
        </ButtonRow>
      )}
    </Layout>
  )
}

const STALE = {
  build: 'Her measurements or choices have changed since this was worked out: work it out again.',
  plan: 'The work plan has changed since this was worked out; for today’s figures, work it out again.',
}

/** What is under way can't be had otherwise any more: it is said before anybody reads the figures. */
function Begun({ options, results }: { options: readonly string[]; results: readonly OptionResult[] }) {
  const late = options.filter((_, n) => (results[n]?.tasks.kept.length ?? 0) > 0)
  if (late.length === 0) return null
  return (
    <Notice kind="care">
      <p>Some of what {list(late.map((name) => `“${name}”`))} would change is begun already, or was changed by hand, and would stay as it is (below). Money, weight, stiffness and hours for the whole boat are told as if she were built that way from the start; the launch counts what is left.</p>
    </Notice>
  )
}

/** What the figures are, and are not. */
function Notes({ data }: { data: SheetPage }) {
  const { club } = usePage()
  const panel = data.sheet.results?.options[0]?.panel
  return (
    <>
      {data.sheet.workedAt && <p class="muted">Worked out <When at={data.sheet.workedAt} />. Likely figures first, in brackets from the least to the most; a word marks the best of a row. The planner had the same short time for each option, so a launch may still move by a few days when the plan itself is made.</p>}
      {panel && (
        <Caution defers="The designer decides about thickness, cloth, tape and spans.">
          The deflection is that of a strip {format.small(300, club)} wide, held at both frames, under one person of {format.mass(80_000, club)} in the middle. A real panel gives less, for it bends both ways and pulls at its edges: a comparison of the options, not scantlings.
        </Caution>
      )}
    </>
  )
}

const PER: Readonly<Record<string, string>> = { g: 'a kilogram', ml: 'a litre', m: 'a metre', m2: 'a square metre', pcs: 'each' }

/** Works the options out, with prices for what the stores have none for. */
function Work({ data, at, w }: { data: Props; at: string; w: Words }) {
  const page = usePage()
  const { sheet, prices } = data
  const not = data.not?.form === 'work' ? data.not : undefined
  const again = sheet.results !== null
  return (
    <Sheet title={again ? 'Work it out again' : 'Work it out'}>
      <Form action={`${at}/work`} version={sheet.version} refusal={not?.refusal} typed={not?.refusal.status === 422 ? not.typed : undefined}>
        {page.may('builds.money') && prices.length > 0 && (
          <>
            <p>The stores have no price for these. What is typed here counts on this sheet only{page.club ? `; in ${page.club.currency}` : ''}.</p>
            {prices.map((p) => (
              <Field
                key={p.material} name={`price.${p.material}`} label={`${p.material}, ${PER[p.unit] ?? 'each'}`} size="short" required={false}
                value={p.cents === null ? '' : (p.cents / 100).toFixed(2)}
              />
            ))}
          </>
        )}
        <p class="muted">Takes a few seconds: each of {sheet.options.length} options goes through the estimate, the stores and the planner. Nothing of hers is changed by it.</p>
        {!again && <ul>{sheet.options.map((o) => <li key={o.name}><b>{o.name}</b>: {settingWords(data.levers, o, w).join(', ')}</li>)}</ul>}
        <Button kind={again ? 'plain' : 'main'}>{again ? 'Work it out again' : 'Work it out'}</Button>
      </Form>
    </Sheet>
  )
}

function TaskChanges({ options, results }: { options: readonly string[]; results: readonly OptionResult[] }) {
  const rows = results.map((r, n) => ({ name: options[n] ?? '', ...r.tasks })).filter((r) => r.redone + r.added.length + r.removed.length + r.kept.length > 0)
  if (rows.length === 0) return null
  const quoted = (names: readonly string[]) => list(names.map((name) => `“${name}”`))
  return (
    <Sheet title="What each would change in her tasks">
      {rows.map((r) => (
        <details key={r.name}>
          <summary>{r.name}</summary>
          <ul>
            {r.redone > 0 && <li>{r.redone === 1 ? '1 task gets' : `${r.redone} tasks get`} new hours or materials.</li>}
            {r.added.length > 0 && <li>{sentence(`Comes in: ${quoted(r.added)}`)}</li>}
            {r.removed.length > 0 && <li>{sentence(`Goes: ${quoted(r.removed)}`)}</li>}
            {r.kept.length > 0 && <li>{sentence(`Stays as it is, begun or changed by hand: ${quoted(r.kept)}`)}</li>}
          </ul>
        </details>
      ))}
    </Sheet>
  )
}

/** One of them becomes the boat. */
function Take({ data, at }: { data: Props; at: string }) {
  const { sheet, levers } = data
  const not = data.not?.form === 'take' ? data.not : undefined
  const asks = (n: number): readonly Lever[] => levers.filter((l) => l.isStructural && sheet.options[n]?.values[l.key] !== l.now)
  const label = (n: number): string => {
    const option = sheet.options[n]
    const isNow = option !== undefined && levers.every((l) => option.values[l.key] === l.now)
    return `${option?.name ?? ''}${isNow ? ' (as she is now)' : asks(n).length > 0 ? ' (ask the designer)' : ''}`
  }
  const needsDesigner = sheet.options.some((_, n) => asks(n).length > 0)
  return (
    <Sheet title={sheet.taken ? 'Take another one' : 'Take one'}>
      <Form action={`${at}/take`} version={sheet.version} refusal={not?.refusal} typed={not?.typed}>
        <p class="muted">Her measurements are changed for good: tasks that nobody began get their hours and materials anew, some come in and some go, and the plan is made anew. What was begun stays as it is.</p>
        <RadioRow name="option" legend="Which one" options={sheet.options.map((o, n) => ({ value: n, label: label(n) }))} />
        {needsDesigner && (
          <TextArea
            name="designer" label="What the designer said" rows={3}
            hint={`Needed where strength hangs on it: ${sentence(list([...new Set(sheet.options.flatMap((_, n) => asks(n).map((l) => l.label.toLowerCase())))]))} We compare numbers; the designer says what is strong enough.`}
          />
        )}
        <Button>Take it</Button>
      </Form>
    </Sheet>
  )
}
