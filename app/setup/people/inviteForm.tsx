'use client'
import { useId, useState } from 'react'
import type { Role } from '../../../server/protocol/roles.ts'
import { linkMade } from '../../../server/protocol/setup.ts'
import { Problems } from '../problems.tsx'
import css from '../setup.module.css'
import { useDoing } from '../useDoing.ts'
import type { MadeLink } from './people.tsx'
import { RoleSelect } from './roleSelect.tsx'
import { postWords, roleWords } from './roleWords.ts'

/** Makes an account and its invitation. Nothing is mailed: the link is handed over. */
export function InviteForm({ onDone, onLink }: { onDone(): Promise<void>; onLink(made: MadeLink): void }) {
  const id = useId()
  const { busy, problems, run } = useDoing()
  const [name, setName] = useState('')
  const [email, setEmail] = useState('')
  const [role, setRole] = useState<Role>('desk')
  const [post, setPost] = useState('')
  async function send() {
    const withPost = postWords[role] !== undefined && post.trim() !== '' ? { post: post.trim() } : {}
    const answer = await run('people', linkMade, { name, email, role, ...withPost })
    if (!answer.ok) return
    const { link, validUntil } = answer.value
    onLink({ who: name.trim(), link, validUntil, for: 'password' })
    setName('')
    setEmail('')
    setPost('')
    await onDone()
  }
  return (
    <section aria-labelledby="invite">
      <h2 id="invite">Invite somebody</h2>
      <form
        className={css.form}
        noValidate
        onSubmit={event => {
          event.preventDefault()
          void send()
        }}
      >
        <p>
          <label htmlFor={`${id}-name`}>Name</label>
          <input
            id={`${id}-name`}
            value={name}
            autoComplete="off"
            onChange={event => setName(event.target.value)}
          />
          <span className="soft">as others at the desk know them</span>
        </p>
        <p>
          <label htmlFor={`${id}-email`}>E-mail</label>
          <input
            id={`${id}-email`}
            type="email"
            value={email}
            autoComplete="off"
            onChange={event => setEmail(event.target.value)}
          />
          <span className="soft">they sign in with it; nothing is sent to it</span>
        </p>
        <p>
          <label htmlFor={`${id}-role`}>Role</label>
          <RoleSelect id={`${id}-role`} role={role} onRole={setRole} />
          <span className="soft">{roleWords[role]}</span>
        </p>
        {postWords[role] !== undefined && (
          <p>
            <label htmlFor={`${id}-post`}>Post</label>
            <input
              id={`${id}-post`}
              value={post}
              autoComplete="off"
              onChange={event => setPost(event.target.value)}
            />
            <span className="soft">{postWords[role]}</span>
          </p>
        )}
        <Problems problems={problems} />
        <p>
          <button type="submit" className="button" disabled={busy}>
            Make the invitation
          </button>
        </p>
      </form>
    </section>
  )
}
