/** People, places, tools and sessions of the example club. */
import { addDays, weekdayOf } from '../../src/core/calendar/index.ts'
import type { Tx } from '../../src/platform/database.ts'
import { hashPassword } from '../../src/platform/passwords.ts'
import { BARN_AIR, CLUB, COMING_WEEKS, COMPETENCES, DEMO_PASSWORD, DEW, MEMBERS, PAST_WEEKS, SHED_AIR, TOOLS } from './scenario.ts'
import { WORKING_PARTY } from './story.ts'

export interface DemoClub {
  readonly members: ReadonlyMap<string, string>
  readonly places: { readonly floor: string; readonly bench: string; readonly tent: string; readonly barn: string }
  readonly sites: { readonly shed: string; readonly barn: string }
}

const date = (iso: string): Date => new Date(`${iso}T00:00:00Z`)

export async function loadClub(tx: Tx, today: string): Promise<DemoClub> {
  const monday = addDays(today, 1 - weekdayOf(today))
  const weeksAgo = (n: number): string => addDays(monday, -7 * n)
  await tx.club.create({ data: { ...CLUB, setUpAt: date(weeksAgo(PAST_WEEKS)) } })

  const competences = new Map<string, string>()
  for (const c of COMPETENCES) competences.set(c.name, (await tx.competence.create({ data: c })).id)

  const members = new Map<string, string>()
  const passwordHash = await hashPassword(DEMO_PASSWORD)
  for (const m of MEMBERS) {
    const row = await tx.member.create({ data: { name: m.name, email: m.email, roles: [...m.roles], helpsAnyone: m.helpsAnyone ?? false, isMinor: m.isMinor ?? false, createdAt: date(weeksAgo(PAST_WEEKS)) } })
    members.set(m.key, row.id)
    if (m.email) await tx.signInUser.create({ data: { memberId: row.id, email: m.email, passwordHash } })
    for (const [name, level] of Object.entries(m.competences ?? {})) {
      const competenceId = competences.get(name)
      if (!competenceId) throw new Error(`demo: no competence ${name}`)
      await tx.memberCompetence.create({ data: { memberId: row.id, competenceId, level, checkedOn: date(weeksAgo(PAST_WEEKS)), refreshOn: date(addDays(today, 700)) } })
    }
  }
  const need = (key: string): string => {
    const id = members.get(key)
    if (!id) throw new Error(`demo: no member ${key}`)
    return id
  }

  const shed = await tx.site.create({ data: { name: 'The shed', kind: 'club' } })
  const barn = await tx.site.create({ data: { name: 'Hanne’s barn', kind: 'home', memberId: need('hanne') } })
  const climate = { monthlyAir: SHED_AIR, monthlyDew: DEW, halfSwing: 3, settleMin: 120 }
  const floor = await tx.place.create({ data: { siteId: shed.id, name: 'Main floor', bays: 2, ...climate, heatTo: 16, heatBeforeMin: 180 } })
  const bench = await tx.place.create({ data: { siteId: shed.id, name: 'Bench room', bays: 0, ...climate, heatTo: 18, heatBeforeMin: 180 } })
  const tent = await tx.place.create({ data: { siteId: shed.id, name: 'Paint tent', bays: 1, ...climate, heatTo: 18, heatBeforeMin: 600 } })
  const barnPlace = await tx.place.create({ data: { siteId: barn.id, name: 'Barn floor', bays: 1, monthlyAir: BARN_AIR, monthlyDew: DEW, halfSwing: 4, settleMin: 120, heatTo: 15, heatBeforeMin: 120 } })

  for (const t of TOOLS) {
    await tx.tool.create({
      data: {
        name: t.name, count: t.count, note: t.note, siteId: t.at === 'shed' ? shed.id : null,
        competenceId: 'competence' in t ? (competences.get(t.competence) ?? null) : null,
        arrivesOn: 'arrivesInWeeks' in t ? date(addDays(monday, 7 * t.arrivesInWeeks + 4)) : null,
      },
    })
  }

  await loadSessions(tx, shed.id, monday, today, need)
  for (const m of MEMBERS) {
    for (const [weekday, [fromTime, toTime]] of Object.entries(m.usual)) {
      await tx.usualAttendance.create({ data: { memberId: need(m.key), siteId: shed.id, weekday: Number(weekday), fromTime, toTime } })
    }
  }
  // A build kept at home has hours of its own.
  for (const [key, weekday, fromTime, toTime] of [['hanne', 2, '19:00', '21:30'], ['hanne', 7, '10:00', '16:00'], ['gus', 7, '10:00', '16:00'], ['inge', 7, '13:00', '16:00'], ['nadia', 7, '13:00', '16:00']] as const) {
    await tx.ownHours.create({ data: { memberId: need(key), siteId: barn.id, weekday, fromTime, toTime, fromOn: date(weeksAgo(5)) } })
  }
  return { members, places: { floor: floor.id, bench: bench.id, tent: tent.id, barn: barnPlace.id }, sites: { shed: shed.id, barn: barn.id } }
}

