import { isPrecinctKind, kinds, type PrecinctKind } from '../../server/domain/log/kinds.ts'

export type { PrecinctKind }
export const precinctKindNames: PrecinctKind[] = Object.keys(kinds).filter(isPrecinctKind)
