import type { Access, Person } from '../../server/access/access.ts'

/**
 * The headers by which a person asks a server after signing in by a link. An administrator asks by no other way: no
 * token acts as one.
 */
export async function signedIn(
  access: Pick<Access, 'makeLink' | 'spendLink'>,
  url: string,
  person: Person,
): Promise<{ Cookie: string; Origin: string }> {
  const entered = await access.spendLink(await access.makeLink(person, 60_000))
  if (!entered) throw new Error(`${person.name} could not sign in`)
  return { Cookie: `sunup_session=${entered.session}`, Origin: url }
}
