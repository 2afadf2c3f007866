import { describe, expect, test } from 'vitest'
import { hoursField, parseHours } from '../../../src/features/builds/facts/parse-hours.ts'
import { beyondReach } from '../../../src/features/builds/facts/plausible.ts'
import { stateOf, type StateLink, type StateTask } from '../../../src/features/builds/facts/task-state.ts'
import { nothingLogged, washLeft, workLeft } from '../../../src/features/builds/facts/work-left.ts'

describe('hours as people write them', () => {
  test.each([['1.5', 90], ['1,5', 90], ['1:30', 90], ['1h30', 90], ['1 h 05', 65], ['90 min', 90], ['2 h', 120], ['.5', 30], ['0', 0]])('%s', (text, min) => {
    expect(parseHours(text)).toEqual({ ok: true, minutes: min })
  })
  test.each(['abc', '-3', '', '1:75', '1.5.2', 'NaN', '1e3'])('“%s” is no hours', (text) => {
    expect(parseHours(text).ok).toBe(false)
  })
  test('what a form shows is read back as the same', () => {
    for (let min = 1; min < 3000; min += 7) expect(parseHours(hoursField(min))).toEqual({ ok: true, minutes: min })
  })
})

describe('work left', () => {
  const task = { kind: 'shared' as const, workLikelyMin: 200, statedLeftMin: null, finishedAt: null }
  const logged = { ...nothingLogged, personMin: 150, elapsedMin: 75, personMinSince: 30, elapsedMinSince: 15 }
  test('likely less what was logged, in person-minutes where hands share it, else in elapsed minutes', () => {
    expect(workLeft(task, logged)).toBe(50)
    expect(workLeft({ ...task, kind: 'together' }, logged)).toBe(125)
  })
  test('never less than a tenth of likely until it is finished', () => {
    expect(workLeft(task, { ...logged, personMin: 500 })).toBe(20)
    expect(workLeft({ ...task, finishedAt: new Date(0) }, logged)).toBe(0)
  })
  test('what was stated, less what was logged since', () => {
    expect(workLeft({ ...task, statedLeftMin: 300 }, logged)).toBe(270)
    // Stated to be almost done: the tenth of likely does not put work back.
    expect(workLeft({ ...task, statedLeftMin: 10 }, nothingLogged)).toBe(10)
    expect(workLeft({ ...task, statedLeftMin: 10 }, { ...logged, personMinSince: 40 })).toBe(10)
  })
  test('a wash is nothing when done', () => {
    expect(washLeft({ washMin: 75, washLoggedMin: 60, washDoneAt: null })).toBe(15)
    expect(washLeft({ washMin: 75, washLoggedMin: 200, washDoneAt: null })).toBe(8)
    expect(washLeft({ washMin: 75, washLoggedMin: 0, washDoneAt: new Date(0) })).toBe(0)
  })
})

describe('what a task waits for', () => {
  const task = (id: string, over: Partial<StateTask> = {}): StateTask => ({ id, applicationMin: 60, setUpMin: 10, startedAt: null, finishedAt: null, hasLogs: false, release: null, missingTools: [], film: null, ...over })
  const link = (over: Partial<StateLink> & { kind: StateLink['kind'] }): StateLink => ({ id: 'l', from: 'a', washLeftMin: 30, missedAt: null, washDone: false, lag: 0, edge: 'finish', min: null, max: null, stage: 'sandable', hasWash: true, ...over }) as unknown as StateLink
  const seen = (from: Partial<StateTask>, l: StateLink, now: number, paused = false) => {
    const [a, b] = [task('a', from), task('b')]
    return stateOf(b, [l], new Map([['a', a], ['b', b]]), paused, now)
  }
  const film = { workable: null, dustFree: null, opens: 200, closes: 500, sandable: 900, handleable: null, fullCure: null } as StateTask['film']

  test('a lag after a finish, and a longest time that says by when', () => {
    expect(seen({ finishedAt: 100 }, link({ kind: 'finish', lag: 50 }), 120)).toMatchObject({ state: 'waiting', waits: [{ kind: 'lag', until: 150 }] })
    expect(seen({ finishedAt: 100 }, link({ kind: 'finish', lag: 50 }), 150).state).toBe('ready')
    expect(seen({ startedAt: 90, finishedAt: 100 }, link({ kind: 'lag', edge: 'start', min: null, max: 300 }), 120)).toMatchObject({ state: 'ready', by: { at: 390 } })
  })
  test('a window: not yet, open until the coat can no longer end in it, then wash', () => {
    const window = link({ kind: 'window' })
    const coat = { finishedAt: 100, film }
    expect(seen(coat, window, 199).state).toBe('curing')
    // 60 of application after 10 of set-up, by 500: begin by 430.
    expect(seen(coat, window, 430)).toMatchObject({ state: 'ready', window: { opens: 200, closes: 500, startBy: 430 } })
    expect(seen(coat, window, 431)).toMatchObject({ state: 'curing', waits: [{ kind: 'cure', stage: 'sandable', until: 900 }] })
    expect(seen(coat, window, 900)).toMatchObject({ state: 'wash', waits: [{ kind: 'wash', leftMin: 30 }] })
    expect(seen(coat, link({ kind: 'window', washDone: true }), 900).state).toBe('ready')
    expect(seen(coat, link({ kind: 'window', hasWash: false }), 900)).toMatchObject({ state: 'waiting', waits: [{ kind: 'shut' }] })
  })
  test('a window that shuts before the coat could end in it never was one', () => {
    const cold = { ...film, opens: 460 } as StateTask['film']
    // Opens 460 and takes 60: ends 520, after 500.
    expect(seen({ finishedAt: 100, film: cold }, link({ kind: 'window' }), 300)).toMatchObject({ state: 'curing', waits: [{ kind: 'cure', stage: 'sandable' }] })
  })
  test('a paused build is simply paused', () => {
    expect(seen({}, link({ kind: 'finish' }), 0, true).state).toBe('paused')
  })
})

test('what a club can’t do is told with its field', () => {
  const reach = { members: 6, longestMin: 180, longestName: 'the evening' }
  const task = { name: 'Sheath', kind: 'shared' as const, workLikelyMin: 480, handsFrom: 2, handsTo: 3, smallestMin: null, setUpMin: 15, clearUpMin: 15 }
  // 480 / 3 + 30 = 190 minutes, ten more than the evening has.
  expect(beyondReach(task, reach)?.field).toBe('likely')
  expect(beyondReach({ ...task, handsTo: 4 }, reach)).toBeNull()
  expect(beyondReach({ ...task, smallestMin: 60 }, reach)).toBeNull()
  expect(beyondReach({ ...task, handsFrom: 7, handsTo: 7 }, reach)?.field).toBe('handsFrom')
  expect(beyondReach({ ...task, kind: 'together' }, reach)?.message).toContain('8 h 30')
  expect(beyondReach(task, { ...reach, longestMin: null })).toBeNull()
})
