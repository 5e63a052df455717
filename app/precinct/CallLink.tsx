'use client'
import type { DevicePlan } from '../../server/protocol/device.ts'
import { useWords } from './words/WordsContext.tsx'

type Plan = Pick<DevicePlan, 'page'>

/** Where no telephone is used in the voting room, the page says so beside each number. */
export function StepOut({ plan }: { plan: Plan }) {
  const { calls: W } = useWords()
  return plan.page.phonesInRoom ? null : <p className="pp-line">{W.stepOut}</p>
}

/** Rings the office. `pressing`: it is what must be done now. */
export function CallOffice({
  plan,
  pressing = false,
}: {
  plan: Plan & Pick<DevicePlan, 'officePhone'>
  pressing?: boolean
}) {
  const { office: W } = useWords()
  if (!plan.officePhone) return null
  return (
    <>
      <StepOut plan={plan} />
      <a className={pressing ? 'pp-go pp-call' : 'pp-quiet pp-call'} href={`tel:${plan.officePhone}`}>
        {W.call(plan.officePhone)}
      </a>
    </>
  )
}
