import type { Words } from '../catalogue.ts'

/** The line to the office, and enrolling. */

const reports = (n: number) => `${n} ${n === 1 ? 'reporte' : 'reportes'}`

export const office: Words['office'] = {
  hasAll: at =>
    at === null
      ? 'La oficina todavía no ha sabido de este dispositivo'
      : `La oficina lo tiene todo. Última señal: ${at}`,
  waiting: (n, at) =>
    at === null
      ? `${reports(n)} en espera. La oficina todavía no ha sabido de este dispositivo`
      : `${reports(n)} en espera. Última señal: ${at}`,
  again: n => `La oficina se restauró de una copia: se envía otra vez ${reports(n)}`,
  down: since =>
    `Sin conexión desde las ${since}. Siga reportando: todo se guarda aquí y se envía cuando vuelva la conexión.`,
  connecting: 'Conectando con la oficina.',
  call: phone => `Llame a la oficina: ${phone}`,
  refused: n => `La oficina no pudo aceptar ${reports(n)}. Vea qué está mal`,
  leftovers: n => `${reports(n)} de antes de activar otra vez este dispositivo. Véalos`,
  gap: (wanted, holds, phone) =>
    `La oficina pide el reporte ${wanted}. Este dispositivo solo tiene desde el ${holds}. Por eso no se envía nada. Llame a la oficina (${phone}) y pida un código nuevo. Lo que espera aquí se conserva.`,
  storage:
    'Este dispositivo no puede guardar. Lo que reporte ahora se puede perder. Libere espacio o llame a la oficina.',
  unsafe:
    'Este navegador no guarda nada. Si cierra o recarga esta página, necesita un código nuevo. Lo que espera se pierde.',
  turnedAway: message =>
    `La computadora de la oficina no acepta reportes de aquí ahora: ${message || 'no dio razón'}. Se conservan. Llame a la oficina.`,
  aside: phone =>
    `Guardado aparte. Puede que la oficina no lo vea. ${phone === '' ? 'Llámeles.' : `Llámeles: ${phone}`}`,
  dayClosed: n =>
    n === 0
      ? 'Este día está cerrado. La oficina ya no acepta reportes de hoy.'
      : `Este día está cerrado. La oficina ya no acepta reportes de hoy. ${n === 1 ? 'Queda' : 'Quedan'} ${reports(n)} en esta tableta: llame a la oficina.`,
  tooOld:
    'Esta página es más vieja que la computadora de la oficina. Lo que espera se conserva. Cargue la página otra vez.',
  reload: 'Cargar la página otra vez',
}

export const enrol: Words['enrol'] = {
  title: 'Activar este dispositivo',
  lead: 'Su {office} le da un código para su precinto. Sirve una sola vez.',
  code: 'Código',
  codeHelp: 'Diez letras y números. En mayúsculas o minúsculas, con guion o sin guion.',
  codeCame: 'El código vino con el enlace. Oprima Activar si este dispositivo se queda en su precinto.',
  label: 'Nombre de este dispositivo (si quiere)',
  labelHelp: 'Por ejemplo: tableta de la mesa de registro. No ponga el nombre de una persona.',
  go: 'Activar',
  going: 'Preguntando a la oficina…',
  empty: 'Escriba el código que le dio la oficina.',
  short: 'El código tiene diez letras y números. Revíselo.',
  refused: {
    'wrong-code': 'Este no es uno de nuestros códigos. Un código nunca tiene I, L, O, U, 0 ni 1. Revíselo.',
    'used-code': 'Este código ya se usó. Pida otro a su {office}.',
    'day-closed': 'El día de este código está cerrado. Pida otro a su {office}.',
    'other-day': 'Este código es de otro día, no del día de esta tableta. El código todavía sirve.',
    'served-already': 'Esta tableta ya atiende el precinto de este código. El código todavía sirve.',
  },
  noNetwork:
    'No hay conexión con la oficina. Revise la red de este dispositivo y pruebe otra vez. El código todavía sirve.',
  office: 'La computadora de la oficina no respondió como debe. Pruebe otra vez o llame a la oficina.',
  tooMany: wait => `Demasiados intentos. Espere ${wait} y pruebe otra vez.`,
  lost: 'La oficina ya no acepta este dispositivo. Tal vez se cambió por otro o se reportó como perdido.',
  lostKept: n =>
    n === 0
      ? 'Aquí no había nada en espera.'
      : `${n === 1 ? 'Todavía espera aquí' : 'Todavía esperan aquí'} ${reports(n)}. Nada se pierde. Podrá enviar lo que espera después de activarlo otra vez para el mismo precinto.`,
}

export const offline: Words['offline'] = {
  ready: 'Funciona sin red.',
  onlyOpen: 'Deje esta página abierta. Sin red no se puede volver a abrir.',
}
