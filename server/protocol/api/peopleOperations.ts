import { z } from 'zod'
import { peopleChanges, peopleChangesQuery } from '../peopleChanges.ts'
import {
  accounts,
  apiTokens,
  askLink,
  changeAccount,
  done,
  invite,
  linkMade,
  makeToken,
  tokenMade,
} from '../setup.ts'
import type { Operation } from './operation.ts'

const common = { group: 'people', who: ['admin'] } as const
const nothing = z.strictObject({})

/** Accounts of people and tokens of programs, for an administrator. */
export const peopleOperations: readonly Operation[] = [
  {
    ...common,
    method: 'GET',
    pattern: '/api/v1/setup/people',
    id: 'people',
    title: 'Who may sign in, and as what',
    answer: accounts,
    example: {
      answer: {
        people: [
          {
            id: 'person_4kQ',
            name: 'Tove',
            email: 'tove@example.gov',
            role: 'desk',
            post: null,
            is: 'active',
            sessions: 1,
          },
        ],
      },
    },
  },
  {
    ...common,
    method: 'GET',
    pattern: '/api/v1/setup/people/changes',
    id: 'peopleChanges',
    title: 'Who changed what about people and programs, newest first',
    words:
      'A record of its own, to which is only added, written with the change it tells of. Older ones: ask again with `before` the last position. Ids are kept, names are those of today; no password, link or token.',
    query: peopleChangesQuery,
    answer: peopleChanges,
    example: {
      query: { limit: '10' },
      answer: {
        changes: [
          {
            position: 12,
            at: '2026-11-02T14:05:00.000Z',
            by: { id: 'person-7wE', name: 'Odile' },
            about: { id: 'person-4kQ', name: 'Tove' },
            kind: 'PersonChanged',
            what: { role: { was: 'desk', is: 'supervisor' }, sessionsEnded: 1 },
          },
        ],
        more: true,
        timeZone: 'America/New_York',
      },
    },
  },
  {
    ...common,
    method: 'POST',
    pattern: '/api/v1/setup/people',
    id: 'invite',
    title: 'An account, and the link by which its password is set',
    words: 'The link is shown once; nothing is mailed.',
    body: invite,
    answer: linkMade,
    more: { 409: 'somebody has an account with this e-mail' },
    example: {
      body: { name: 'Tove', email: 'tove@example.gov', role: 'rover', post: 'ana' },
      answer: {
        person: 'person_4kQ',
        link: '/enter?key=sample_secret_shown_only_once',
        validUntil: '2026-11-10T09:00:00.000Z',
      },
    },
  },
  {
    ...common,
    method: 'POST',
    pattern: '/api/v1/setup/people/:person',
    id: 'changeAccount',
    title: 'Changes an account, or switches it off',
    words: 'A changed role, or `off`, ends their sessions at once.',
    body: changeAccount,
    answer: done,
    more: { 404: 'there is no such account', 409: 'it is the last administrator who can sign in' },
    example: { path: { person: '$PERSON' }, body: { role: 'supervisor' }, answer: { ok: true } },
  },
  {
    ...common,
    method: 'POST',
    pattern: '/api/v1/setup/people/:person/link',
    id: 'link',
    title: 'A fresh one-time link',
    words: 'To set a password; or to sign in, for who has no e-mail here.',
    body: askLink,
    answer: linkMade,
    more: { 404: 'there is no such account, or it is off', 409: 'they sign in with a password of their own' },
    example: {
      path: { person: '$PERSON' },
      body: { for: 'password' },
      answer: {
        person: 'person_4kQ',
        link: '/enter?key=sample_secret_shown_only_once',
        validUntil: '2026-11-10T09:00:00.000Z',
      },
    },
  },
  {
    ...common,
    method: 'GET',
    pattern: '/api/v1/setup/tokens',
    id: 'tokens',
    title: 'Programs that may ask',
    answer: apiTokens,
    example: {
      answer: {
        tokens: [
          {
            id: 'token_9xB',
            label: 'wall clock',
            role: 'desk',
            madeAt: '2026-11-02T09:00:00.000Z',
            usedAt: null,
          },
        ],
      },
    },
  },
  {
    ...common,
    method: 'POST',
    pattern: '/api/v1/setup/tokens',
    id: 'makeToken',
    title: 'A token for a program, with a role',
    words: 'Shown once; only its hash is kept. No token acts as an administrator.',
    body: makeToken,
    answer: tokenMade,
    example: {
      body: { label: 'wall clock', role: 'desk' },
      answer: { id: 'token_9xB', token: 'sample_token_shown_only_once_000000000000000' },
    },
  },
  {
    ...common,
    method: 'POST',
    pattern: '/api/v1/setup/tokens/:token/end',
    id: 'endToken',
    title: 'Ends a token at once',
    body: nothing,
    answer: done,
    more: { 404: 'there is no such token, or it has ended' },
    example: { path: { token: '$TOKEN' }, body: {}, answer: { ok: true } },
  },
]
