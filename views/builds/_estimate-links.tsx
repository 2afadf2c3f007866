import { ButtonLink, ButtonRow } from '../shared/index.ts'

const LINKS = [
  ['estimate', 'Estimate'], ['measurements', 'Measurements'], ['panels', 'Panels'], ['seams', 'Seams'], ['layout', 'Layout'], ['weight', 'Weight'], ['options', 'Options'],
] as const

/** The pages about what she takes, beside each other. */
export function EstimateLinks({ buildId, here }: { buildId: string; here: (typeof LINKS)[number][0] }) {
  return (
    <nav aria-label="What she takes" class="no-print">
      <ButtonRow>
        {LINKS.filter(([path]) => path !== here).map(([path, text]) => <ButtonLink key={path} href={`/builds/${buildId}/${path}`}>{text}</ButtonLink>)}
        <ButtonLink href="/estimate-rules">Rules</ButtonLink>
      </ButtonRow>
    </nav>
  )
}
