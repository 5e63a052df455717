'use client'
import { useState } from 'react'
import { accounts } from '../../../server/protocol/setup.ts'
import { useAsked } from '../asking.ts'
import { Columns } from '../columns.tsx'
import { Problems } from '../problems.tsx'
import css from '../setup.module.css'
import { AccountRow } from './accountRow.tsx'
import { InviteForm } from './inviteForm.tsx'

/** A link that was made: shown once. */
export type MadeLink = { who: string; link: string; validUntil: string; for: 'password' | 'sign-in' }

/** Who may sign in, and as what. */
export function People({ me }: { me: string }) {
  const people = useAsked('people', accounts, 20_000)
  const [made, setMade] = useState<MadeLink | null>(null)
  return (
    <>
      <section aria-labelledby="people">
        <h1 id="people">People</h1>
        <p>
          One account has one role; whoever does two things has two accounts. A changed role, or switching
          somebody off, ends their sessions at once.
        </p>
        <Problems problems={people.problems} />
        {made !== null && <ShownLink made={made} onClose={() => setMade(null)} />}
        {people.value === null ? (
          <p role="status">Looking for the people…</p>
        ) : (
          <div className={css.wide}>
            <table className={css.table}>
              <Columns names={['name', 'role', 'is', 'change']} />
              <tbody>
                {people.value.people.map(account => (
                  <AccountRow
                    key={account.id}
                    account={account}
                    isMe={account.id === me}
                    onDone={people.again}
                    onLink={setMade}
                  />
                ))}
              </tbody>
            </table>
          </div>
        )}
      </section>
      <InviteForm onDone={people.again} onLink={setMade} />
    </>
  )
}

function ShownLink({ made, onClose }: { made: MadeLink; onClose(): void }) {
  const address = `${window.location.origin}${made.link}`
  const [copied, setCopied] = useState('')
  return (
    <section className={css.secret} aria-labelledby="made-link">
      <h2 id="made-link">
        {made.for === 'password'
          ? `${made.who} sets a password by this link`
          : `${made.who} signs in by this link`}
      </h2>
      <output>{address}</output>
      <p>
        Shown once. Good once, until{' '}
        {new Date(made.validUntil).toLocaleString('en-US', {
          dateStyle: 'medium',
          timeStyle: 'short',
          hourCycle: 'h23',
        })}
        . Give it to {made.who} and nobody else: whoever opens it first is {made.who} for Sunup.
      </p>
      <p>
        {typeof navigator.clipboard?.writeText === 'function' && (
          <button
            type="button"
            className="button"
            onClick={() =>
              navigator.clipboard.writeText(address).then(
                () => setCopied('Copied.'),
                () => setCopied('It could not be copied: mark it and copy it yourself.'),
              )
            }
          >
            Copy it
          </button>
        )}{' '}
        <button type="button" className="button quiet" onClick={onClose}>
          Done with it
        </button>{' '}
        <span role="status">{copied}</span>
      </p>
    </section>
  )
}
