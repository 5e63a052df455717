import type { Words } from '../catalogue.ts'

/** What was said, what is wrong with it, and how a question is answered. */

const number = (n: number) => n.toLocaleString('es-US')

export const said: Words['said'] = {
  title: 'Lo que se dijo hoy',
  lead: 'Lo último va primero. “La oficina lo tiene” quiere decir que está guardado allá.',
  empty: 'Nada todavía.',
  state: {
    waiting: 'en espera',
    had: 'la oficina lo tiene',
    refused: 'no se aceptó',
    mended: 'se dijo otra vez',
    left: 'se dejó como está',
    again: 'se envía otra vez',
    aside: 'guardado aparte en la oficina',
    leftover: 'no se sabe si llegó',
  },
  toMend: 'La oficina no pudo aceptar estos',
  leftovers: 'De antes de activar otra vez este dispositivo',
  leftoversHelp:
    'Puede que la oficina ya haya recibido algunos de estos. Mire cada uno. Envíelo solo si todavía hace falta.',
  mend: 'Decirlo otra vez, corregido',
  send: 'Enviarlo ahora',
  leave: 'Dejarlo así',
  retry: seconds => `Próximo intento en ${seconds} s`,
}

export const problems: Words['problems'] = {
  replaced: 'Otra tableta tomó el lugar de esta. La oficina guarda aparte lo que usted dijo aquí y decide.',
  reused: 'Este número ya se usó antes con otras palabras. Mírelo y dígalo otra vez.',
  named: (field, words) => `${field}: ${words}`,
  fields: {
    what: 'Qué pasó',
    resolution: 'Cómo terminó',
    explanation: 'Explicación',
    note: 'Nota',
    found: 'Número del sello',
    checkedIn: 'Llegadas de votantes',
    publicCount: 'Contador público',
    inLine: 'En fila',
    inSlot: 'En la ranura',
    ballotsLeft: 'Boletas sin usar',
    tabulator: 'Tabulador',
    equipment: 'Equipo',
    step: 'Paso',
    container: 'Contenedor',
    carriers: 'Personas que llevan la entrega',
    howMany: 'Cuántos',
    seals: 'Sellos',
  },
  oneCount: 'Ponga al menos un conteo.',
  tooLongToSend: 'Es demasiado largo para enviarlo. Use menos palabras.',
  missing: 'Escriba algo aquí.',
  tooLong: 'Demasiado largo. Acórtelo.',
  choose: 'Escoja una de las respuestas que se ofrecen.',
  wholeNumber: 'Escriba un número entero.',
  dayClosed: 'Este día está cerrado. La oficina ya no acepta reportes de hoy.',
  dayStopped: 'Ahora este día no está en marcha en la oficina.',
  noFit: 'Esto no va aquí.',
  atLeast: n => `Al menos ${number(n)}.`,
  atMost: n => `No más de ${number(n)}.`,
  moreThan: n => `Más de ${number(n)}.`,
  lessThan: n => `Menos de ${number(n)}.`,
}

export const asking: Words['asking'] = {
  next: 'Seguir',
  saving: 'Guardando…',
  back: 'Atrás',
  numberNeeded: 'Escriba un número.',
  numberWhole: 'Escriba un número entero, 0 o más, hasta 1,000,000.',
  textNeeded: 'Escriba algo aquí.',
  textLong: 'Demasiado largo. Acórtelo.',
  textForm: 'Esto no parece correcto. Use solo letras, números, punto y guion.',
  lineForm: line => `Esta línea no es un solo número de sello: ${line}. Escriba un número por línea.`,
  tickNeeded: 'Marque al menos uno.',
  erase: 'Borrar el último número',
  clear: 'Borrar',
  both: 'Las dos confirmaron: seguir',
  alone: 'Aquí hay una sola persona',
  first: 'Primera persona: confirmo',
  second: 'Segunda persona: yo también confirmo',
  differ: 'Somos de partidos distintos',
  twoNeeded: 'Las dos personas deben confirmar. Si aquí hay una sola, dígalo.',
  done: 'Listo',
  savedHere: 'Guardado aquí. La oficina lo recibe en cuanto haya conexión.',
  savedAside: 'Guardado aparte. Puede que la oficina no lo vea. Llámeles.',
  savedThere: 'La oficina lo tiene.',
  failed: {
    full: limit =>
      `Este dispositivo ya tiene ${number(limit)} reportes que la oficina no ha recibido. Este no se guardó. Llame a la oficina.`,
    storage: message =>
      `Este dispositivo no pudo guardarlo (${message}). No se envió nada. Anótelo en papel y llame a la oficina.`,
    invalid: 'Algo falta o está mal. Revíselo.',
  },
  looksLike: {
    phone: 'Esto parece un número de teléfono.',
    email: 'Esto parece un correo electrónico.',
    address: 'Esto parece el domicilio de alguien.',
    name: 'Esto parece el nombre de una persona.',
  },
  neverName: 'Aquí nunca se nombra a los votantes. Diga qué pasó, no a quién.',
  change: 'Cambiarlo',
  asIs: 'No nombra a ningún votante: dejarlo',
}
