import type { Access, Person } from './access/access.ts'

/** Display names of the people of this server, kept at hand: who is asked for by id is shown by name. */
export type KnownNames = {
  of(person: string): string
  /** By id; the same object until a name changes, so that boards see by reference whether one did. */
  all(): Record<string, string>
  /** Reads them anew. */
  learn(): Promise<void>
  /** Reads them anew where this person is not known yet. */
  meet(person: Person): Promise<void>
}

export async function knownNames(access: Pick<Access, 'people'>): Promise<KnownNames> {
  const people = new Map<string, string>()
  let all: Record<string, string> = {}
  async function learn() {
    for (const person of await access.people()) people.set(person.id, person.name)
    const next = Object.fromEntries(people)
    if (JSON.stringify(next) !== JSON.stringify(all)) all = next
  }
  await learn()
  return {
    of: person => people.get(person) ?? 'somebody',
    all: () => all,
    learn,
    meet: async person => {
      if (!people.has(person.id)) await learn()
    },
  }
}
