import type { LabelsModel } from '../../src/features/stores/queries/labels.ts'
import { Breadcrumb, Button, CheckField, Empty, Form, format, Layout, Notice, PrintSheet, QrCode, Sheet } from '../shared/index.ts'
import { LabelElements } from '../shared/label.tsx'

/** Labels for the shelf: a phone that reads the code opens the item's page. */
export function LabelsPage({ items, labels, isLocal }: LabelsModel) {
  return (
    <Layout title="Shelf labels" section="stores" above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }]} />}>
      {isLocal && <div class="no-print"><Notice kind="care">Codes printed from here open an address that only this computer knows. Open this page by the address that phones use, or have the service’s public address set, and print then.</Notice></div>}
      {labels.length > 0 && (
        <PrintSheet>
          <ul class="shelf-labels">
            {labels.map((label) => (
              <li key={label.id} class="shelf-label">
                <QrCode qr={label.qr} label={`Code that opens ${label.address}`} />
                <div>
                  <h2>{label.part.name}</h2>
                  <p>{label.shelf !== '' && <><b>{label.shelf}</b> · </>}told in {format.STOCK_UNITS[label.unit]}</p>
                  <LabelElements parts={[label.part]} />
                </div>
              </li>
            ))}
          </ul>
        </PrintSheet>
      )}
      <div class="no-print">
        <Sheet title={labels.length === 0 ? 'Which labels' : 'Other labels'}>
          {items.length === 0 ? <Empty>No items yet.</Empty> : (
            <Form action="/stores/labels" method="get" label="Which labels">
              <div class="tick-columns">
                {items.map((item) => <CheckField key={item.id} name="item" value={item.id} label={<>{item.name}{item.shelf !== '' && <span class="muted"> · {item.shelf}</span>}</>} checked={item.isChosen} />)}
              </div>
              <Button>Make the labels</Button>
            </Form>
          )}
        </Sheet>
      </div>
    </Layout>
  )
}
