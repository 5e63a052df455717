'use client'
import { useId, useState } from 'react'
import type { z } from 'zod'
import type { Role } from '../../../server/protocol/roles.ts'
import { type account as accountSchema, done, linkMade } from '../../../server/protocol/setup.ts'
import { Problems } from '../problems.tsx'
import css from '../setup.module.css'
import { useDoing } from '../useDoing.ts'
import type { MadeLink } from './people.tsx'
import { RoleSelect } from './roleSelect.tsx'
import { postWords } from './roleWords.ts'

type Account = z.output<typeof accountSchema>
const stateWords: Readonly<Record<Account['is'], string>> = {
  invited: 'invited, no password yet',
  active: 'active',
  off: 'switched off',
}

type Props = { account: Account; isMe: boolean; onDone(): Promise<void>; onLink(made: MadeLink): void }

/** One account: what it is, and a form that opens to change it. */
export function AccountRow({ account, isMe, onDone, onLink }: Props) {
  const [open, setOpen] = useState(false)
  return (
    <tr>
      <th scope="row">
        {account.name}
        {isMe && <span className="soft"> (you)</span>}
        <span className={css.id}>{account.email ?? 'no e-mail: signs in by links only'}</span>
      </th>
      <td>
        {account.role}
        {account.post !== null && <span className={css.id}>post {account.post}</span>}
      </td>
      <td>
        {stateWords[account.is]}
        {account.sessions > 0 && (
          <span className={css.id}>
            signed in {account.sessions === 1 ? 'once' : `${account.sessions} times`}
          </span>
        )}
      </td>
      <td>
        <button
          type="button"
          className="button quiet"
          aria-expanded={open}
          aria-label={`Change ${account.name}`}
          onClick={() => setOpen(!open)}
        >
          Change
        </button>
        {open && <Changes account={account} onDone={onDone} onLink={onLink} />}
      </td>
    </tr>
  )
}

function Changes({ account, onDone, onLink }: Omit<Props, 'isMe'>) {
  const id = useId()
  const { busy, problems, said, run } = useDoing()
  const [role, setRole] = useState<Role>(account.role)
  const [post, setPost] = useState(account.post ?? '')
  const path = `people/${encodeURIComponent(account.id)}`
  const change = (body: object, words: string) => run(path, done, body, words).then(onDone)
  async function link(what: 'password' | 'sign-in') {
    const answer = await run(`${path}/link`, linkMade, { for: what })
    if (answer.ok)
      onLink({ who: account.name, link: answer.value.link, validUntil: answer.value.validUntil, for: what })
  }
  const hasPost = postWords[role] !== undefined
  return (
    <div>
      <form
        className={css.row}
        onSubmit={event => {
          event.preventDefault()
          void change({ role, post: hasPost && post.trim() !== '' ? post.trim() : null }, 'Changed.')
        }}
      >
        <label htmlFor={`${id}-role`}>Role</label>
        <RoleSelect id={`${id}-role`} role={role} onRole={setRole} />
        {hasPost && (
          <>
            <label htmlFor={`${id}-post`}>Post</label>
            <input id={`${id}-post`} value={post} size={14} onChange={event => setPost(event.target.value)} />
          </>
        )}
        <button type="submit" className="button quiet" disabled={busy}>
          Save
        </button>
      </form>
      <p className={css.row}>
        {account.is === 'off' ? (
          <button
            type="button"
            className="button quiet"
            disabled={busy}
            onClick={() => void change({ off: false }, 'Switched on.')}
          >
            Switch on again
          </button>
        ) : (
          <>
            {account.email === null && (
              <button
                type="button"
                className="button quiet"
                disabled={busy}
                onClick={() => void link('sign-in')}
              >
                One-time sign-in link
              </button>
            )}
            {account.email !== null && (
              <button
                type="button"
                className="button quiet"
                disabled={busy}
                onClick={() => void link('password')}
              >
                Link to set a password
              </button>
            )}
            <button
              type="button"
              className="button quiet"
              disabled={busy}
              onClick={() => void change({ off: true }, 'Switched off; signed out everywhere.')}
            >
              Switch off
            </button>
          </>
        )}
      </p>
      <Problems problems={problems} />
      <p role="status">{said}</p>
    </div>
  )
}
