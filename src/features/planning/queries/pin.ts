import { instantToLocal } from '../../../core/calendar/index.ts'
import { instant } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import type { PinInput } from '../../builds/public.ts'
import { currentPlan } from './plans.ts'
import { zoneAround } from './sessions.ts'

type Fixable = { start: number; end: number; placeId: string | null; people: readonly string[]; supervisor: string | null }
export type PinOf = { taskId: string; input: PinInput }

/** A piece of the plan that pages show, as the pin that would hold it; null: it is not there any more. */
export async function pinOfPiece(db: Reader, buildId: string, pieceId: string, now: Date): Promise<PinOf | null> {
  const plan = await currentPlan(db, { buildId })
  const piece = plan?.pieces.find((p) => p.pieceId === pieceId)
  return piece ? { taskId: piece.taskId, input: await pinInput(db, piece, now) } : null
}

export async function pinOfSuggestion(db: Reader, buildId: string, asked: { task: string; start: number; end: number }, now: Date): Promise<PinOf | null> {
  const plan = await currentPlan(db, { none: true })
  const s = plan?.suggestions.find((x) => x.buildId === buildId && x.taskId === asked.task && x.start === asked.start && x.end === asked.end)
  return s ? { taskId: s.taskId, input: await pinInput(db, s, now) } : null
}

/** The builds' own form says times on the wall clock. */
async function pinInput(db: Reader, piece: Fixable, now: Date): Promise<PinInput> {
  const zone = await zoneAround(db, now)
  const from = instantToLocal(zone, instant(piece.start))
  const until = instantToLocal(zone, instant(piece.end))
  return { day: from.date, from: from.time, until: until.time, place: piece.placeId, people: [...piece.people], supervisor: piece.supervisor }
}

export async function taskOfPin(db: Reader, buildId: string, pinId: string): Promise<string | null> {
  return (await db.pin.findFirst({ where: { id: pinId, task: { buildId } }, select: { taskId: true } }))?.taskId ?? null
}
