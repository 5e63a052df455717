import type { z } from 'zod'
import { ruleTitle } from '../../../server/domain/calls/words.ts'
import { ruleWords, type ThresholdPath, thresholdWords } from '../../../server/domain/plan/policyWords.ts'
import type { setupPlan } from '../../../server/protocol/setup.ts'
import { Columns } from '../columns.tsx'
import css from '../setup.module.css'

/** Every threshold and every reason as this day has them, what each means and where its standard value is from. */
export function Policy({ plan }: { plan: z.output<typeof setupPlan> }) {
  return (
    <section aria-labelledby="policy">
      <h2 id="policy">Policy</h2>
      <p>
        The county’s to set, in the plan under <code>policy</code>. Standard values are assumptions of ours
        but where a source is named. What differs from the standard is marked.
      </p>
      <details>
        <summary>{plan.thresholds.length} thresholds</summary>
        <div className={css.wide}>
          <table className={css.table}>
            <Columns names={['threshold', '#is', 'unit', 'means', '#standard', 'from']} />
            <tbody>
              {plan.thresholds.map(({ path, value, standard }) => {
                const words = thresholdWords[path as ThresholdPath]
                return (
                  <tr key={path}>
                    <th scope="row">
                      <code>{path}</code>
                    </th>
                    <td className={css.number}>
                      {value === standard ? shown(value) : <strong>{shown(value)} (set)</strong>}
                    </td>
                    <td>{words?.unit}</td>
                    <td>{words?.words}</td>
                    <td className={css.number}>{shown(standard)}</td>
                    <td>{words?.source}</td>
                  </tr>
                )
              })}
            </tbody>
          </table>
        </div>
      </details>
      <details>
        <summary>{plan.rules.length} reasons to call</summary>
        <div className={css.wide}>
          <table className={css.table}>
            <Columns
              names={['reason', 'when', 'tier', '#raised after, min', '#ended after, min', 'standard']}
            />
            <tbody>
              {plan.rules.map(({ rule, is, standard }) => {
                const same = JSON.stringify(is) === JSON.stringify(standard)
                return (
                  <tr key={rule}>
                    <th scope="row">{ruleTitle[rule]}</th>
                    <td>{ruleWords[rule]}</td>
                    <td>{is.enabled ? is.tier : 'switched off'}</td>
                    <td className={css.number}>{is.delayMinutes}</td>
                    <td className={css.number}>{is.holdMinutes}</td>
                    <td>
                      {same ? (
                        'yes'
                      ) : (
                        <strong>
                          no: {standard.tier}, {standard.delayMinutes}, {standard.holdMinutes}
                        </strong>
                      )}
                    </td>
                  </tr>
                )
              })}
            </tbody>
          </table>
        </div>
      </details>
    </section>
  )
}

function shown(value: number | boolean): string {
  return typeof value === 'number' ? String(value) : value ? 'yes' : 'no'
}
