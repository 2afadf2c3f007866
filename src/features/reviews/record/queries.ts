import type { Reader } from '../../../platform/database.ts'
import { isoDate, localDate } from '../../../platform/times.ts'
import { boatView, logOf, photosOf, snagsOf } from '../../builds/public.ts'
import { buildCost } from '../../stores/public.ts'
import { baselinesOf } from '../progress/rows.ts'
import { signedReviews } from '../week/queries/review.ts'
import { hoursOf, stretchesOf } from './hours.ts'
import { batchesOf, lotsOf } from './lots.ts'
import type { BuildRecord, RecordBoat, RecordCoat, RecordMeasure, RecordWeighIn } from './model.ts'

/** The whole build as one document, as the books stand. `withMoney`: for readers who may see what she cost. */
export async function buildRecord(db: Reader, buildId: string, zone: string, withMoney: boolean): Promise<BuildRecord> {
  const phases = await db.phase.findMany({ where: { buildId }, select: { name: true }, orderBy: [{ position: 'asc' }, { id: 'asc' }] })
  const view = await boatView(db, buildId)
  const measures = !view.ok ? [] : view.value.figures.map(({ def, figure }): RecordMeasure => ({
    key: def.key, label: def.label, unit: def.unit, value: figure.value, choice: def.choices?.find((c) => c.value === figure.value)?.label ?? null, isGuess: figure.origin === 'guess',
  }))
  return {
    boat: await boatOf(db, buildId, zone, view.ok ? view.value.list.name : null),
    measures,
    hours: hoursOf(await stretchesOf(db, buildId), phases.map((p) => p.name), zone),
    coats: await coatsOf(db, buildId),
    lots: await lotsOf(db, buildId, withMoney),
    cents: withMoney ? (await buildCost(db, buildId)).cents : null,
    batches: await batchesOf(db, buildId),
    snags: (await snagsOf(db, buildId)).sort((a, b) => a.no - b.no),
    learnt: (await logOf(db, buildId, { kinds: ['lesson', 'decision'] })).reverse(),
    weighIns: await weighInsOf(db, buildId),
    baselines: (await baselinesOf(db, buildId)).toReversed(),
    reviews: await signedReviews(db, buildId),
    photos: await photosOf(db, buildId),
  }
}

async function boatOf(db: Reader, buildId: string, zone: string, listName: string | null): Promise<RecordBoat> {
  const b = await db.build.findUniqueOrThrow({
    where: { id: buildId },
    select: {
      id: true, name: true, design: true, state: true, grade: true, listKey: true, listVersion: true, startedOn: true, inServiceOn: true, massTargetG: true, version: true, launchTaskId: true,
      place: { select: { name: true, site: { select: { name: true } } } }, launchTask: { select: { finishedAt: true } },
      team: { select: { member: { select: { name: true } } }, orderBy: { member: { name: 'asc' } } },
    },
  })
  const hands = await db.member.findMany({ where: { workLogPeople: { some: { workLog: { buildId } } } }, select: { name: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] })
  return {
    id: b.id, name: b.name, design: b.design, state: b.state, place: b.place.name === b.place.site.name ? b.place.name : `${b.place.name}, ${b.place.site.name}`, grade: b.grade,
    list: b.listKey === null || listName === null ? null : { name: listName, version: b.listVersion }, startedOn: isoDate(b.startedOn),
    launchedOn: b.state === 'launched' && b.launchTask?.finishedAt ? localDate(zone, b.launchTask.finishedAt) : null, inServiceOn: b.inServiceOn && isoDate(b.inServiceOn),
    maySetInService: b.state === 'launched' || b.launchTaskId === null, massTargetG: b.massTargetG, version: b.version, team: b.team.map((t) => t.member.name), hands: hands.map((m) => m.name),
  }
}

async function coatsOf(db: Reader, buildId: string): Promise<RecordCoat[]> {
  const rows = await db.coat.findMany({
    where: { task: { buildId } },
    select: { id: true, startedAt: true, endedAt: true, note: true, product: { select: { name: true } }, place: { select: { name: true } }, task: { select: { name: true, phase: { select: { name: true } } } } },
    orderBy: [{ startedAt: 'asc' }, { id: 'asc' }],
  })
  return rows.map((c) => ({ id: c.id, task: c.task.name, phase: c.task.phase.name, product: c.product.name, place: c.place.name, start: c.startedAt, end: c.endedAt, note: c.note }))
}

async function weighInsOf(db: Reader, buildId: string): Promise<RecordWeighIn[]> {
  const rows = await db.weighIn.findMany({
    where: { buildId, withdrawnAt: null }, select: { id: true, weighedOn: true, massG: true, what: true, isWhole: true, note: true }, orderBy: [{ weighedOn: 'asc' }, { loggedAt: 'asc' }, { id: 'asc' }],
  })
  return rows.map(({ weighedOn, ...w }) => ({ ...w, day: isoDate(weighedOn) }))
}
