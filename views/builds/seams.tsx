import type { BuildHead } from '../../src/features/builds/queries/build-page.ts'
import type { SeamsPageModel } from '../../src/features/builds/queries/geometry.ts'
import { ButtonLink, ButtonRow, Empty, format, plural, Table, usePage, type FormRefusal } from '../shared/index.ts'
import { courseWords, tapeWords } from './_course.tsx'
import { EstimateLinks } from './_estimate-links.tsx'
import { ORIGIN_WORDS } from './_estimate-words.ts'
import { BuildLayout } from './_head.tsx'
import { LeftOutSheet, RefusedOnList } from './_measure-parts.tsx'

/** Where panels meet: length, angle, fillet and tapes of each. */
export function Seams({ build, model, refusal }: { build: BuildHead; model: SeamsPageModel; refusal?: FormRefusal | undefined }) {
  const page = usePage()
  const { club } = page
  const mayEdit = page.may('builds.edit')
  const at = `/builds/${build.id}/seams`
  return (
    <BuildLayout build={build} title={`${build.name}: seams`} more={[{ href: `/builds/${build.id}/measurements`, text: 'Measurements' }]}>
      <EstimateLinks buildId={build.id} here="seams" />
      <RefusedOnList refusal={refusal} />
      <p>
        Where panels meet. The flatter a seam, the less its fillet takes: measure the angle at a few places from fore to aft.
        {model.rows.length > 0 && <> Together {format.length(model.totalM, club)}, with {format.volume(model.filletMl, club)} of fillet before gaps and waste{model.guesses > 0 && `; ${plural(model.guesses, 'seam rests', 'seams rest')} on guesses`}.</>}
      </p>
      <Table
        caption="Seams" quietCaption rows={model.rows} rowKey={(s) => s.key}
        empty={<Empty>No seams yet. Add one, and the estimate says what its fillet and tapes take.</Empty>}
        columns={[
          { key: 'name', heading: 'Seam', cell: (s) => <a href={`${at}/${s.key}`}>{s.name}</a> },
          { key: 'length', heading: 'Length', cell: (s) => <>{format.length(s.lengthM.value, club)}, {ORIGIN_WORDS[s.lengthM.origin]}</> },
          { key: 'angle', heading: 'Inside angle', cell: (s) => <>{courseWords(s.anglesDeg, club)}, {ORIGIN_WORDS[s.angleOrigin]}</> },
          { key: 'fillet', heading: 'Fillet', cell: (s) => (s.radiusMm.value === 0 ? 'none' : `${format.small(s.radiusMm.value, club)} radius, ${format.volume(s.sums.filletMl, club)}`) },
          { key: 'tapes', heading: 'Tapes', cell: (s) => (s.tapes.length === 0 ? 'none' : s.tapes.map((t) => tapeWords(t, club)).join('; ')) },
        ]}
      />
      {mayEdit && <ButtonRow><ButtonLink href={`${at}/new`}>Add one of your own</ButtonLink></ButtonRow>}
      <LeftOutSheet at={at} rows={model.leftOut} version={model.version} mayEdit={mayEdit} what="seam" />
    </BuildLayout>
  )
}
