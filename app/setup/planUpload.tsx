'use client'
import { useId, useRef, useState } from 'react'
import type { z } from 'zod'
import { tables } from '../../server/domain/plan/csv.ts'
import type { Problem } from '../../server/protocol/device.ts'
import { planReport } from '../../server/protocol/setup.ts'
import { ask } from './asking.ts'
import { PlanFaults } from './planFaults.tsx'
import { Problems } from './problems.tsx'
import css from './setup.module.css'

type Report = z.output<typeof planReport>
type Chosen = { name: string; base64: string }

/** The server takes no more; said here before a long upload. Base64 adds a third. */
const BYTES = 17 * 1024 * 1024

/** A plan folder is checked in the browser's sight: every fault at once. Only a plan without faults can be kept. */
export function PlanUpload({ onKept }: { onKept(): Promise<void> }) {
  const [files, setFiles] = useState<Chosen[]>([])
  const [report, setReport] = useState<Report | null>(null)
  const [problems, setProblems] = useState<Problem[]>([])
  const [busy, setBusy] = useState('')
  const [kept, setKept] = useState<string | null>(null)
  const result = useRef<HTMLDivElement>(null)
  const id = useId()

  async function choose(list: FileList | null) {
    setReport(null)
    setKept(null)
    setProblems([])
    setFiles([])
    if (!list || list.length === 0) return
    const bytes = [...list].reduce((sum, file) => sum + file.size, 0)
    if (bytes > BYTES)
      return setProblems([
        {
          path: 'files',
          message: `together ${Math.ceil(bytes / 1e6)} MB; at most ${Math.floor(BYTES / 1e6)} MB are taken. Is this the plan’s folder?`,
        },
      ])
    setBusy('Reading the files…')
    const read = await Promise.all(
      [...list].map(async file => ({ name: file.name, base64: await base64Of(file) })),
    )
    setFiles(read)
    await send(read, false)
  }

  async function send(chosen: Chosen[], keep: boolean) {
    setBusy(keep ? 'Keeping the plan…' : 'Checking the plan…')
    const answer = await ask('plans', planReport, { files: chosen, keep })
    setBusy('')
    if (!answer.ok) return setProblems(answer.problems)
    setReport(answer.value)
    if (answer.value.ok && answer.value.kept) {
      setKept(answer.value.day)
      setFiles([])
      await onKept()
    }
    result.current?.focus()
  }

  return (
    <section aria-labelledby={`${id}-title`}>
      <h2 id={`${id}-title`}>A plan</h2>
      <p>
        Choose all the files of a plan folder (<code>plan.json</code> and{' '}
        {Object.values(tables).map(({ file }, i) => (
          <span key={file}>
            {i > 0 && ', '}
            <code>{file}</code>
          </span>
        ))}
        ), or one zip of them. They are checked first, and nothing is kept by it. Write no voter’s name
        anywhere.
      </p>
      <p>
        <label htmlFor={id}>Files of the plan</label>{' '}
        <input
          id={id}
          type="file"
          multiple
          accept=".csv,.json,.zip,text/csv,application/json,application/zip"
          onChange={event => void choose(event.target.files)}
        />
      </p>
      <p role="status">{busy}</p>
      <Problems problems={problems} />
      <div ref={result} tabIndex={-1} className={css.result}>
        {report && !report.ok && <PlanFaults faults={report.faults} />}
        {report?.ok && kept === null && (
          <>
            <h3>No fault found</h3>
            <Summary lines={report.summary} />
            <p>
              {report.replaces
                ? `It takes the place of the plan that is kept for ${report.day}.`
                : `It makes the day ${report.day}.`}
            </p>
            <p>
              <button
                type="button"
                className="button"
                disabled={busy !== ''}
                onClick={() => void send(files, true)}
              >
                Keep this plan
              </button>
            </p>
          </>
        )}
        {report?.ok && kept !== null && (
          <>
            <h3>Kept</h3>
            <p>
              <a href={`/setup/${encodeURIComponent(kept)}`}>Go to {kept}</a> to print its codes, and to open
              or practise it.
            </p>
          </>
        )}
      </div>
    </section>
  )
}

function Summary({ lines }: { lines: string[] }) {
  return (
    <ul className={css.summary}>
      {lines.map(line => (
        <li key={line}>{line}</li>
      ))}
    </ul>
  )
}

async function base64Of(file: File): Promise<string> {
  const bytes = new Uint8Array(await file.arrayBuffer())
  let text = ''
  // In pieces: a call takes only so many arguments.
  for (let i = 0; i < bytes.length; i += 32_768) text += String.fromCharCode(...bytes.subarray(i, i + 32_768))
  return btoa(text)
}
