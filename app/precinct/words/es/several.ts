import type { Words } from '../catalogue.ts'

/** A tablet that serves several precincts. */

/** "y" becomes "e" before the sound of i. */
const and = (name: string) => (/^(?:h?[ií](?!e))/i.test(name) ? 'e' : 'y')
const list = (names: readonly string[]) =>
  names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} ${and(names.at(-1)!)} ${names.at(-1)}`

export const several: Words['several'] = {
  serves: 'Precintos de esta tableta',
  speaksFor: 'Para',
  waiting: n => `${n} en espera`,
  needsYou: 'le necesita',
  another: 'Esta tableta sirve también para otro precinto',
  anotherTitle: 'Servir también para otro precinto',
  anotherLead: names =>
    `Esta tableta sigue sirviendo para ${list(names)}. La oficina le da un código para el otro precinto. Sirve una sola vez.`,
  codeCame: names =>
    `El código vino con el enlace. Esta tableta ya sirve para ${list(names)}. Oprima Activar solo si sirve también para otro precinto. Nada se reemplaza.`,
  notNow: 'Ahora no',
  trouble: (name, what) => `${name}: ${what.join(', ')}`,
  linkLost: 'sin conexión',
  tooOld: 'cargue la página otra vez',
  notAccepted: 'la oficina ya no acepta esta tableta para este precinto',
  refused: n => `la oficina no pudo aceptar ${n}`,
  leftovers: n => `${n} de una activación anterior`,
  stuck: 'los reportes no salen',
  cannotSave: 'esta tableta no puede guardar',
  placeAsked: '¿está ahí esta tableta?',
  lost: name => `La oficina ya no acepta esta tableta para ${name}. Sigue sirviendo para los demás.`,
  takeOff: name => `Quitar ${name} de esta tableta`,
  takeOffHelp:
    'Lo que espera se queda en esta tableta. Aparece otra vez cuando se active para el mismo precinto.',
  elsewhere: name => `${name} está en otro lugar. ¿De verdad está ahí esta tableta?`,
  places: (name, place) => `${name}: ${place}`,
  isThere: 'Sí, está ahí',
  isNotThere: 'No, quitarlo de esta tableta',
  isNotThereHelp: phone =>
    `El código ya se usó. Si la tableta no está ahí, avise a la oficina${phone ? `: ${phone}` : ''}. Ellos la quitan de su lista.`,
}
