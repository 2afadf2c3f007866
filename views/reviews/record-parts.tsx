/** The parts of a build's record; each is left out where there is nothing of it. */
import type { Craft } from '../../src/core/forecast/types.ts'
import type { BuildRecord, RecordLot, RecordMeasure } from '../../src/features/reviews/record/model.ts'
import { CRAFT_WORDS, format, hours, measureKind, Table, usePage, useTimes, withUnit, type Column } from '../shared/index.ts'
import { useDays } from './record-words.ts'

export function Measures({ measures }: BuildRecord) {
  const units = usePage().club?.units ?? 'metric'
  const text = (m: RecordMeasure) => `${m.choice ?? withUnit(m.value, measureKind(m), units)}${m.isGuess ? ' (estimated)' : ''}`
  if (measures.length === 0) return null
  return (
    <section>
      <h2>Measurements</h2>
      <dl class="record-pairs">
        {measures.map((m) => <div key={m.key}><dt>{m.label}</dt><dd>{text(m)}</dd></div>)}
      </dl>
    </section>
  )
}

export function Hours({ hours: h }: BuildRecord) {
  const { day } = useDays()
  if (h.totalMin === 0) return null
  const crafts = (Object.keys(CRAFT_WORDS) as Craft[]).filter((c) => (h.byCraft[c] ?? 0) > 0)
  const cell = (minutes: number | undefined) => (minutes === undefined || minutes === 0 ? '' : hours(minutes))
  const columns: Column<BuildRecord['hours']['byPhase'][number]>[] = [
    { key: 'phase', heading: 'Phase', cell: (p) => p.phase },
    ...crafts.map((c) => ({ key: c, heading: CRAFT_WORDS[c], numeric: true, cell: (p: BuildRecord['hours']['byPhase'][number]) => cell(p.byCraft[c]) })),
    { key: 'all', heading: 'Together', numeric: true, cell: (p) => hours(p.minutes) },
  ]
  return (
    <section>
      <h2>Hours</h2>
      <p>{hours(h.totalMin)} of all hands together{h.firstOn !== null && h.lastOn !== null && (h.firstOn === h.lastOn ? `, on ${day(h.firstOn)}` : `, from ${day(h.firstOn)} to ${day(h.lastOn)}`)}: with setting up, clearing up and what was done again.</p>
      <Table
        caption="Hours by phase and kind of work" quietCaption rows={h.byPhase} rowKey={(p) => p.phase} columns={columns}
        foot={<tr><th scope="row">Together</th>{crafts.map((c) => <td key={c} class="numeric">{cell(h.byCraft[c])}</td>)}<td class="numeric">{hours(h.totalMin)}</td></tr>}
      />
    </section>
  )
}

export function Coats({ coats }: BuildRecord) {
  const times = useTimes()
  const { at } = useDays()
  if (coats.length === 0) return null
  return (
    <section>
      <h2>Coats and glue</h2>
      <Table
        caption="What was put on, in the order of the days" quietCaption rows={coats} rowKey={(c) => c.id} stack
        columns={[
          { key: 'what', heading: 'What', cell: (c) => c.task },
          { key: 'product', heading: 'Product', cell: (c) => c.product },
          { key: 'start', heading: 'From', cell: (c) => at(c.start) },
          { key: 'end', heading: 'Until', cell: (c) => times.timeOr(c.end.getTime() / 60_000, c.start.getTime() / 60_000) },
          { key: 'place', heading: 'Where', cell: (c) => c.place },
          { key: 'note', heading: 'Note', cell: (c) => c.note },
        ]}
      />
    </section>
  )
}