async function loadSessions(tx: Tx, siteId: string, monday: string, today: string, need: (key: string) => string): Promise<void> {
  const rhythms = [
    { name: 'Saturday', weekday: 6, starts: '09:30', ends: '16:30', keyholder: 'marten' },
    { name: 'Wednesday evening', weekday: 3, starts: '18:30', ends: '21:30', keyholder: 'inge' },
  ] as const
  for (const r of rhythms) {
    const fromOn = addDays(monday, -7 * PAST_WEEKS + r.weekday - 1)
    const untilOn = addDays(monday, 7 * COMING_WEEKS + r.weekday - 1)
    const series = await tx.series.create({ data: { siteId, name: r.name, weekday: r.weekday, starts: r.starts, ends: r.ends, fromOn: date(fromOn), untilOn: date(untilOn), keyholderId: need(r.keyholder) } })
    const rows = []
    for (let n = 0; n <= PAST_WEEKS + COMING_WEEKS; n++) {
      const day = addDays(fromOn, 7 * n)
      // Four weeks on, both keyholders are away one Saturday: the shed stays shut.
      const shut = r.weekday === 6 && day === addDays(monday, 7 * 4 + 5)
      rows.push({ seriesId: series.id, siteId, date: date(day), starts: r.starts, ends: r.ends, keyholderId: need(n % 3 === 2 ? 'inge' : r.keyholder), state: shut ? ('cancelled' as const) : ('planned' as const), note: shut ? 'Both keyholders away' : '' })
    }
    await tx.session.createMany({ data: rows })
  }
  const { title, starts, ends, note, keyholder, week, weekday, who } = WORKING_PARTY
  const party = await tx.session.create({ data: { siteId, date: date(addDays(monday, 7 * week + weekday - 1)), starts, ends, title, note, keyholderId: need(keyholder) } })
  await tx.attendance.createMany({ data: who.map((key) => ({ sessionId: party.id, memberId: need(key), answer: 'coming' as const })) })
  // Some have answered already: the n-th coming session of that weekday.
  const coming = await tx.session.findMany({ where: { siteId, date: { gt: date(today) }, state: 'planned' }, orderBy: { date: 'asc' }, take: 8, select: { id: true, date: true } })
  const nth = (weekday: number, n: number) => coming.filter((c) => weekdayOf(c.date.toISOString().slice(0, 10)) === weekday)[n]
  const answers = [
    [3, 0, 'priya', 'coming', '18:30', '21:00'], [3, 0, 'yusuf', 'not_coming', null, null], [6, 0, 'oona', 'coming', '09:30', '15:00'], [6, 0, 'luis', 'coming', '09:30', '16:30'],
    [6, 0, 'tomas', 'not_coming', null, null], [3, 1, 'nadia', 'coming', '19:00', '21:30'], [6, 1, 'luis', 'not_coming', null, null],
  ] as const
  for (const [weekday, n, key, answer, fromTime, toTime] of answers) {
    const session = nth(weekday, n)
    if (session) await tx.attendance.create({ data: { sessionId: session.id, memberId: need(key), answer, fromTime, toTime } })
  }
}
