import { addDays } from '../../../core/calendar/index.ts'
import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { takeSetUpCode } from '../../../platform/set-up.ts'
import type { SignInService } from '../../../platform/sign-in.ts'
import { audit, refused, type Actor, type Ctx, type Done, type PublicCtx, type Refusal } from '../../../platform/write.ts'
import { addMember } from '../../members/public.ts'
import { seedCureProducts } from '../../stores/public.ts'
import { climatePreset, isSouthern } from '../presets.ts'
import { firstOn } from '../schemas/session.ts'
import type { SetUp } from '../schemas/set-up.ts'
import { localParts } from '../times.ts'
import { enterSessions } from './sessions.ts'

const SATURDAY = 6
/** Sessions entered at first; the rhythm is assumed to go on after them. */
const WEEKS = 12

/** What the standard list of a dinghy asks for, so that a first build can be planned at once. The officer corrects it to what is really there. */
const COMPETENCES = [
  { name: 'Bandsaw', note: 'Blade change, guards, feeding small parts, stopping in an emergency.', refreshYears: 3 },
  { name: 'Router', note: 'Bit change, depth, feed direction, holding the work.', refreshYears: 3 },
] as const
const TOOLS: readonly { name: string; count: number; isFixed: boolean; competence?: string; note: string }[] = [
  { name: 'Long bench', count: 1, isFixed: true, note: 'A glue-up left on it keeps it.' },
  { name: 'Jigsaw', count: 2, isFixed: false, note: '' },
  { name: 'Bandsaw', count: 1, isFixed: true, competence: 'Bandsaw', note: '' },
  { name: 'Router', count: 1, isFixed: false, competence: 'Router', note: '' },
  { name: 'Clamps', count: 30, isFixed: false, note: 'All sizes counted together.' },
  { name: 'Sander with extractor', count: 2, isFixed: false, note: '' },
]

export type StartedClub = { officer: Actor; userId: string }

/** Makes the club, its first officer and what it begins with: all of it, or nothing. */
export async function startClub(tx: Tx, ctx: PublicCtx, signIn: SignInService, input: SetUp): Promise<Result<StartedClub, Refusal>> {
  if (!(await takeSetUpCode(tx, input.code)) || (await tx.club.count()) > 0) {
    return refused(422, 'Nothing was set up.', { fields: { code: 'Set-up code: this is not the code that the start printed' } })
  }
  const { club: name, zone, locale, units, currency } = input
  await tx.club.create({ data: { id: 1, name, zone, locale, units, currency, setUpAt: ctx.now } })
  const roles = ['officer', 'keyholder', 'builder'] as const
  const added = await addMember(tx, ctx, { name: input.name, email: input.email, phone: null, roles: [...roles], isMinor: false, helpsAnyone: true, note: '' })
  if (!added.ok) return added
  const officer = { id: added.value, name: input.name, roles }
  const { userId } = await signIn.setPassword(tx, { memberId: officer.id, email: input.email, password: input.password })
  const siteId = await firstWorkshop(tx, isSouthern(zone, ctx.now))
  await seedCureProducts(tx)
  await audit(tx, { ...ctx, member: officer }, { what: 'set up the club', entity: 'club', entityId: '1', after: { name, zone, locale, units, currency } })
  if (!input.saturdays) return ok({ officer, userId })
  const entered = await saturdays(tx, { ...ctx, member: officer, clubZone: zone }, siteId, input)
  return entered.ok ? ok({ officer, userId }) : entered
}

async function firstWorkshop(tx: Tx, isSouth: boolean): Promise<string> {
  const { id: siteId } = await tx.site.create({ data: { name: 'Workshop' }, select: { id: true } })
  const climate = (key: string) => {
    const { monthlyAir, monthlyDew, halfSwing, heatTo, heatBeforeMin, settleMin } = climatePreset(key, isSouth)
    return { monthlyAir: [...monthlyAir], monthlyDew: [...monthlyDew], halfSwing, heatTo, heatBeforeMin, settleMin }
  }
  await tx.place.create({ data: { siteId, name: 'Main floor', bays: 2, ...climate('workshop') } })
  await tx.place.create({ data: { siteId, name: 'Paint tent', bays: 0, ...climate('tent') } })
  const competences = new Map<string, string>()
  for (const data of COMPETENCES) competences.set(data.name, (await tx.competence.create({ data, select: { id: true } })).id)
  await tx.tool.createMany({
    data: TOOLS.map(({ isFixed, competence, ...t }) => ({ ...t, siteId: isFixed ? siteId : null, competenceId: competence ? (competences.get(competence) ?? null) : null })),
  })
  return siteId
}

/** The first Saturday that is not begun yet, and the weeks after it. */
async function saturdays(tx: Tx, ctx: Ctx, siteId: string, input: SetUp): Promise<Result<Done, Refusal>> {
  const local = localParts(ctx.clubZone, ctx.now)
  const date = firstOn(local.time < input.starts ? local.date : addDays(local.date, 1), SATURDAY)
  return enterSessions(tx, ctx, {
    siteId, date, starts: input.starts, ends: input.ends, keyholderId: ctx.member.id, title: '', note: '',
    repeat: 'weekly', everyWeeks: 1, untilOn: addDays(date, 7 * (WEEKS - 1)), goesOn: true, skipTaken: false,
  })
}
