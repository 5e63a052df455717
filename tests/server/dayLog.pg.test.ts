import type { DayLog } from '../../server/domain/log/dayLog.ts'
import { dayLogContract, type Subject } from './dayLogContract.ts'
import { addDay, aWorld } from './dayLogTools.ts'

async function subject(nodes: number): Promise<Subject> {
  const world = await aWorld(nodes)
  let turn = 0
  let days = 0
  return {
    // Every call goes to the next node in turn.
    log: new Proxy({} as DayLog, {
      get: (_, method: keyof DayLog) => (world.nodes[turn++ % nodes]!.log as never)[method],
    }),
    nodes: world.nodes.map(node => node.log),
    clock: world.clock,
    newDay: async () => {
      const day = `${world.day}-${++days}`
      await addDay(world.nodes[0]!.sql, day)
      return day
    },
    close: world.close,
  }
}

dayLogContract('one node', () => subject(1))
dayLogContract('P9: two nodes in turn', () => subject(2))
