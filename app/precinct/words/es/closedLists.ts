import type { Words } from '../catalogue.ts'

/** The words of closed lists, and of what the plan names by a code. */

export const language: Words['language'] = { tag: 'es', name: 'Español' }

export const titles: Words['titles'] = {
  lead: 'encargado del precinto',
  worker: 'trabajador electoral',
  workers: 'trabajadores electorales',
  custodian: 'conserje',
  office: 'oficina de elecciones',
}

export const roles: Words['roles'] = {
  'precinct lead': '{lead}',
  custodian: '{custodian}',
  'check-in': 'registro de llegada',
  ballots: 'boletas',
  'booths and line': 'cabinas y fila',
  tabulator: 'tabulador',
  'accessible station': 'estación accesible',
  'other worker': 'otro {worker}',
}

export const signs: Words['signs'] = {
  'not-heard': 'sin noticias',
  'setting-up': 'en preparación',
  ready: 'listo',
  open: 'abierto',
  closing: 'cerrando',
  closed: 'cerrado',
  returning: 'en camino al condado',
  received: 'recibido',
  'tabulator-down': 'tabulador fuera de servicio',
  slot: 'ranura de emergencia en uso',
  silent: 'en silencio',
  suspended: 'suspendido',
}

export const categories: Words['categories'] = {
  'place-not-open': 'el lugar no abre',
  equipment: 'equipo',
  supplies: 'materiales',
  'long-line': 'fila larga',
  workers: '{workers}',
  power: 'electricidad',
  communications: 'comunicaciones',
  weather: 'clima',
  security: 'seguridad',
  medical: 'emergencia médica',
  access: 'acceso',
  conduct: 'conducta',
  custody: 'custodia',
  other: 'otra cosa',
}

export const tapeProblems: Words['tapeProblems'] = {
  'precinct-name': 'nombre del precinto equivocado',
  'not-zero': 'no todo está en cero',
  'public-count': 'el contador público no está en cero',
  'ballot-order': 'el orden no es el de la boleta',
  'seal-number': 'el número del sello es otro',
  signatures: 'faltan firmas',
  'not-printed': 'no se imprimió',
  other: 'otra cosa',
}

/** Without an article: sentences put a colon or parentheses around it. */
export const containers: Words['containers'] = {
  'tabulator-door': 'puerta del tabulador',
  'ballot-box': 'urna',
  'memory-device': 'dispositivo de memoria',
  'return-bag': 'bolsa de devolución',
  'emergency-slot': 'ranura de emergencia',
}

export const machines: Words['machines'] = {
  nowTag: (label, tag) => `${label}, ahora ${tag}`,
  kinds: {
    tabulator: 'tabulador',
    'accessible-station': 'estación accesible',
    pollbook: 'libro electrónico de votantes',
    'ballot-box': 'urna',
    tablet: 'tableta',
  },
}