export function Lots({ lots, cents }: BuildRecord) {
  const { club } = usePage()
  const { day } = useDays()
  if (lots.length === 0) return null
  const amount = (milli: number, l: RecordLot) => format.stockAmount(milli, l.unit, club)
  const columns: Column<RecordLot>[] = [
    { key: 'item', heading: 'Material', cell: (l) => l.item },
    { key: 'lot', heading: 'Lot', cell: (l) => <>{l.number}{l.code !== '' && <span class="quiet"> ({l.code})</span>}</> },
    { key: 'supplier', heading: 'Supplier', cell: (l) => l.supplier ?? '' },
    { key: 'received', heading: 'Received', cell: (l) => day(l.receivedOn) },
    { key: 'used', heading: 'Used for her', numeric: true, cell: (l) => amount(l.milli, l) },
    ...(cents === null ? [] : [
      { key: 'paid', heading: 'Receipt', numeric: true, cell: (l: RecordLot) => (l.paid ? `${format.money(l.paid.cents, club)} for ${amount(l.paid.milli, l)}` : '') },
      { key: 'cents', heading: 'Charged to her', numeric: true, cell: (l: RecordLot) => (l.cents === null ? '' : format.money(l.cents, club)) },
    ]),
  ]
  return (
    <section>
      <h2>Materials by lot</h2>
      <Table
        caption="What went into her from the stores, less what came back" quietCaption rows={lots} rowKey={(l) => l.lotId} columns={columns} stack
        {...(cents === null ? {} : { foot: <tr><th scope="row">Together</th><td colSpan={5} /><td class="numeric">{format.money(cents, club)}</td></tr> })}
      />
      <p class="muted">The number is the club’s, on the can; in brackets the supplier’s own code.</p>
    </section>
  )
}

export function Batches({ batches }: BuildRecord) {
  const { club } = usePage()
  const { at } = useDays()
  if (batches.length === 0) return null
  return (
    <section>
      <h2>Mixed batches</h2>
      <Table
        caption="Resin, paint and glue as they were mixed" quietCaption rows={batches} rowKey={(b) => String(b.number)} stack
        columns={[
          { key: 'number', heading: 'Batch', cell: (b) => b.number },
          { key: 'at', heading: 'Mixed', cell: (b) => at(b.at) },
          { key: 'product', heading: 'Product', cell: (b) => `${b.product}, ${b.ratio}` },
          { key: 'mass', heading: 'Amount', numeric: true, cell: (b) => format.mass(b.massMg / 1000, club) },
          { key: 'task', heading: 'For', cell: (b) => b.task ?? '' },
          { key: 'lots', heading: 'From', cell: (b) => b.lots.join('; ') },
        ]}
      />
    </section>
  )
}

export function Snags({ snags }: BuildRecord) {
  const { day, on } = useDays()
  if (snags.length === 0) return null
  const open = snags.filter((s) => s.closedOn === null).length
  return (
    <section>
      <h2>Snags and repairs</h2>
      <p>{open === 0 ? 'All that were found are settled.' : `${open} of ${snags.length} ${open === 1 ? 'is' : 'are'} open.`}</p>
      <Table
        caption="Faults that were found, and what was done" quietCaption rows={snags} rowKey={(s) => s.id} stack
        columns={[
          { key: 'no', heading: 'No.', cell: (s) => s.no },
          { key: 'what', heading: 'What and where', cell: (s) => `${s.what}${s.whereAt === '' ? '' : `, ${s.whereAt}`}` },
          { key: 'found', heading: 'Found', cell: (s) => day(s.foundOn) },
          { key: 'mended', heading: 'Mended by', cell: (s) => (s.rework === null ? '' : `${s.rework.name}${s.rework.finishedAt === null ? ' (not done yet)' : `, ${on(s.rework.finishedAt)}`}`) },
          { key: 'closed', heading: 'Settled', cell: (s) => (s.closedOn === null ? 'open' : `${day(s.closedOn)}${s.closedNote === '' ? '' : `: ${s.closedNote}`}`) },
        ]}
      />
    </section>
  )
}

