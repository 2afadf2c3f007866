import type { CureStage } from '../../src/core/cure/types.ts'
import type { ProductPageModel } from '../../src/features/stores/queries/products.ts'
import { Breadcrumb, ButtonLink, ButtonRow, Caution, DefinitionRows, ErrorSummary, format, Layout, Notice, plural, Sheet, Table, TapForm, usePage, type FormRefusal } from '../shared/index.ts'
import { KIND_WORDS, lagWords } from './words.ts'

const STAGES: readonly [CureStage, string][] = [
  ['workable', 'Workable until'], ['dustFree', 'Dust-free'], ['opens', 'Window opens'], ['closes', 'Window shuts'], ['sandable', 'Sandable'], ['handleable', 'Handleable'], ['fullCure', 'Full cure'],
]

export function CureProductPage({ product: p, table, openTasks, refusal }: ProductPageModel & { refusal?: FormRefusal }) {
  const page = usePage()
  const { club } = page
  const mayEdit = page.may('stores.products')
  const at = `/stores/cure-products/${p.id}`
  const temp = (t: number | null) => (t === null ? null : format.temperature(t, club))
  const figure = (stage: CureStage) =>
    ({ workable: p.workableMin, dustFree: p.dustFreeMin, opens: p.opensMin, closes: p.closesMin ?? p.closesCapMin, sandable: p.sandableMin, handleable: p.handleableMin, fullCure: p.fullCureMin })[stage]
  const shown = STAGES.filter(([stage]) => figure(stage) !== null)
  return (
    <Layout title={p.name} above={<Breadcrumb items={[{ href: '/stores/cure-products', text: 'Cure products' }]} />}>
      {refusal && <ErrorSummary refusal={refusal} />}
      {p.hazard !== '' && <Caution>{p.hazard}</Caution>}
      {/from memory/i.test(p.source) && <Notice kind="care">Figures from memory: a stand-in until somebody puts in the data sheet’s.</Notice>}
      <Sheet title="After a coat, at a steady temperature" actions={mayEdit && <ButtonLink href={`${at}/edit`}>Edit the figures</ButtonLink>}>
        <Table
          caption={`Data sheet at ${format.temperature(p.referenceTemp, club)}, and reckoned from it`} rows={shown} rowKey={([stage]) => stage} empty="No stage has a figure yet."
          columns={[
            { key: 'stage', heading: 'Stage', cell: ([, word]) => word },
            ...table.map((column) => ({
              key: String(column.air), numeric: true, heading: `at ${format.temperature(column.air, club)}`,
              cell: ([stage]: readonly [CureStage, string]) => lagWords(column.stages[stage], 'not at all'),
            })),
          ]}
          foot={
            <tr>
              <th scope="row">May be put on</th>
              {table.map((c) => <td key={c.air} class="numeric">{c.gate === 'cold' ? 'too cold' : c.gate === 'hot' ? 'too hot' : figure('opens') !== null && !c.hasWindow ? 'yes, but no window' : 'yes'}</td>)}
            </tr>
          }
        />
        <p>
          Both ends err to the safe side: openings take the slower of the two ways a film may follow temperature, shuttings the faster.
          {p.opensMin !== null && table.some((c) => !c.hasWindow && c.gate === null) && ' Where it would shut before it opens, wash and sand between coats.'}
        </p>
      </Sheet>
      <Sheet title="Data sheet">
        <DefinitionRows
          rows={[
            ['Kind', KIND_WORDS[p.kind] ?? p.kind],
            ['Figures from', p.source],
            ['Mixing', p.ratioA === null || p.ratioB === null ? 'one pack' : `${p.ratioA} : ${p.ratioB} by ${p.ratioBy}`],
            ['Density', p.densityA === null ? null : `${p.densityA}${p.densityB === null ? '' : ` and ${p.densityB}`} g/mL`],
            ['Pot life', p.potLifeMin === null ? null : `${p.potLifeMin} min for ${p.potMassG} g at ${temp(p.potTemp)}; a larger pot goes faster, by how much no data sheet tells`],
            ['Shuts by the clock', p.closesCapMin === null ? null : `${lagWords(p.closesCapMin)} after the start at the latest, however cold`],
            ['Put on from', temp(p.minAir)], ['Put on up to', temp(p.maxAir)], ['Humidity at most', p.maxHumidity === null ? null : `${p.maxHumidity} %`],
            ['Surface above dew point', p.dewPointMargin === null ? null : format.temperatureDifference(p.dewPointMargin, club)],
            ['Stops curing below', temp(p.cureFloor)],
            ['Film follows temperature by', `${p.filmEnergyLow} to ${p.filmEnergyHigh} kJ/mol`],
            ['Dust', p.dustSensitive ? 'spoils it until dust-free' : 'does not matter to it'],
            ['Used by', openTasks === 0 ? 'no open task' : plural(openTasks, 'open task')],
          ]}
        />
        {mayEdit && (
          <ButtonRow>
            {p.ratioA !== null && page.may('stores.keep') && <ButtonLink href={`${at}/system`}>Resin and hardener in the stores</ButtonLink>}
            {p.isActive ? <TapForm action={`${at}/retire`} fields={{ version: p.version }} kind="care" about={p.name}>Retire</TapForm> : <TapForm action={`${at}/take-up`} fields={{ version: p.version }} about={p.name}>Take up again</TapForm>}
          </ButtonRow>
        )}
      </Sheet>
    </Layout>
  )
}
