/** The job list of a plausible dinghy, about fifty tasks: for worlds that a test makes up. Hours are a builder's likely ones before scaling (invented). */
import type { Craft } from '../../src/core/forecast/types.ts'
import type { CureStage } from '../../src/core/cure/types.ts'

export interface DinghyTask {
  readonly id: string
  readonly phase: string
  readonly craft: Craft
  readonly hours: number
  /** A coat or glue-up with this product: done in one go, its hours not scaled. */
  readonly product: 'epoxy' | 'paint' | null
  /** Hands from and to; `together`: all at once, for so long. */
  readonly hands: readonly [number, number]
  readonly together: boolean
  readonly after: readonly string[]
  /** Waits for this stage of the coat, or takes its window. */
  readonly on: { readonly coat: string; readonly stage: CureStage | 'window' } | null
}

/** "id craft hours", then in any order: @phase, ~product, xN together, <after, ^coat:stage. */
const LIST = `
@panels  mark-bottom wood 3 | mark-sides wood 3 | mark-frames wood 2 | cut-bottom wood 2 <mark-bottom | cut-sides wood 2.5 <mark-sides | cut-frames wood 2 <mark-frames | plane-pairs wood 2 <cut-sides
@joints  scarf-bottom resin 1 ~epoxy <cut-bottom | scarf-sides resin 1 ~epoxy <plane-pairs | trim-joints wood 1.5 ^scarf-sides:handleable <scarf-bottom | seal-panels resin 1.2 ~epoxy <trim-joints
@stitch  drill wood 3 ^seal-panels:sandable | stitch wood 5 <drill | bulkheads wood 4 <stitch,cut-frames | check-twist handling 0.5 x2 <bulkheads
@inside  tack resin 1 ~epoxy <check-twist | pull-wires wood 1.5 ^tack:handleable | fillet-port resin 1.5 ~epoxy <pull-wires | fillet-starboard resin 1.5 ~epoxy <pull-wires | tape-port resin 1.2 ~epoxy ^fillet-port:window | tape-starboard resin 1.2 ~epoxy ^fillet-starboard:window | sand-seams sanding 3 ^tape-starboard:sandable <tape-port
@outside turn-over handling 0.5 x2 <sand-seams | edges sanding 3 <turn-over | outer-tape resin 1.5 ~epoxy <edges | sheathe resin 1.7 ~epoxy ^outer-tape:window | fill-1 resin 0.8 ~epoxy ^sheathe:window | fill-2 resin 0.8 ~epoxy ^fill-1:window
@fit     turn-back handling 0.5 x2 ^fill-2:handleable | trunk wood 5 <turn-back | seats wood 6 <turn-back | tanks wood 4 <turn-back | glue-seats resin 1.5 ~epoxy <trunk,seats,tanks | rail-port resin 1.2 ~epoxy <glue-seats | rail-starboard resin 1.2 ~epoxy <glue-seats | knees wood 4 ^rail-port:handleable <rail-starboard | skeg wood 3 <turn-back
@spars   mast-staves wood 6 | glue-mast resin 1.5 ~epoxy <mast-staves | shape-mast wood 5 ^glue-mast:handleable | boom wood 3 | rudder wood 5 | board wood 4
@fair    wash sanding 1.5 <knees,skeg | scrape sanding 3 <wash | sand-inside sanding 9 <scrape | sand-outside sanding 9 <scrape | fair sanding 6 <sand-outside
@paint   prime-1 finish 1 ~paint <fair,sand-inside | prime-2 finish 1 ~paint ^prime-1:window | flat sanding 3 ^prime-2:sandable | paint-1 finish 1.2 ~paint <flat | paint-2 finish 1.2 ~paint ^paint-1:window | paint-3 finish 1.2 ~paint ^paint-2:window | varnish-1 finish 1 ~paint <shape-mast,boom,rudder,board | varnish-2 finish 1 ~paint ^varnish-1:window
@rig     fittings wood 4 ^paint-3:handleable | rig wood 3 ^varnish-2:handleable <fittings | leak-test handling 1 x2 <fittings | launch handling 1 x2 <rig,leak-test`

export const dinghy: readonly DinghyTask[] = LIST.trim().split('\n').flatMap((line) => {
  const [, phase, rows] = /^@(\S+)\s+(.*)$/.exec(line)!
  return rows!.split('|').map((row): DinghyTask => {
    const [id, craft, hours, ...marks] = row.trim().split(/\s+/)
    const mark = (sign: string): string | null => marks.find((m) => m.startsWith(sign))?.slice(1) ?? null
    const [together, on] = [mark('x'), mark('^')?.split(':')]
    const hands = together === null ? [1, 2] as const : [Number(together), Number(together)] as const
    return {
      id: id!, phase: phase!, craft: craft as Craft, hours: Number(hours), product: mark('~') as DinghyTask['product'], hands, together: together !== null,
      after: mark('<')?.split(',') ?? [], on: on ? { coat: on[0]!, stage: on[1] as CureStage | 'window' } : null,
    }
  })
})
