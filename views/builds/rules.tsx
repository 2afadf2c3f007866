import type { FigureLine, RuleLine, RulesPageModel } from '../../src/features/builds/queries/rules-page.ts'
import { Breadcrumb, ErrorSummary, format, Layout, plural, Sheet, Table, Tag, TapForm, usePage, type Column, type FormRefusal } from '../shared/index.ts'
import { factorText, rangeText, SKILL_WORDS, timesText } from './rule-words.ts'

export type RulesProps = RulesPageModel & { refusal?: FormRefusal | undefined }
type Learned = RulesPageModel['learned'][number]

/** How the estimate reckons in this club: every rule with its figures, and what the club's own weighings say. */
export function Rules({ rules, figures, learned, builds, refusal }: RulesProps) {
  const page = usePage()
  const own = figures.filter((f) => f.own !== null).length
  return (
    <Layout title="Rules of the estimate" section="builds" above={<Breadcrumb items={[{ href: '/builds', text: 'Builds' }]} />} wide>
      {refusal && <ErrorSummary refusal={refusal} />}
      <p>
        What a boat takes is worked out from her measurements by the rules below. {own === 0 ? 'All figures are the usual ones' : `${plural(own, 'figure is', 'figures are')} this club’s own`}
        {page.may('estimate.rules') ? '; open one to change it.' : '; officers and storekeepers can change them.'} Waste is put on top and shown apart. A change alters no task by itself: see <a href="#anew">at the end</a>.
      </p>
      <Sheet title="The rules">
        <Table caption="Each rule with its figures" quietCaption rows={rules} rowKey={(r) => r.key} rowId={(r) => `rule-${r.key}`} columns={ruleColumns(learned)} stack />
      </Sheet>
      <Sheet title="All figures">
        <Table
          caption="Figures, the usual ones and the club’s own" quietCaption rows={figures} rowKey={(f) => f.key} rowId={(f) => f.key} stack
          columns={[
            { key: 'label', heading: 'Figure', cell: (f) => <FigureName figure={f} /> },
            { key: 'now', heading: 'Low, likely, high', cell: (f) => rangeText(f.own ?? f.usual, f.about.unit, page.club) },
            { key: 'from', heading: 'Where from', cell: (f) => <From figure={f} /> },
          ]}
        />
      </Sheet>
      <div id="learnt"><LearnedSheet learned={learned} rules={rules} /></div>
      <div id="anew"><Anew builds={builds} /></div>
    </Layout>
  )
}

function FigureName({ figure: { key, about, own } }: { figure: FigureLine }) {
  const page = usePage()
  return <>{page.may('estimate.rules') ? <a href={`/estimate-rules/${key}`}>{about.label}</a> : about.label}{own && <> <Tag>the club’s own</Tag></>}</>
}

function From({ figure: { about, usual, own } }: { figure: FigureLine }) {
  const { club } = usePage()
  if (!own) return <>{about.source}</>
  return <>{own.note === '' ? 'set by this club' : own.note}<br /><span class="quiet">Usual: {rangeText(usual, about.unit, club)}, {about.source}</span></>
}

/** What goes into nearly every rule (waste and density of epoxy) stands among the figures, not at each. */
const EVERYWHERE = 3
const atRule = ({ figures }: RuleLine) => figures.filter((f) => f.about.rules.length <= EVERYWHERE)

const ruleColumns = (learned: readonly Learned[]): Column<RuleLine>[] => [
  { key: 'rule', heading: 'Rule', cell: (r) => r.name },
  { key: 'how', heading: 'How it reckons', cell: (r) => <>{r.formula}<br /><span class="quiet">{r.source}</span></> },
  { key: 'figures', heading: 'Figures', cell: (r) => <Figures rule={r} /> },
  { key: 'learnt', heading: 'Learnt here', cell: (r) => <LearnedAt learned={learned.filter((l) => l.rule === r.key)} isCounted={r.key === 'piece'} /> },
]

