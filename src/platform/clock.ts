/** The only source of "now"; everything that needs the time is given one. */
export type Clock = { now(): Date }

export const systemClock: Clock = { now: () => new Date() }

/** A clock for tests: stands still until it is set or moved. */
export type FixedClock = Clock & { set(at: Date | string): void; moveMinutes(by: number): void }

export function fixedClock(at: Date | string): FixedClock {
  let current = new Date(at)
  return {
    now: () => new Date(current),
    set: (next) => {
      current = new Date(next)
    },
    moveMinutes: (by) => {
      current = new Date(current.getTime() + by * 60_000)
    },
  }
}
