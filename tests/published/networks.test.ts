/**
 * Two critical-path networks from teaching material, through the same plan() that plans a club: every task unattended, no resources.
 * ES = max EF(pred); EF = ES + d; LF = min LS(succ); TF = LS - ES; FF = min ES(succ) - EF (course texts, read).
 */
import { describe, expect, test } from 'vitest'
import type { Plan } from '../../src/core/schedule/answer.ts'
import { after, planned, problem, task, unattended } from '../support/problem.ts'

/** "A2; B10(A)": name, duration, predecessors. */
function network(text: string): Plan {
  const rows = text.split(';').map((r) => /^\s*([A-Z])(\d+)(?:\(([A-Z,]+)\))?\s*$/.exec(r)!)
  return planned(problem({
    people: [], places: [],
    tasks: rows.map(([, id, d]) => task(id!, { work: unattended(Number(d)), places: [] })),
    links: rows.flatMap(([, id, , before]) => (before?.split(',') ?? []).map((b) => after(b, id!))),
  }))
}
const floats = (p: Plan): Record<string, string> => Object.fromEntries(p.pieces.map((x) => [x.taskId, `${x.float}/${x.freeFloat}`]))
const chain = (p: Plan): string => p.builds[0]!.chain.map((id) => id.split('/')[0]).join('-')

describe('network 1 (course text: inputs and path sums 35, 41, 30, 39, 38 read; floats derived, no published answer)', () => {
  const p = network('A2; B10(A); C13(A); D12(A); E12(B); F7(B); G10(D); H16(D); I6(F); J12(C,G); K5(I); L8(E,K); M5(H); N3(J,L,M)')

  test('its longest path is 41', () => {
    // A2 + B10 + F7 + I6 + K5 + L8 + N3 = 41
    expect(p.builds[0]).toMatchObject({ launch: 41, lowerBound: 41 })
    expect(p.status).toBe('optimal')
  })

  test('its critical path is A-B-F-I-K-L-N', () => expect(chain(p)).toBe('A-B-F-I-K-L-N'))

  test('its total and free floats are those of the path method', () => {
    expect(floats(p)).toEqual({
      A: '0/0', B: '0/0', C: '11/9', D: '2/0', E: '6/6', F: '0/0', G: '2/0', H: '3/0', I: '0/0', J: '2/2', K: '0/0', L: '0/0', M: '3/3', N: '0/0',
    })
  })
})

describe('network 2 (course notes: ES, EF, LS, LF read, counted from 1 there)', () => {
  const p = network('A7; B3; C6(A); D3(B); F2(B); E3(D,F); G3(C); H2(G,E)')
  const starts = Object.fromEntries(p.pieces.map((x) => [x.taskId, x.start as number]))

  test('it takes 18, along A-C-G-H', () => {
    // A7 + C6 + G3 + H2 = 18
    expect(p.builds[0]!.launch).toBe(18)
    expect(chain(p)).toBe('A-C-G-H')
  })

  test('its early starts are the published ones less 1', () => {
    // published, counted from 1: A1 B1 C8 D4 F4 E7 G14 H17
    expect(starts).toEqual({ A: 0, B: 0, C: 7, D: 3, F: 3, E: 6, G: 13, H: 16 })
  })

  test('its floats: total B7 D7 F8 E7, free B0 D0 F1 E7, all others 0', () => {
    expect(floats(p)).toEqual({ A: '0/0', B: '7/0', C: '0/0', D: '7/0', F: '8/1', E: '7/7', G: '0/0', H: '0/0' })
  })

})