function Figures({ rule }: { rule: RuleLine }) {
  const { club } = usePage()
  const all = atRule(rule)
  if (all.length === 0) return <span class="quiet">none but the boat’s own</span>
  return <>{all.map((f) => <div key={f.key}><FigureName figure={f} />: {rangeText(f.own ?? f.usual, f.about.unit, club)}</div>)}</>
}

function LearnedAt({ learned, isCounted }: { learned: readonly Learned[]; isCounted: boolean }) {
  const { club } = usePage()
  if (isCounted) return <span class="quiet">counted, not learnt</span>
  if (learned.length === 0) return <span class="quiet">not yet</span>
  return (
    <>
      {learned.map((l) => (
        <div key={l.skill}>{SKILL_WORDS[l.skill]}: {l.count === 0 ? 'nothing that counts' : <a href="#learnt">{timesText(l.factor, club)}</a>}, {l.used ? l.sure : 'not used'}</div>
      ))}
    </>
  )
}

function LearnedSheet({ learned, rules }: { learned: readonly Learned[]; rules: readonly RuleLine[] }) {
  const page = usePage()
  const { club } = page
  const mayEdit = page.may('estimate.rules')
  const nameOf = (l: Learned) => rules.find((r) => r.key === l.rule)?.name ?? l.rule
  return (
    <Sheet title="Learnt from weighing">
      <p>
        Whenever a task is finished and its material was drawn on it, what was used is held against what the rule said: one task, one weighing. Returns and reversed entries are taken off.
        The factor begins at 1, as if four weighings had agreed with the rule, and moves as evidence comes in. In brackets: where it lies with 80 % likelihood. Beside it what the weighings say by themselves, and how far they are apart.
      </p>
      <Table
        caption="By rule and by the hands of the build" quietCaption rows={learned} rowKey={(l) => `${l.rule} ${l.skill}`} stack
        empty="Nothing was weighed yet. Draw material on a task, finish the task, and it counts here."
        columns={[
          { key: 'rule', heading: 'Rule and hands', cell: (l) => <><a href={`#rule-${l.rule}`}>{nameOf(l)}</a>, {SKILL_WORDS[l.skill]}</> },
          { key: 'factor', heading: 'Factor', cell: (l) => factorText(l, club) },
          { key: 'count', heading: 'Weighings by themselves', cell: (l) => <>{l.count === 0 ? 'none that counts' : `${l.count}: ${timesText(l.mean, club)}${l.count < 2 ? '' : ` ± ${format.percent(l.spread, club)}`}`}{l.leftOut > 0 && <><br /><span class="quiet">{l.leftOut} {l.leftOut === 1 ? 'is' : 'are'} left out: more than four times the rule or less than a quarter, so most likely a slip in the booking</span></>}</> },
          { key: 'sure', heading: 'How sure', cell: (l) => l.sure },
          {
            key: 'used', heading: 'Used', cell: (l) => (
              <div class="button-row">
                <span>{l.used ? 'yes' : 'no'}</span>
                {mayEdit && (
                  <TapForm action="/estimate-rules/learnt" fields={{ rule: l.rule, skill: l.skill, use: l.used ? 'no' : 'yes' }} about={`what was learnt about ${nameOf(l)}, ${SKILL_WORDS[l.skill]}`}>
                    {l.used ? 'Stop' : 'Use it'}
                  </TapForm>
                )}
              </div>
            ),
          },
        ]}
      />
    </Sheet>
  )
}

function Anew({ builds }: { builds: RulesPageModel['builds'] }) {
  const page = usePage()
  const mine = builds.filter((b) => page.may('builds.edit', b.onTeam))
  return (
    <Sheet title="Work out anew">
      <p>A build takes changed figures and what was learnt when she is measured or worked out anew. Only tasks that nobody began change; what people typed stays.</p>
      {mine.length === 0 ? <p class="quiet">Officers, and builders and keyholders of a build’s team, can do it here.</p> : (
        <ul class="plain-list">
          {mine.map((b) => (
            <li key={b.id}>
              <a href={`/builds/${b.id}`}>{b.name}</a>{' '}
              <TapForm action={`/builds/${b.id}/measurements/again`} about={b.name}>Work out anew</TapForm>
            </li>
          ))}
        </ul>
      )}
    </Sheet>
  )
}
