import { labelOf, PICTOGRAMS, type LabelPart } from '../../src/core/stock/label.ts'
import { Caution } from './notices.tsx'

/** Label elements of an item, or of a mix: shown wherever it is handled. Nothing for what has no hazard. */
export function LabelElements({ parts, name, defers }: { parts: readonly LabelPart[]; name?: string; defers?: string }) {
  const label = labelOf(parts, name)
  if (!label.isHazardous) return null
  return (
    <Caution {...(defers === undefined ? {} : { defers })}>
      <div class="ghs">
        <p><b>{label.identifier}</b>{label.signalWord !== '' && <>: <b class="ghs-signal">{label.signalWord}</b></>}</p>
        {label.pictograms.length > 0 && (
          <ul class="ghs-pictograms">
            {label.pictograms.map((code) => (
              <li key={code}>
                <svg viewBox="0 0 32 32" width="32" height="32" aria-hidden="true" focusable="false"><path class="ghs-frame" d="M16 2 30 16 16 30 2 16z" /><text x="16" y="20" text-anchor="middle">{code.slice(3)}</text></svg>
                {PICTOGRAMS[code]} <span class="muted">({code})</span>
              </li>
            ))}
          </ul>
        )}
        {label.hazards.length > 0 && <p>{sentences(label.hazards)}</p>}
        {label.precautions.length > 0 && <p>{sentences(label.precautions)}</p>}
        {label.suppliers.map((s) => <p key={s.name} class="ghs-supplier">{[s.name, s.address.replaceAll(/\r?\n/g, ', '), s.phone].filter(Boolean).join(' · ')}</p>)}
        {label.missing.length > 0 && <p class="no-print muted">The label lacks {label.missing.join('; ')}.</p>}
      </div>
    </Caution>
  )
}

/** Statements as they were typed, with or without a full stop. */
const sentences = (lines: readonly string[]): string => lines.map((line) => (/[.!?]$/.test(line) ? line : `${line}.`)).join(' ')
