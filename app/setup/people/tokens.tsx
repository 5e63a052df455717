'use client'
import { useId, useState } from 'react'
import { apiTokens, done, type TokenRole, tokenMade, tokenRoles } from '../../../server/protocol/setup.ts'
import { useAsked } from '../asking.ts'
import { Columns } from '../columns.tsx'
import { Problems } from '../problems.tsx'
import css from '../setup.module.css'
import { useDoing } from '../useDoing.ts'
import { RoleSelect } from './roleSelect.tsx'

/** Bearer tokens of programs. Only hashes are kept, so a token is shown once. */
export function Tokens() {
  const id = useId()
  const tokens = useAsked('tokens', apiTokens, 20_000)
  const { busy, problems, said, run } = useDoing()
  const [label, setLabel] = useState('')
  const [role, setRole] = useState<TokenRole>('desk')
  const [made, setMade] = useState<{ label: string; token: string } | null>(null)
  const list = tokens.value?.tokens ?? []
  async function make() {
    const answer = await run('tokens', tokenMade, { label, role })
    if (!answer.ok) return
    setMade({ label, token: answer.value.token })
    setLabel('')
    await tokens.again()
  }
  return (
    <section aria-labelledby="programs">
      <h2 id="programs">Programs</h2>
      <p>
        A program of the county asks by a token, with the rights of its role: see <a href="/api">the API</a>.
        None acts as an administrator: a token has no end.
      </p>
      <Problems problems={tokens.problems} />
      {made !== null && (
        <div className={css.secret}>
          <p>Token of {made.label}, shown once:</p>
          <output>{made.token}</output>
        </div>
      )}
      {list.length > 0 && (
        <div className={css.wide}>
          <table className={css.table}>
            <Columns names={['program', 'role', 'made', 'last used', 'end']} />
            <tbody>
              {list.map(token => (
                <tr key={token.id}>
                  <th scope="row">{token.label}</th>
                  <td>{token.role}</td>
                  <td>{wall(token.madeAt)}</td>
                  <td>{token.usedAt === null ? 'never' : wall(token.usedAt)}</td>
                  <td>
                    <button
                      type="button"
                      className="button quiet"
                      disabled={busy}
                      aria-label={`End the token of ${token.label}`}
                      onClick={() =>
                        void run(`tokens/${encodeURIComponent(token.id)}/end`, done, {}, 'Ended.').then(
                          tokens.again,
                        )
                      }
                    >
                      End it
                    </button>
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      <form
        className={css.row}
        onSubmit={event => {
          event.preventDefault()
          void make()
        }}
      >
        <label htmlFor={`${id}-label`}>A token for</label>
        <input id={`${id}-label`} value={label} onChange={event => setLabel(event.target.value)} />
        <label htmlFor={`${id}-role`}>as</label>
        <RoleSelect id={`${id}-role`} role={role} of={tokenRoles} onRole={picked => setRole(picked)} />
        <button type="submit" className="button quiet" disabled={busy || label.trim() === ''}>
          Make a token
        </button>
      </form>
      <Problems problems={problems} />
      <p role="status">{said}</p>
    </section>
  )
}

function wall(at: string): string {
  return new Date(at).toLocaleString('en-US', { dateStyle: 'medium', timeStyle: 'short', hourCycle: 'h23' })
}
