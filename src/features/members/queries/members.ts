import type { Reader } from '../../../platform/database.ts'
import { isoDate } from '../../../platform/times.ts'

export type MemberLine = Awaited<ReturnType<typeof memberList>>[number]

export async function memberList(db: Reader) {
  const rows = await db.member.findMany({
    select: {
      id: true, name: true, roles: true, isMinor: true, helpsAnyone: true, isActive: true, signInUser: { select: { id: true } },
      competences: { select: { level: true, refreshOn: true, competence: { select: { name: true } } }, orderBy: { competence: { name: 'asc' } } },
    },
    orderBy: [{ isActive: 'desc' }, { name: 'asc' }, { id: 'asc' }],
  })
  return rows.map(({ signInUser, competences, ...m }) => ({
    ...m, canSignIn: signInUser !== null,
    competences: competences.map((c) => ({ name: c.competence.name, level: c.level, refreshOn: c.refreshOn && isoDate(c.refreshOn) })),
  }))
}

export type MemberPage = NonNullable<Awaited<ReturnType<typeof memberPage>>>

export async function memberPage(db: Reader, id: string) {
  const row = await db.member.findUnique({
    where: { id },
    select: {
      id: true, name: true, email: true, phone: true, roles: true, isMinor: true, helpsAnyone: true, isActive: true, note: true, version: true,
      signInUser: { select: { email: true } },
      invitations: { where: { usedAt: null }, select: { expiresAt: true } },
      competences: { select: { competenceId: true, level: true, checkedOn: true, checkedBy: true, refreshOn: true, competence: { select: { name: true } } }, orderBy: { competence: { name: 'asc' } } },
      usual: { select: { weekday: true, fromTime: true, toTime: true, site: { select: { name: true } } }, orderBy: [{ weekday: 'asc' }, { fromTime: 'asc' }, { id: 'asc' }] },
      teams: { where: { build: { state: { not: 'launched' }, visibility: 'club' } }, select: { build: { select: { id: true, name: true } } }, orderBy: { build: { name: 'asc' } } },
    },
  })
  if (!row) return null
  const checkers = await db.member.findMany({ where: { id: { in: row.competences.flatMap((c) => c.checkedBy ?? []) } }, select: { id: true, name: true } })
  const choices = await db.competence.findMany({ where: { isActive: true }, select: { id: true, name: true, refreshYears: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] })
  const { signInUser, invitations, competences, usual, teams, ...member } = row
  return {
    ...member, choices, canSignIn: signInUser !== null, invitedUntil: invitations[0]?.expiresAt ?? null,
    competences: competences.map((c) => ({
      id: c.competenceId, name: c.competence.name, level: c.level, checkedOn: isoDate(c.checkedOn), refreshOn: c.refreshOn && isoDate(c.refreshOn),
      checkedBy: checkers.find((m) => m.id === c.checkedBy)?.name ?? null,
    })),
    usual: usual.map((u) => ({ weekday: u.weekday, from: u.fromTime, to: u.toTime, siteName: u.site.name })),
    builds: teams.map((t) => t.build),
  }
}

export type CompetenceLine = Awaited<ReturnType<typeof competenceList>>[number]

export async function competenceList(db: Reader) {
  const rows = await db.competence.findMany({
    select: {
      id: true, name: true, note: true, refreshYears: true, isActive: true,
      holders: { where: { member: { isActive: true } }, select: { level: true, refreshOn: true, member: { select: { id: true, name: true } } }, orderBy: { member: { name: 'asc' } } },
      tools: { where: { isActive: true }, select: { name: true }, orderBy: { name: 'asc' } },
    },
    orderBy: [{ isActive: 'desc' }, { name: 'asc' }, { id: 'asc' }],
  })
  return rows.map(({ holders, tools, ...c }) => ({
    ...c, tools: tools.map((t) => t.name),
    holders: holders.map((h) => ({ id: h.member.id, name: h.member.name, level: h.level, refreshOn: h.refreshOn && isoDate(h.refreshOn) })),
  }))
}

/** All that is kept about one person, for that person. */
export async function ownData(db: Reader, id: string) {
  return db.member.findUniqueOrThrow({
    where: { id },
    select: {
      name: true, email: true, phone: true, roles: true, isMinor: true, helpsAnyone: true, isActive: true, note: true, createdAt: true,
      competences: { select: { level: true, checkedOn: true, refreshOn: true, competence: { select: { name: true } } } },
      teams: { select: { build: { select: { name: true } } } },
      usual: { select: { weekday: true, fromTime: true, toTime: true, site: { select: { name: true } } } },
      ownHours: { select: { weekday: true, fromTime: true, toTime: true, fromOn: true, untilOn: true, site: { select: { name: true } } } },
      attendance: { select: { answer: true, fromTime: true, toTime: true, cameAt: true, leftAt: true, walkIn: true, session: { select: { date: true, starts: true, ends: true } } } },
      reminderWish: { select: { windows: true, sessions: true, quietFrom: true, quietTo: true } },
      mails: { select: { kind: true, subject: true, text: true, sendAt: true, markedAt: true, sentAt: true, failure: true }, orderBy: { sendAt: 'asc' } },
      workLogPeople: { select: { workLog: { select: { startedAt: true, elapsedMin: true, workedMin: true, note: true, task: { select: { name: true } } } } } },
    },
  })
}
