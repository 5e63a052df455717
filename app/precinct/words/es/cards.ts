import type { Words } from '../catalogue.ts'

/** The quick reference: how it is found and read. Its cards are in voterCards and roomCards. */

export const cards: Words['cards'] = {
  guide: 'Guía',
  lead: 'Respuestas cortas para su día. Funcionan sin red.',
  search: 'Buscar en la guía',
  searchHelp: 'Basta una palabra, como fila o luz.',
  found: n => `${n} ${n === 1 ? 'tarjeta' : 'tarjetas'}`,
  none: asked => `No se encontró nada con “${asked}”.`,
  noneHelp: 'Pruebe una palabra más corta o llame a la oficina.',
  unknown: 'Esta tarjeta no está en la guía.',
  todo: 'Haga',
  never: 'Nunca',
  all: 'Todas las tarjetas',
  phones: 'Teléfonos',
  office: '{Office}',
  ofCounty: 'De su condado',
  decides: 'La guía de su condado decide.',
}

export const calls: Words['calls'] = {
  stepOut: 'Salga de la sala de votación antes de llamar.',
}
