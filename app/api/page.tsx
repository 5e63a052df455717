import type { Metadata } from 'next'
import type { z } from 'zod'
import { socketEvents } from '../../server/protocol/api/asyncapi.ts'
import { deviceWords } from '../../server/protocol/api/deviceEvents.ts'
import type { Operation } from '../../server/protocol/api/operation.ts'
import { operations } from '../../server/protocol/api/operations.ts'
import { caution, schemaOf } from '../../server/protocol/api/schemaOf.ts'
import css from './api.module.css'
import { fieldsOf } from './fields.ts'

export const metadata: Metadata = { title: 'The API' }

const groups: ReadonlyArray<[Operation['group'], string, string]> = [
  ['devices', 'Devices', 'A precinct’s tablet, or a program in its place. The key goes as a bearer.'],
  ['days', 'Days', 'A day’s picture, its log, its commands: by session, or by a token as a bearer.'],
  ['setup', 'Setup', 'Days, plans and devices, for administrators.'],
  ['people', 'People', 'Accounts and tokens, for administrators.'],
  ['this', 'These specifications', ''],
]

/** What programs can ask, made from the same schemas that check what they send. */
export default function ApiPage() {
  return (
    <main className={css.page}>
      <p>
        <a href="/">Sunup</a>
      </p>
      <h1>The API</h1>
      <p>{caution}</p>
      <p>
        For programs of the county: the same doors that tablets and boards use. As files:{' '}
        <a href="/api/v1/openapi.json">OpenAPI 3.1</a>, <a href="/api/v1/asyncapi.json">AsyncAPI 3</a>. An
        administrator gives a program its token under Setup; a token has a role and may do what that role may.
        Every refusal has one form: <code>{'{"ok": false, "problems": [{"path", "message"}]}'}</code>, with{' '}
        <code>retryAfter</code> in milliseconds where waiting helps.
      </p>
      <nav aria-label="Operations" className={css.list}>
        {groups.map(([group, title]) => (
          <section key={group} aria-label={title}>
            <h2>{title}</h2>
            <ul>
              {operations
                .filter(o => o.group === group)
                .map(o => (
                  <li key={o.id}>
                    <a href={`#${o.id}`}>{o.title}</a>
                  </li>
                ))}
            </ul>
          </section>
        ))}
        <section aria-label="Sockets">
          <h2>Sockets</h2>
          <ul>
            {socketEvents.map(e => (
              <li key={e.namespace + e.event}>
                <a href={`#socket-${e.namespace.slice(1)}-${e.event}`}>
                  {e.namespace} {e.event}
                </a>
              </li>
            ))}
          </ul>
        </section>
      </nav>
      {groups.map(([group, title, words]) => (
        <section key={group} aria-labelledby={`group-${group}`}>
          <h2 id={`group-${group}`} className={css.group}>
            {title}
          </h2>
          {words !== '' && <p>{words}</p>}
          {operations
            .filter(o => o.group === group)
            .map(operation => (
              <OperationPart key={operation.id} operation={operation} />
            ))}
        </section>
      ))}
      <section aria-labelledby="group-sockets">
        <h2 id="group-sockets" className={css.group}>
          Sockets
        </h2>
        <p>
          Socket.IO at <code>/socket.io/</code>. Devices join <code>/precinct</code> with their key in{' '}
          <code>auth</code>; people join <code>/board</code> by their session, programs with a token. What is
          asked is answered by the acknowledgement.
        </p>
        {deviceWords.split('\n\n').map(words => (
          <p key={words}>{words.replaceAll('`', '')}</p>
        ))}
        {socketEvents.map(event => (
          <article
            key={event.namespace + event.event}
            id={`socket-${event.namespace.slice(1)}-${event.event}`}
          >
            <h3>
              {event.from === 'client' ? 'to' : 'from'} <code>{event.namespace}</code>{' '}
              <code>{event.event}</code>
            </h3>
            <p>{event.title}.</p>
            <Fields
              title="Message"
              schema={event.message}
              io={event.from === 'client' ? 'input' : 'output'}
            />
            <Example title="Example" value={event.example} />
            {event.answer && <Fields title="Acknowledgement" schema={event.answer} io="output" />}
            {event.answer && <Example title="Example of it" value={event.answerExample} />}
            {event.more?.map(other => (
              <div key={other.name}>
                <h4>{other.title}</h4>
                <Example title="Example" value={other.message} />
                <Example title="Example of its acknowledgement" value={other.answer} />
              </div>
            ))}
          </article>
        ))}
      </section>
    </main>
  )
}

function OperationPart({ operation }: { operation: Operation }) {
  const { method, pattern, who, example } = operation
  const path = pattern.replace(/:(\w+)/g, '{$1}')
  return (
    <article id={operation.id}>
      <h3>
        {operation.title}
        <code className={css.path}>
          {method} {path}
        </code>
      </h3>
      <p>
        {operation.words} For: {who === 'anyone' ? 'anyone' : who.join(', ')}.
      </p>
      {operation.query && <Fields title="In the address" schema={operation.query} io="output" />}
      {operation.body && <Fields title="Body" schema={operation.body} io="input" />}
      {operation.body && <Example title="Example" value={example.body} />}
      <Fields title="Answer" schema={operation.answer} io="output" />
      <Example title="Example of an answer" value={example.answer} />
      {operation.more && (
        <p>
          {Object.entries(operation.more)
            .map(([status, words]) => `${status}: ${words}.`)
            .join(' ')}
        </p>
      )}
    </article>
  )
}

function Fields({ title, schema, io }: { title: string; schema: z.ZodType; io: 'input' | 'output' }) {
  const fields = fieldsOf(schemaOf(schema, io))
  if (fields.length === 0) return null
  return (
    <details className={css.fields}>
      <summary>
        {title}: {fields.length === 1 ? '1 field' : `${fields.length} fields`}
      </summary>
      <table>
        <thead>
          <tr>
            <th scope="col">field</th>
            <th scope="col">is</th>
            <th scope="col">more</th>
          </tr>
        </thead>
        <tbody>
          {fields.map((field, i) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: two variants may have fields of one name; the list never changes
            <tr key={`${field.path} ${i}`}>
              <th scope="row">
                <code>{field.path}</code>
              </th>
              <td>{field.type}</td>
              <td>
                {field.needed ? '' : 'may be left out'}
                {field.needed || field.words === '' ? '' : '; '}
                {field.words}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  )
}

function Example({ title, value }: { title: string; value: unknown }) {
  return (
    <figure className={css.example}>
      <figcaption>{title}</figcaption>
      <pre>{JSON.stringify(value, null, 2)}</pre>
    </figure>
  )
}