export function Learnt({ learnt, boat }: BuildRecord) {
  const { on } = useDays()
  if (learnt.length === 0) return null
  return (
    <section>
      <h2>Decisions and lessons</h2>
      <ul class="plain-list">
        {learnt.map((l) => (
          <li key={l.id}>
            <span class="quiet">{on(l.at)}, {l.by}{l.taskName !== null && `, at ${l.taskName}`}</span><br />
            <b>{l.kind === 'decision' ? 'Decided: ' : 'Learnt: '}</b><span class="own-words">{l.text}</span>
          </li>
        ))}
      </ul>
      <p class="no-print"><a href={`/builds/${boat.id}/log`}>All of her log</a></p>
    </section>
  )
}

export function WeighIns({ weighIns }: BuildRecord) {
  const { club } = usePage()
  const { day } = useDays()
  if (weighIns.length === 0) return null
  return (
    <section>
      <h2>On the scales</h2>
      <Table
        caption="Weighings" quietCaption rows={weighIns} rowKey={(w) => w.id} stack
        columns={[
          { key: 'day', heading: 'Day', cell: (w) => day(w.day) },
          { key: 'mass', heading: 'Weight', numeric: true, cell: (w) => format.mass(w.massG, club) },
          { key: 'what', heading: 'What hung on them', cell: (w) => `${w.what}${w.isWhole ? '' : ' (a part of her)'}` },
          { key: 'note', heading: 'Note', cell: (w) => w.note },
        ]}
      />
    </section>
  )
}

export function Agreed({ baselines }: BuildRecord) {
  const { club, may } = usePage()
  const { day, on } = useDays()
  if (baselines.length === 0) return null
  return (
    <section>
      <h2>Plans that were agreed</h2>
      <Table
        caption="What progress was measured against" quietCaption rows={baselines} rowKey={(b) => b.id} stack
        columns={[
          { key: 'no', heading: 'No.', cell: (b) => b.no },
          { key: 'at', heading: 'Agreed', cell: (b) => `${on(b.agreedAt)}${b.by ? `, ${b.by}` : ''}` },
          { key: 'why', heading: 'Why', cell: (b) => b.reason },
          { key: 'work', heading: 'Work', numeric: true, cell: (b) => hours(b.totalMin) },
          { key: 'launch', heading: 'Launch as planned', cell: (b) => (b.launchAt === null ? '' : on(b.launchAt)) },
          { key: 'target', heading: 'Wanted by', cell: (b) => (b.targetOn === null ? '' : day(b.targetOn)) },
          ...(may('builds.money') ? [{ key: 'budget', heading: 'Materials', numeric: true, cell: (b: BuildRecord['baselines'][number]) => (b.budgetCents === null ? '' : format.wholeMoney(b.budgetCents, club)) }] : []),
        ]}
      />
    </section>
  )
}

export function Weeks({ reviews, boat }: BuildRecord) {
  const { day, on } = useDays()
  if (reviews.length === 0) return null
  return (
    <section>
      <h2>Week reviews</h2>
      <p>{reviews.length === 1 ? 'One is signed' : `${reviews.length} are signed`}; each is a page of its own, to be printed with this.</p>
      <ul class="guest-weeks">
        {reviews.map((r) => <li key={r.monday}><a href={`/builds/${boat.id}/reviews/${r.monday}`}>Week {r.no}</a> <span class="quiet">from {day(r.monday)}, signed {on(r.signedAt)}</span></li>)}
      </ul>
    </section>
  )
}

export function Photos({ photos, boat }: BuildRecord) {
  const { day } = useDays()
  if (photos.length === 0) return null
  return (
    <section>
      <h2>Photos</h2>
      <ul class="guest-photos">
        {photos.map((p) => (
          <li key={p.id}>
            <figure>
              <img src={`/builds/${boat.id}/photos/${p.id}/small`} width={p.width} height={p.height} alt={p.caption === '' ? `${boat.name}, ${day(p.takenOn)}` : p.caption} />
              <figcaption>{p.caption !== '' && <>{p.caption} </>}<span class="quiet">{day(p.takenOn)}</span></figcaption>
            </figure>
          </li>
        ))}
      </ul>
    </section>
  )
}
