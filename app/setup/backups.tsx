'use client'
import { backups } from '../../server/protocol/setup.ts'
import { useAsked } from './asking.ts'
import { Problems } from './problems.tsx'

/** Whether what this server keeps is copied to a folder, and when that was last so. Wall time of this browser. */
export function Backups() {
  const asked = useAsked('backups', backups, 30_000)
  const { value } = asked
  return (
    <section aria-labelledby="backups">
      <h2 id="backups">Backups</h2>
      <Problems problems={asked.problems} />
      {value !== null && (
        <>
          {value.problem && (
            <p role="alert" className="wrong">
              The last backup failed at {wall(value.problem.at)}: {value.problem.message}
            </p>
          )}
          <p>
            {!value.on
              ? 'Automatic backups are switched off (SUNUP_BACKUPS). If this machine is lost, so is the day.'
              : value.last === null
                ? `None is made yet; one is made every ${value.everyMinutes} minutes where something is new, in ${value.folder} on the server.`
                : `Last: ${value.last.file}, ${wall(value.last.madeAt)}, ${size(value.last.bytes)}${value.unchangedAt ? `; nothing new since, last looked ${wall(value.unchangedAt)}` : ''}. One is made every ${value.everyMinutes} minutes where something is new, in ${value.folder} on the server.`}
          </p>
        </>
      )}
    </section>
  )
}

function wall(at: string): string {
  return new Date(at).toLocaleString('en-US', { dateStyle: 'medium', timeStyle: 'medium', hourCycle: 'h23' })
}

function size(bytes: number): string {
  return bytes < 1_000_000 ? `${Math.ceil(bytes / 1_000)} KB` : `${(bytes / 1_000_000).toFixed(1)} MB`
}
