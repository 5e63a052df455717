import { z } from 'zod'
import { asideOperations } from './asideOperations.ts'
import { custodyOperations } from './custodyOperations.ts'
import { dayOperations } from './dayOperations.ts'
import { deviceOperations } from './deviceOperations.ts'
import { forecastOperations } from './forecastOperations.ts'
import { noticeOperations } from './noticeOperations.ts'
import type { Operation } from './operation.ts'
import { peopleOperations } from './peopleOperations.ts'
import { returnOperations } from './returnOperations.ts'
import { reviewOperations } from './reviewOperations.ts'
import { setupOperations } from './setupOperations.ts'

const specification = z.looseObject({})

/** Everything that can be asked over HTTP: a test holds it to the routes of the server, one to one. */
export const operations: readonly Operation[] = [
  ...deviceOperations,
  ...dayOperations,
  ...asideOperations,
  ...forecastOperations,
  ...returnOperations,
  ...custodyOperations,
  ...noticeOperations,
  ...reviewOperations,
  ...setupOperations,
  ...peopleOperations,
  {
    method: 'GET',
    pattern: '/api/v1/openapi.json',
    id: 'openapi',
    title: 'This API in the form of OpenAPI 3.1',
    group: 'this',
    who: 'anyone',
    answer: specification,
    example: { answer: { openapi: '3.1.0' } },
  },
  {
    method: 'GET',
    pattern: '/api/v1/asyncapi.json',
    id: 'asyncapi',
    title: 'The sockets in the form of AsyncAPI 3',
    group: 'this',
    who: 'anyone',
    answer: specification,
    example: { answer: { asyncapi: '3.0.0' } },
  },
]
