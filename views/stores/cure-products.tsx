import type { ProductLine } from '../../src/features/stores/queries/products.ts'
import { ButtonLink, ButtonRow, Empty, ErrorSummary, format, Layout, Notice, Table, Tag, TapForm, usePage, type FormRefusal } from '../shared/index.ts'
import { KIND_WORDS, lagWords } from './words.ts'

export function CureProducts({ products, refusal }: { products: readonly ProductLine[]; refusal?: FormRefusal }) {
  const page = usePage()
  const mayEdit = page.may('stores.products')
  const usual = mayEdit && <TapForm action="/stores/cure-products/usual" kind={products.length === 0 ? 'main' : 'plain'}>Put in the usual ones</TapForm>
  return (
    <Layout title="Cure products" wide>
      {refusal && <ErrorSummary refusal={refusal} />}
      <p>Resins, glues, paints and varnishes with their data-sheet figures. Every recoat window is reckoned from them, by the temperature of the place.</p>
      <ButtonRow>
        {mayEdit && <ButtonLink href="/stores/cure-products/new" kind="main">Add a product</ButtonLink>}
        {usual}
      </ButtonRow>
      {products.some((p) => p.isFromMemory && p.isActive) && (
        <Notice kind="care">Figures marked “from memory” are stand-ins. Put in those of the data sheet that came with your tin before you rely on a window.</Notice>
      )}
      {products.length === 0 ? <Empty>No cure products yet.</Empty> : (
        <Table
          caption="At the reference temperature" rows={products} rowKey={(p) => p.id}
          columns={[
            { key: 'name', heading: 'Product', cell: (p) => <><a href={`/stores/cure-products/${p.id}`}>{p.name}</a>{p.isFromMemory && <> <Tag>from memory</Tag></>}{!p.isActive && <> <Tag>retired</Tag></>}</> },
            { key: 'kind', heading: 'Kind', cell: (p) => KIND_WORDS[p.kind] ?? p.kind },
            { key: 'at', heading: 'At', numeric: true, cell: (p) => format.temperature(p.referenceTemp, page.club) },
            { key: 'opens', heading: 'Window opens', numeric: true, cell: (p) => lagWords(p.opensMin) },
            { key: 'closes', heading: 'shuts', numeric: true, cell: (p) => lagWords(p.closesMin, p.opensMin === null ? '–' : 'never') },
            { key: 'sandable', heading: 'Sandable', numeric: true, cell: (p) => lagWords(p.sandableMin) },
            { key: 'full', heading: 'Full cure', numeric: true, cell: (p) => lagWords(p.fullCureMin) },
          ]}
        />
      )}
    </Layout>
  )
}
