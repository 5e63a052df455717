import type { Words } from '../catalogue.ts'

/** Seals that are taken off and put on, the chain of custody, and notices of the office. */

export const sealing: Words['sealing'] = {
  off: what => `¿Qué número tenía el sello que quitó? Es de: ${what}.`,
  offHelp: 'Léalo en el sello mismo. Guarde el sello, según el procedimiento de su condado.',
  on: what => `¿Qué número tiene el sello nuevo? Es de: ${what}.`,
  onHelp: 'Léalo en el sello mismo, no en una lista.',
  again: found => `Usted escribió ${found} y se esperaba otro número. Lea el sello otra vez.`,
  offDone: 'Sello quitado, anotado',
  offNext: 'Si algo se vuelve a cerrar, ponga un sello nuevo y anótelo.',
  onDone: 'Sello nuevo anotado',
  differs: what => `Se esperaba otro número. Es de: ${what}`,
  differsHelp: 'Lo que escribió quedó anotado. Quédense allí dos personas y llame a la oficina ahora.',
  toOn: 'Sello nuevo puesto',
}

export const custody: Words['custody'] = {
  title: 'Sellos y custodia',
  lead: 'Cada objeto sellado, desde su primer sello del día hasta ahora.',
  nothing: 'Todavía no hay nada anotado.',
  fine: 'No falta nada en el registro.',
  acts: {
    found: number => `revisado: ${number}`,
    applied: number => `sello puesto: ${number}`,
    removed: number => `sello quitado: ${number}`,
    opened: 'abierto por personas',
    left: number => `salió con la entrega: ${number}`,
    received: number => `recibido: ${number}`,
  },
  noNumber: 'sin número',
  onRecord: 'su número está anotado',
  gaps: {
    different: 'se esperaba otro número',
    broken: 'el sello estaba roto',
    missing: 'no había sello',
    'open-since': 'abierto desde entonces: no hay sello nuevo anotado',
    'not-looked-at': 'nadie revisó el sello de la mañana',
    'left-unsealed': 'salió y no hay sello anotado',
    'not-in-return': 'su sello no se nombró con la entrega',
    'received-different': 'su sello no estaba entre los recibidos',
  },
  look: 'Revisar su sello',
  off: 'Sello quitado',
  on: 'Sello nuevo puesto',
}

export const notices: Words['notices'] = {
  title: 'De la {office}',
  today: 'Avisos de hoy',
  at: time => `A las ${time}`,
  read: 'Lo hemos leído',
  close: 'Cerrar',
  isRead: 'leído',
  waiting: n => (n === 1 ? 'Un aviso de la oficina. Léalo' : `${n} avisos de la oficina. Léalos`),
}
