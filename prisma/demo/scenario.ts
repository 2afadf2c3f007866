/** The example club: all invented. Weeks count from this one; negative is the past. */
import type { Skill } from '../../src/core/estimate/types.ts'
import type { Grade } from '../../src/features/builds/job-lists/types.ts'

export const DEMO_PASSWORD = 'plywood-and-tea'
export const CLUB = { name: 'Reedwater Boat Shed', zone: 'Europe/Amsterdam', locale: 'en-GB', units: 'metric', currency: 'EUR' } as const

type RoleName = 'officer' | 'storekeeper' | 'keyholder' | 'builder' | 'helper'
export interface DemoMember {
  readonly key: string
  readonly name: string
  readonly email: string | null
  readonly roles: readonly RoleName[]
  readonly helpsAnyone?: boolean
  readonly isMinor?: boolean
  /** Usual times by ISO weekday. */
  readonly usual: Readonly<Record<number, readonly [string, string]>>
  readonly competences?: Readonly<Record<string, 'full' | 'supervised'>>
}

const SAT = ['09:30', '16:30'] as const
const WED = ['18:30', '21:30'] as const
const mail = (name: string) => `${name}@reedwater.example`

export const MEMBERS: readonly DemoMember[] = [
  { key: 'inge', name: 'Inge Harbo', email: mail('inge'), roles: ['officer', 'keyholder', 'builder'], helpsAnyone: true, usual: { 6: SAT, 3: WED }, competences: { Bandsaw: 'full', Router: 'full' } },
  { key: 'marten', name: 'Marten Vosk', email: mail('marten'), roles: ['keyholder', 'builder'], usual: { 6: SAT, 3: WED }, competences: { Bandsaw: 'full', Router: 'supervised' } },
  { key: 'priya', name: 'Priya Talwar', email: mail('priya'), roles: ['storekeeper', 'builder'], usual: { 6: SAT, 3: WED }, competences: { Bandsaw: 'supervised' } },
  { key: 'oona', name: 'Oona Marsh', email: mail('oona'), roles: ['builder'], usual: { 6: SAT } },
  { key: 'tomas', name: 'Tomas Lindqvist-Rao', email: mail('tomas'), roles: ['builder'], usual: { 6: ['09:30', '13:00'], 3: WED }, competences: { Bandsaw: 'full' } },
  { key: 'yusuf', name: 'Yusuf Karaby', email: mail('yusuf'), roles: ['builder'], usual: { 6: ['11:00', '16:30'], 3: WED }, competences: { Router: 'full' } },
  { key: 'luis', name: 'Luis Ferrant', email: mail('luis'), roles: ['builder'], usual: { 6: SAT } },
  { key: 'nadia', name: 'Nadia Brook', email: mail('nadia'), roles: ['builder'], helpsAnyone: true, usual: { 3: WED } },
  { key: 'hanne', name: 'Hanne Dierks', email: mail('hanne'), roles: ['builder', 'keyholder'], usual: { 6: ['09:30', '12:30'] }, competences: { Bandsaw: 'full', Router: 'full' } },
  { key: 'gus', name: 'Gus Tarrow', email: null, roles: ['helper'], helpsAnyone: true, usual: { 6: SAT } },
  { key: 'freya', name: 'Freya Tarrow', email: null, roles: ['helper'], helpsAnyone: true, isMinor: true, usual: { 6: ['10:00', '13:00'] } },
]

export interface DemoBuild {
  readonly key: string
  readonly name: string
  readonly design: string
  readonly startWeek: number
  readonly place: 'floor' | 'barn'
  readonly grade: Grade
  readonly skill: Skill
  readonly measurements: Readonly<Record<string, number>>
  readonly team: readonly string[]
  readonly targetWeeks: number
  readonly priority: number
}

export const BUILDS: readonly DemoBuild[] = [
  { key: 'dunlin', name: 'Dunlin', design: 'Open dinghy, 3.6 m', startWeek: -20, place: 'floor', grade: 'good', skill: 'some', measurements: { length: 3.6, beam: 1.4, areaBottom: 3.6 }, team: ['marten', 'oona', 'tomas'], targetWeeks: 14, priority: 1.5 },
  { key: 'turnstone', name: 'Turnstone', design: 'Sailing dinghy, 4.2 m', startWeek: -11, place: 'floor', grade: 'good', skill: 'first', measurements: { length: 4.2, beam: 1.55 }, team: ['priya', 'yusuf', 'luis', 'nadia'], targetWeeks: 30, priority: 1 },
  { key: 'whimbrel', name: 'Whimbrel', design: 'Workboat, 4.0 m', startWeek: -4, place: 'barn', grade: 'workboat', skill: 'practised', measurements: { length: 4, beam: 1.5 }, team: ['hanne', 'gus', 'inge'], targetWeeks: 40, priority: 1 },
]

export const COMPETENCES = [
  { name: 'Bandsaw', note: 'Checked on blade change, guards, feeding small parts.', refreshYears: 3 },
  { name: 'Router', note: 'Checked on bit change, depth, feed direction.', refreshYears: 3 },
] as const

/** `weeks`: arrives so many weeks from now. */
export const TOOLS = [
  { name: 'Long bench', count: 1, at: 'shed', note: '6 m, level; a glue-up left on it keeps it.' },
  { name: 'Jigsaw', count: 2, at: null, note: '' },
  { name: 'Bandsaw', count: 1, at: 'shed', competence: 'Bandsaw', note: '' },
  { name: 'Router', count: 1, at: null, competence: 'Router', arrivesInWeeks: 3, note: 'Ordered; the old one burnt out.' },
  { name: 'Clamps', count: 36, at: null, note: 'Counted, all sizes.' },
  { name: 'Sander with extractor', count: 2, at: null, note: 'P3 masks hang beside it.' },
] as const

/** Monthly means of a mild northern coast, °C, January first; invented for the demo. */
export const SHED_AIR = [5, 5, 8, 11, 15, 18, 20, 20, 17, 13, 9, 6]
export const BARN_AIR = [4, 4, 7, 10, 14, 17, 19, 19, 16, 12, 8, 5]
export const DEW = [1, 1, 2, 4, 8, 11, 13, 13, 11, 8, 4, 2]

export const PAST_WEEKS = 20
export const COMING_WEEKS = 12
