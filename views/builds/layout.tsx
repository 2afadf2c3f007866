import type { ClothLayout, CutPart, LayoutModel, PlyLayout } from '../../src/features/builds/layout/types.ts'
import type { LayoutPageModel } from '../../src/features/builds/queries/layout.ts'
import { Button, Caution, Form, format, Notice, NumberField, plural, sentence, Sheet, Table, usePage, type FormRefusal, type Typed } from '../shared/index.ts'
import { fieldUnit, shownIn } from '../shared/measures.ts'
import { EstimateLinks } from './_estimate-links.tsx'
import { BuildLayout } from './_head.tsx'
import { LayoutSheet } from './_layout-sheet.tsx'
import { allowanceWords, clothSentence, cutWords, GRAIN_WORDS, jointWords, layoutSentence, partWords, placeWords, sizeWords } from './layout-words.ts'

export type LayoutProps = LayoutPageModel & { refusal?: FormRefusal | undefined; typed?: Typed | undefined }

/** What is cut from which sheet, and the lengths of cloth. */
export function LayoutPage({ build, model, refusal, typed }: LayoutProps) {
  const { club, may } = usePage()
  const at = `/builds/${build.id}`
  return (
    <BuildLayout build={build} title={`What ${build.name} is cut from`} wide>
      <EstimateLinks buildId={build.id} here="layout" />
      <p class="lead">{layoutSentence(model, build.name, club)}{model.cloths.length > 0 && ` ${clothSentence(model.cloths, club)}`}</p>
      {model.plies.length > 0 && (
        <p class="quiet">
          Every part is drawn as the rectangle that bounds it, so there is room to spare: curved parts often nest closer, and a whole sheet fewer may do. Lay them out with patterns before the last sheet is bought.
        </p>
      )}
      {model.plies.length === 0 && !model.isKit && <div class="empty"><p>{may('builds.edit') ? <>Start with her <a href={`${at}/panels`}>panels</a>.</> : 'Her team can put in her panels.'}</p></div>}
      {model.plies.length > 0 && (
        <>
          <Caution defers="Where a joint may lie, and whether it is a scarf or a strap, is the designer’s to say; so is another way of the grain.">
            Two people carry and saw a full sheet. Wood and ply dust harms: extractor on, P3 half mask or FFP3 that fits; hold up the offcut so that it can’t pinch the blade.
          </Caution>
          <p class="print-line no-print"><button type="button" class="button button-plain" data-print hidden>Print</button><span class="print-hint">Prints on A4: take Print in the browser’s menu.</span></p>
        </>
      )}
      {model.plies.map((p) => <Ply key={p.part} ply={p} buildId={build.id} />)}
      {model.cloths.length > 0 && <Cloths cloths={model.cloths} />}
      {model.plies.length > 0 && <Settings build={build} model={model} refusal={refusal} typed={typed} />}
    </BuildLayout>
  )
}

function Ply({ ply, buildId }: { ply: PlyLayout; buildId: string }) {
  const { club } = usePage()
  const { source, joints } = ply
  const size = sizeWords(source.lengthMm, source.widthMm, club)
  return (
    <Sheet title={`${ply.material}: ${plural(ply.sheets.length, 'sheet', 'sheets')}`}>
      <p>
        {source.item ? <>Sheets of {size}, as <a href={`/stores/items/${source.item.id}`}>{source.item.name}</a> in the stores.</> : <>Sheets of {size}, the usual size: <a href={`/builds/${buildId}/materials`}>say what they are in the stores</a> and their own size counts.</>}
        {ply.isSizeLeftOut && ' The size that the stores have for it is too small to cut from.'}
        {joints.length > 0 && ` ${joints.map((j) => sentence(`${jointWords(j)}, ${j.joint === 'scarf' ? `${format.small(j.allowanceMm, club)} long` : `${format.small(j.allowanceMm, club)} long and of the same ply`}${j.isWide ? '; it is wider than a sheet, too' : ''}`)).join(' ')}`}
      </p>
      <div class="cuts">{ply.sheets.map((s) => <LayoutSheet key={s.number} sheet={s} ply={ply} />)}</div>
      <Table
        caption={`Parts of ${ply.material.charAt(0).toLowerCase()}${ply.material.slice(1)}`} rows={ply.sheets.flatMap((s) => s.parts)} rowKey={(p) => String(p.number)} stack
        columns={[
          { key: 'part', heading: 'Part', cell: (p: CutPart) => `${p.number} ${partWords(p)}` },
          { key: 'size', heading: 'Length × width', numeric: true, cell: (p) => sizeWords(p.lengthMm, p.widthMm, club) },
          { key: 'grain', heading: 'Grain', cell: (p) => GRAIN_WORDS[p.grain] },
          { key: 'sheet', heading: 'Sheet', cell: (p) => placeWords(p, club) },
          { key: 'joint', heading: 'Joint', cell: (p) => allowanceWords(p, joints, club) },
        ]}
      />
    </Sheet>
  )
}

function Cloths({ cloths }: { cloths: readonly ClothLayout[] }) {
  const { club } = usePage()
  return (
    <Sheet title="Cloth off the roll">
      <Table
        caption="Lengths to cut" quietCaption rows={cloths} rowKey={(c) => c.surfaceKey} stack
        columns={[
          { key: 'face', heading: 'Face', cell: (c: ClothLayout) => c.name },
          { key: 'cloth', heading: 'Cloth', cell: (c) => `${c.material}${c.layers === 1 ? '' : `, ${c.layers} layers`}` },
          { key: 'roll', heading: 'Roll', cell: (c) => (c.roll.item ? `${format.small(c.roll.widthMm, club)}, ${c.roll.item.name}` : `${format.small(c.roll.widthMm, club)}, a usual width`) },
          { key: 'cut', heading: 'Lengths of one layer', cell: (c) => (c.cut ? cutWords(c.cut, club) : 'by its area, laps and trimmings added') },
          { key: 'other', heading: 'Or', cell: (c) => (c.other ? `${cutWords(c.other, club)}: ${format.length((c.other.totalMm * c.layers) / 1000, club)} in all` : '–') },
          { key: 'total', heading: 'Off the roll', numeric: true, cell: (c) => format.length(c.totalMm / 1000, club) },
        ]}
      />
      <p class="quiet">A face is taken as the rectangle that bounds its panels, with {format.small(50, club)} at each end and at least {format.small(50, club)} where lengths lie over each other. Where a join may lie is the designer’s to say.</p>
    </Sheet>
  )
}

function Settings({ build, model: { cutting }, refusal, typed }: { build: LayoutProps['build']; model: LayoutModel; refusal: FormRefusal | undefined; typed: Typed | undefined }) {
  const units = usePage().club?.units ?? 'metric'
  const { word } = fieldUnit('small', units)
  return (
    <Sheet title="How it is sawn">
      {refusal && <Notice kind="care">The drawings above are with the usual figures until these are mended.</Notice>}
      <Form action={`/builds/${build.id}/layout`} method="get" layout="row" refusal={refusal} typed={typed} label="How it is sawn">
        <NumberField name="kerf" label="Saw cut" unit={word} value={shownIn(cutting.kerfMm, 'small', units)} hint="Between parts" />
        <NumberField name="trim" label="Edges" unit={word} value={shownIn(cutting.trimMm, 'small', units)} hint="Taken off all round" />
        <NumberField name="scarf" label="Scarf" unit="to 1" value={cutting.scarfSlope} hint="Its length over the thickness" />
        <Button>Lay out anew</Button>
      </Form>
    </Sheet>
  )
}
