import { type Decider, deskEntry, refuse } from './decide.ts'

/** Words of the desk to some precincts or to all. Whom they reach is settled here: a precinct named twice gets it once. */
export const sendNotice: Decider<'SendNotice'> = ({ to, text, acknowledge }, at) => {
  const unknown = to?.find(code => !at.state.precincts.has(code))
  if (unknown !== undefined)
    return refuse('unknown-precinct', `there is no precinct ${unknown} in this day's plan`)
  const body = { ...(to ? { to: [...new Set(to)] } : {}), acknowledge }
  return { entries: [deskEntry('NoticeSent', null, body, at, { text })] }
}
