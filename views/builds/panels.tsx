import type { BuildHead } from '../../src/features/builds/queries/build-page.ts'
import type { PanelsPageModel } from '../../src/features/builds/queries/geometry.ts'
import { ButtonLink, ButtonRow, Empty, format, Notice, plural, Table, usePage, type FormRefusal } from '../shared/index.ts'
import { EstimateLinks } from './_estimate-links.tsx'
import { ORIGIN_WORDS } from './_estimate-words.ts'
import { BuildLayout } from './_head.tsx'
import { LeftOutSheet, RefusedOnList } from './_measure-parts.tsx'

/** Every shape cut from sheet, with its area and how sure that is. */
export function Panels({ build, model, refusal }: { build: BuildHead; model: PanelsPageModel; refusal?: FormRefusal | undefined }) {
  const page = usePage()
  const { club } = page
  const mayEdit = page.may('builds.edit')
  const at = `/builds/${build.id}/panels`
  return (
    <BuildLayout build={build} title={`${build.name}: panels`} more={[{ href: `/builds/${build.id}/measurements`, text: 'Measurements' }]}>
      <EstimateLinks buildId={build.id} here="panels" />
      <RefusedOnList refusal={refusal} />
      <p>
        What is cut from sheets. An area that nobody measured is a guess from her measurements; give each panel its area, or its widths at stations, and the surfaces of the hull follow from them.
        {model.rows.length > 0 && <> Together {format.area(model.totalM2, club)}{model.guesses > 0 && `; ${plural(model.guesses, 'panel is', 'panels are')} a guess until measured`}.</>}
      </p>
      {model.isKit && <Notice>Her panels come as a kit: no sheets are bought for these, but their weight and her surfaces are reckoned by them.</Notice>}
      <Table
        caption="Panels" quietCaption rows={model.rows} rowKey={(p) => p.key}
        empty={<Empty>No panels yet. Add what is cut from sheets, and the estimate says how many sheets that takes.</Empty>}
        columns={[
          { key: 'name', heading: 'Panel', cell: (p) => <a href={`${at}/${p.key}`}>{p.name}</a> },
          { key: 'count', heading: 'Pieces', cell: (p) => p.count },
          { key: 'area', heading: 'Area of one', cell: (p) => format.area(p.areaM2.value, club) },
          { key: 'box', heading: 'Long × wide', cell: (p) => `${format.small(p.lengthMm.value, club)} × ${format.small(p.widthMm.value, club)}` },
          { key: 'ply', heading: 'Ply', cell: (p) => `${format.number(p.ply.thicknessMm, club, 1)} mm` },
          { key: 'origin', heading: 'How sure', cell: (p) => `${ORIGIN_WORDS[p.areaM2.origin]}${p.isOwn ? ', added here' : ''}` },
        ]}
      />
      {mayEdit && <ButtonRow><ButtonLink href={`${at}/new`}>Add one of your own</ButtonLink></ButtonRow>}
      <LeftOutSheet at={at} rows={model.leftOut} version={model.version} mayEdit={mayEdit} what="panel" />
    </BuildLayout>
  )
}
