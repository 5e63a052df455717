import type { z } from 'zod'
import type { backups } from '../protocol/setup.ts'
import type { Route } from './routes.ts'

/** How the automatic backups stand: for an administrator. */
export function backupRoutes(state: () => z.output<typeof backups>): Route[] {
  return [
    {
      method: 'GET',
      pattern: '/api/v1/setup/backups',
      who: ['admin'],
      handle: () => ({ status: 200, json: state() }),
    },
  ]
}
