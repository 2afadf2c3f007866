import { hash, verify } from '@node-rs/argon2'

// Argon2id (the package's own choice), 19 MiB, two passes, one lane: the smallest setting the OWASP password storage cheat sheet gives (second-hand).
const STRENGTH = { memoryCost: 19_456, timeCost: 2, parallelism: 1 }

export const PASSWORD_MIN = 10
export const PASSWORD_MAX = 200

export const hashPassword = (password: string): Promise<string> => hash(password.normalize('NFKC'), STRENGTH)

let decoy: Promise<string> | null = null

/** Takes as long for an unknown e-mail (`stored` null) as for a wrong password. */
export async function passwordMatches(stored: string | null, password: string): Promise<boolean> {
  decoy ??= hashPassword('nobody has this one')
  const matches = await verify(stored ?? (await decoy), password.normalize('NFKC'))
  return stored !== null && matches
}
