import type { Words } from '../catalogue.ts'

/** How a report reads in the list of what was said. */

export const reported: Words['reported'] = {
  missing: (howMany, role) => `${howMany} ${role}`,
  team: (present, missing) =>
    `Equipo: ${present} presentes${missing ? `, faltan ${missing}` : ', no falta nadie'}`,
  step: title => `Hecho: ${title}`,
  tapeVerified: label => `Cinta de apertura verificada: ${label}`,
  tapeRejected: (label, problems) => `Cinta de apertura rechazada: ${label}, ${problems}`,
  seal: (what, found, state) =>
    state === 'missing'
      ? `Sin sello (${what})`
      : `Sello (${what}): ${found}${state === 'broken' ? ', roto' : ''}`,
  sealOn: (what, found) => `Sello nuevo en ${what}: ${found}`,
  sealOff: (what, found) => `Sello quitado de ${what}: ${found}`,
  moved: to => `Se mudaron a: ${to}`,
  noticeRead: 'Aviso leído',
  opened: 'Votación abierta',
  openedWithSlot: 'Votación abierta, con la ranura de emergencia',
  suspended: why => `Votación detenida: ${why}`,
  resumed: 'La votación sigue',
  counts: figures => `Conteos: ${figures}`,
  countNames: {
    checkedIn: 'llegadas',
    inLine: 'en fila',
    inSlot: 'en la ranura',
    spoiled: 'dañadas',
    provisional: 'provisionales',
    curbside: 'en su vehículo',
    ballotsLeft: 'boletas sin usar',
  },
  line: (n, stations) =>
    `En fila: ${n}${stations === undefined ? '' : `. Puestos de registro funcionando: ${stations}`}`,
  down: label => `Se detuvo: ${label}`,
  back: label => `Funciona otra vez: ${label}`,
  replaced: (label, by) => `${by} está en lugar de ${label}`,
  slotOpened: 'Ranura de emergencia abierta',
  slotLocked: n => `Ranura de emergencia con llave${n === undefined ? '' : `. Boletas en ella: ${n}`}`,
  slotFed: (fed, hand, over) =>
    `Boletas de la ranura: ${fed} tabuladas${hand ? `, ${hand} para conteo manual` : ''}${over ? `, ${over} entregadas` : ''}`,
  incident: category => `Incidente: ${category}`,
  items: {
    ballots: 'boletas',
    pens: 'plumas',
    forms: 'formularios o sobres',
    power: 'electricidad',
    workers: '{workers}',
    other: 'otra cosa',
  },
  supplies: (item, howMany) => `Se pidió: ${howMany === undefined ? '' : `${howMany} `}${item}`,
  box: (reason, byTwo) =>
    `Se abrió la urna para ${reason === 'remove' ? 'sacar' : 'acomodar'} boletas${byTwo ? '' : ', por una sola persona'}`,
  help: about => `Se pidió que la oficina llame: ${about}`,
  lastVoter: 'Votó la última persona',
  closed: n => `Votación cerrada${n === undefined ? '' : `, ${n} todavía en fila`}`,
  closingTape: (label, n) => `Cinta de cierre firmada: ${label}, ${n}`,
  reconciled: 'Cuentas comparadas',
  departed: (carriers, seals) =>
    `La entrega salió. Personas: ${carriers}${seals ? `. Sellos: ${seals}` : ''}`,
}
