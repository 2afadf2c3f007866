/** Charts: each has a sentence that says what it shows, and a table beside or under it. */
import type { ComponentChildren } from 'preact'

export interface WeekColumn { readonly id: string; readonly head: ComponentChildren; readonly note?: ComponentChildren }
export interface WeekRow {
  readonly id: string
  readonly head: ComponentChildren
  /** By column id: the pieces in that session, in order. */
  readonly cells: Readonly<Record<string, readonly ComponentChildren[]>>
  /** By the id of the column BEFORE the gap: what stands between two sessions (a window in words). */
  readonly between: Readonly<Record<string, readonly ComponentChildren[]>>
}

/**
 * Rows are builds, columns of equal width the coming sessions. Between two sessions stands what opens or shuts then. On a phone
 * each build becomes a block with its sessions under each other.
 */
export function WeekChart({ caption, sentence, columns, rows }: { caption: string; sentence: ComponentChildren; columns: readonly WeekColumn[]; rows: readonly WeekRow[] }) {
  return (
    <figure class="week-chart">
      <figcaption>{sentence}</figcaption>
      <div class="table-box" tabindex={0} role="region" aria-label={caption}>
        <table>
          <caption class="unseen">{caption}</caption>
          <thead><tr><th scope="col">Build</th>{columns.map((c) => <th key={c.id} scope="col">{c.head}{c.note && <span class="note">{c.note}</span>}</th>)}</tr></thead>
          <tbody>
            {rows.map((r) => (
              <tr key={r.id}>
                <th scope="row">{r.head}</th>
                {columns.map((c) => (
                  <td key={c.id}>
                    <span class="phone-head">{c.head}</span>
                    {(r.cells[c.id] ?? []).length > 0 ? <ol class="pieces">{(r.cells[c.id] ?? []).map((p, i) => <li key={i}>{p}</li>)}</ol> : <span class="none">–</span>}
                    {(r.between[c.id] ?? []).map((b, i) => <p key={i} class="between">{b}</p>)}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </figure>
  )
}

export interface Series { readonly name: string; readonly kind: 'solid' | 'dashed' | 'dotted'; readonly values: readonly (number | null)[] }

/** Lines over equally spaced labels; y from 0. The same figures belong in a table under it. */
export function LineChart({ sentence, labels, series, unit }: { sentence: string; labels: readonly string[]; series: readonly Series[]; unit: string }) {
  const W = 640
  const H = 200
  const left = 44
  const bottom = 24
  const top = Math.max(1, ...series.flatMap((s) => s.values.map((v) => v ?? 0)))
  const x = (i: number): number => left + (labels.length < 2 ? 0 : (i * (W - left - 8)) / (labels.length - 1))
  const y = (v: number): number => 8 + (H - bottom - 8) * (1 - v / top)
  const every = Math.max(1, Math.ceil(labels.length / 8))
  return (
    <figure class="line-chart">
      <figcaption>{sentence}</figcaption>
      <svg viewBox={`0 0 ${W} ${H}`} role="img" aria-label={sentence}>
        {[0, 0.5, 1].map((f) => <g key={f}><line class="grid" x1={left} x2={W - 8} y1={y(top * f)} y2={y(top * f)} /><text class="tick" x={left - 6} y={y(top * f) + 4} text-anchor="end">{Math.round(top * f)}</text></g>)}
        {labels.map((l, i) => i % every === 0 && <text key={l} class="tick" x={x(i)} y={H - 6} text-anchor="middle">{l}</text>)}
        {series.map((s) => <path key={s.name} class={`line ${s.kind}`} d={pathOf(s.values, x, y)} fill="none" />)}
      </svg>
      <ul class="legend">{series.map((s) => <li key={s.name}><span class={`key ${s.kind}`} aria-hidden="true" />{s.name}{unit ? `, ${unit}` : ''}</li>)}</ul>
    </figure>
  )
}

function pathOf(values: readonly (number | null)[], x: (i: number) => number, y: (v: number) => number): string {
  let d = ''
  let pen = false
  values.forEach((v, i) => {
    if (v === null) { pen = false; return }
    d += `${pen ? 'L' : 'M'}${x(i).toFixed(1)} ${y(v).toFixed(1)}`
    pen = true
  })
  return d
}
