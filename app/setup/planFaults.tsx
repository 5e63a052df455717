import type { z } from 'zod'
import type { faultOnWire } from '../../server/protocol/setup.ts'
import { Columns } from './columns.tsx'
import css from './setup.module.css'

type Fault = z.output<typeof faultOnWire>

/** Every fault of a plan: where it is, what stands there, what would do. */
export function PlanFaults({ faults }: { faults: readonly Fault[] }) {
  return (
    <>
      <h3>{faults.length === 1 ? '1 fault' : `${faults.length} faults`}: nothing was kept</h3>
      <div className={css.wide}>
        <table className={css.table}>
          <Columns names={['file', '#line', 'column', 'found', 'what would do']} />
          <tbody>
            {faults.map((fault, i) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: a report never changes; two faults may be alike
              <tr key={i}>
                <th scope="row">{fault.file}</th>
                <td className={css.number}>{fault.line ?? ''}</td>
                <td>{fault.column ?? ''}</td>
                <td>{fault.found}</td>
                <td>{fault.message}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  )
}
