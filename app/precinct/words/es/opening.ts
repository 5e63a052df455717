import type { Words } from '../catalogue.ts'

/** Questions until the polls are open. */

export const team: Words['team'] = {
  present: '¿Cuántos {workers} hay aquí ahora?',
  presentHelp: n => `El plan tiene ${n} para este precinto.`,
  missing: '¿Quién falta?',
  missingHelp: 'Marque cada puesto que nadie ocupa.',
  nobody: 'No falta nadie',
  howMany: role => `¿Cuántos faltan? Puesto: ${role}`,
  standby: '¿Pedir {workers} de reserva a la oficina?',
  standbyYes: 'Sí, pedirlos',
  standbyNo: 'No, podemos así',
  standbyAsked: 'Se pidieron {workers} de reserva a la oficina.',
  done: 'Equipo de trabajo reportado',
}

export const step: Words['step'] = {
  isDone: '¿Ya está hecho?',
  yes: 'Sí, está hecho',
  notYet: 'Todavía no',
  two: 'Esto lo hacen dos personas juntas',
  done: 'Paso reportado',
}

export const seal: Words['seal'] = {
  found: what => `¿Qué número tiene el sello? Lugar: ${what}`,
  foundHelp: 'Léalo en el sello mismo, no en una lista.',
  noNumber: 'No hay número que leer',
  again: what => `Ese no es el número esperado. Lea el sello otra vez. Lugar: ${what}`,
  againHelp: 'Escríbalo otra vez tal como está en el sello. Mírelo con otra persona.',
  state: what => `¿Está entero el sello? Lugar: ${what}`,
  why: what => `¿Por qué no hay número? Lugar: ${what}`,
  intact: 'En su lugar y entero',
  broken: 'Roto o cortado',
  missing: 'No hay sello',
  agrees: 'Es el número esperado.',
  unknown: 'La oficina compara el número con su registro.',
  differs: 'No es el número esperado. Queda anotado tal como lo escribió.',
  done: 'Sello anotado',
  toSeals: 'Todos los sellos',
  stop: what => `No siga con esto: ${what}`,
  stopHelp: 'Llame a la oficina ahora. Déjelo como está, con dos personas al lado.',
}

/** A tabulator in doubt. */
export const outOfUse: Words['outOfUse'] = {
  seal: label => `No use ${label}: su sello no está bien.`,
  note: { seal: 'no usar: su sello no está bien', tape: 'no usar: su cinta no está bien' },
  goOn: '¿Dijo la oficina que siga con él?',
  goOnNo: 'Todavía no',
  goOnYes: 'Sí, dijo que siga',
}

export const tape: Words['tape'] = {
  'not-printed': '¿Se imprimió la cinta de apertura, completa y legible?',
  'precinct-name': name => `¿Dice la cinta el nombre de su precinto: ${name}?`,
  'not-zero': '¿Están en cero todos los totales de la cinta?',
  'public-count': '¿Muestra 0 el contador público del tabulador?',
  'ballot-order': '¿Están los nombres y las preguntas en el mismo orden que en la boleta?',
  'seal-number': '¿Está el número del sello en la cinta, y es el mismo del sello?',
  signatures: '¿Firmaron la cinta todos los que deben firmarla?',
  wrong: '¿Qué está mal? Marque todo lo que vio.',
  what: '¿Qué muestra la cinta exactamente?',
  whatHelp: 'En pocas palabras, para la oficina. Puede dejarlo en blanco.',
  skip: 'Dejarlo en blanco',
  yes: 'Sí',
  no: 'No',
  verified: 'Cinta verificada',
  verifiedHelp: 'Deje la cinta pegada, según el procedimiento de su condado.',
  rejected: label => `No use ${label}. Llame a la oficina ahora.`,
  rejectedOpens: opens =>
    `La votación abre de todos modos a las ${opens}. Un tabulador en duda nunca es razón para no abrir.`,
}

export const open: Words['open'] = {
  early: (now, opens) =>
    `Son las ${now}. Por ley la votación abre a las ${opens}, no antes. ¿Qué pasa ahora?`,
  notYet: 'Todavía no está abierta',
  areOpen: 'Ya está abierta',
  earlyNote: 'La oficina le va a preguntar por qué',
  open: '¿Ya entran los votantes?',
  late: opens => `La hora legal era a las ${opens}. Si algo le impide abrir, pida que la oficina llame.`,
  yes: 'Sí, la votación está abierta',
  slot: '¿Está abierta la ranura de emergencia para las boletas?',
  slotHelp: names =>
    `Sin verificar o sin funcionar: ${names}. No se usa hasta que la oficina diga lo contrario.`,
  slotYes: 'Sí, la ranura recibe boletas',
  slotNo: 'No, otro tabulador las recibe',
  slotOther: 'No, las recibimos de otro modo',
  withSlot: 'Si ningún tabulador está listo, abra con la ranura de emergencia.',
  asCounty: 'Si ningún tabulador está listo, siga el procedimiento de su condado.',
  done: 'La votación está abierta',
}
