'use client'
import { fromRfc3339 } from '../../../server/domain/time.ts'
import { clockWords } from '../../live/clock.ts'
import { usePlan } from '../../live/useBoard.ts'
import { useNotices } from '../notices/useNotices.ts'

type Props = {
  label: string
  precinct: string
  value: string
  onChange(value: string): void
  marks: { 'aria-invalid': true | undefined; 'aria-describedby': string | undefined }
}

/** How much of a notice's words it is told apart by. */
const WORDS = 60

/** Which notice of the desk to this precinct was read. */
export function NoticeField({ label, precinct, value, onChange, marks }: Props) {
  const { timeZone } = usePlan()
  const { answer, problem } = useNotices()
  const theirs = answer?.notices.filter(one => one.to === null || one.to.includes(precinct)) ?? []
  const none = problem ?? (answer ? 'no notice was sent here' : 'asking…')
  return (
    <label>
      <span>{label}</span>
      <select data-field value={value} onChange={e => onChange(e.target.value)} {...marks}>
        <option value="">{theirs.length === 0 ? none : 'choose…'}</option>
        {theirs.map(({ position, at, text }) => (
          <option key={position} value={position}>
            {clockWords(fromRfc3339(at), timeZone)} {text?.slice(0, WORDS) ?? 'words erased'}
          </option>
        ))}
      </select>
    </label>
  )
}
