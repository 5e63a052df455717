import type { Words } from '../catalogue.ts'

/** The guides of steps: what is drawn, what is done, what must be seen. A county's own words come before these. */

export const guide: Words['guide'] = {
  see: 'Lo que debe ver',
  yes: 'Sí, está así',
  amiss: 'No está así',
  notYet: 'Todavía no',
  trouble: '¿Qué está mal?',
  atStep: '¿En qué paso hay algo mal?',
  what: '¿Qué está mal? Dígalo en pocas palabras.',
  fixed: '¿Ya está bien?',
  fixedYes: 'Sí, ya está bien',
  fixedNo: 'No, sigue mal',
  fixedDone: 'Bien. Siga con el paso.',
  call: 'Llame a la oficina ahora',
  ring: (role, phone) => `Llame a: ${role}, ${phone}`,
  toldThere: trouble => `Ya lo saben: ${trouble}.`,
  toldHere: trouble => `Queda guardado aquí hasta que haya conexión: ${trouble}. Dígalo usted al llamar.`,
  pollsOpen: opens => `La votación abre de todos modos a las ${opens}.`,
  back: 'Volver al paso',
  somethingAmiss: 'Algo está mal',
}

export const locked: Words['locked'] = {
  ask: '¿No pueden entrar al edificio?',
  yes: 'No, no podemos entrar',
  no: 'Ya estamos adentro',
  done: 'Llame ahora, en este orden',
  after: 'Cuando entren, reporte su equipo.',
}

export const drawings: Words['drawings'] = {
  team: 'Un equipo de pie alrededor de una mesa',
  locked: 'Una puerta con cerradura',
  packs: 'Dos manos cuentan paquetes de boletas',
  seal: 'Un sello con número cierra un pestillo',
  box: 'Una urna vacía vista desde arriba, con la tapa abierta',
  boxLocked: 'Una urna con la tapa cerrada con llave',
  seated: 'Un tabulador bien plano sobre la urna',
  flapOpen: 'La compuerta de la urna bajo el tabulador está abierta',
  flapClosed: 'La compuerta de la urna está cerrada y detiene la boleta',
  power: 'Un enchufe en la pared y una luz encendida',
  sound: 'Sale un sonido de la urna bajo el tabulador',
  prompt: 'El tabulador muestra un mensaje',
  tape: 'Una cinta con puros ceros',
  door: 'Una puerta pequeña del tabulador, cerrada con un sello',
  checkIn: 'Una mesa de registro con la lista de votantes',
  room: 'Casillas para votar, y una estación con silla y audífonos',
  entrance: 'Una rampa y un paso libre hasta la puerta',
  line: 'Una fila de personas; un letrero marca el final',
  closingTape: 'Una cinta larga con firmas',
  sums: 'Una hoja con sumas',
  memory: 'Un dispositivo de memoria entra en una bolsa',
  carriers: 'Dos personas llevan un maletín',
}

/** By guide. Common practice of opening and closing a polling place. */
export const stepTitles: Words['stepTitles'] = {
  team: 'Equipo completo y juramento hecho',
  ballots: 'Boletas y paquetes contados',
  seals: 'Sellos comparados con el registro',
  box: 'Urna vista vacía y cerrada con llave',
  tabulator: 'Tabulador en su lugar, abierto y encendido',
  tape: 'Cinta de apertura impresa y verificada',
  door: 'Puerta de la memoria sellada',
  'check-in': 'Mesa de registro lista',
  room: 'Casillas, letreros y estación accesible listos',
  'last-voter': 'Votó la última persona',
  'closing-tape': 'Tabulador cerrado, cinta de cierre firmada',
  reconcile: 'Cuentas comparadas',
  memory: 'Memoria sacada y sellada',
  pack: 'Materiales empacados para la entrega',
}

export const guides: Words['guides'] = {
  team: {
    how: 'Cuente quién está aquí. Tomen el juramento juntos. Dé un puesto a cada persona.',
    see: 'Cada puesto tiene a alguien.',
  },
  ballots: {
    how: 'Dos personas cuentan los paquetes. Mire el precinto en las boletas. Compare con la lista.',
    see: 'El número es el de la lista. Las boletas son de este precinto.',
  },
  seals: {
    how: 'Lea cada sello donde está puesto. Dos personas lo miran.',
    see: 'Cada sello está entero. Su número es el esperado.',
  },
  box: {
    how: 'Abra cada parte de la urna. Dos personas miran adentro. Después ciérrela con llave.',
    see: 'Cada parte está vacía. Cada tapa está cerrada con llave.',
  },
  tabulator: {
    how: 'Ponga el tabulador sobre la urna. Abra la compuerta de la urna. Enchúfelo en su propia toma de pared. Enciéndalo y escuche.',
    see: 'Está plano. La compuerta está abierta. La luz está encendida. Se oye la urna. Muestra su mensaje.',
  },
  tape: {
    how: 'Imprima la cinta de apertura. Léala línea por línea. Déjela en el tabulador.',
    see: 'El nombre de su precinto, y un cero en cada total.',
  },
  door: {
    how: 'Cierre la puerta pequeña del dispositivo de memoria. Póngale un sello. Anote el número.',
    see: 'La puerta está cerrada. El sello la sujeta. Las llaves las tiene: {lead}.',
  },
  'check-in': {
    how: 'Prepare la mesa de registro. Encienda los libros electrónicos, o ponga la lista de papel.',
    see: 'La lista es de este precinto. Cada puesto funciona.',
  },
  room: {
    how: 'Ponga las casillas y la estación accesible. Cuelgue los letreros. Deje libre el paso desde la calle.',
    see: 'Un votante en silla de ruedas puede entrar y votar. Nadie ve cómo votan los demás.',
  },
  'last-voter': {
    how: 'A la hora de cierre alguien del equipo se para al final de la fila. Quien ya está en la fila puede votar.',
    see: 'Ya votaron todos los que estaban en la fila.',
  },
  'closing-tape': {
    how: 'Cierre el tabulador según el procedimiento de su condado. Imprima la cinta de cierre. Firman todos los que deben.',
    see: 'La cinta está completa y firmada. Su conteo es el del contador público.',
  },
  reconcile: {
    how: 'Sume en la hoja las boletas y los votantes. Lo hacen dos personas.',
    see: 'Las sumas coinciden, o usted anotó por qué no.',
  },
  memory: {
    how: 'Rompa el sello de la puerta pequeña. Saque el dispositivo de memoria. Métalo en su bolsa y séllela.',
    see: 'El dispositivo está en la bolsa. Usted anotó los dos números de sello.',
  },
  pack: {
    how: 'Empaque lo que se devuelve, cosa por cosa, con la lista. Lo llevan dos personas.',
    see: 'No queda nada de la lista. Cada maletín está sellado.',
  },
}

/** What can be amiss, as a worker says it. */
export const troubleNames: Words['troubleNames'] = {
  'building-locked': 'el edificio está cerrado con llave',
  'people-missing': 'faltan personas',
  'ballots-differ': 'hay más o menos boletas que en la lista',
  'pack-count-differs': 'un paquete trae más o menos de lo que dice',
  'wrong-ballots': 'son boletas de otro precinto',
  'seal-different': 'un sello tiene otro número',
  'seal-broken': 'un sello está roto o falta',
  'box-not-empty': 'la urna no está vacía',
  'box-not-locking': 'la urna no cierra con llave',
  'flap-closed': 'la compuerta de la urna está cerrada o atorada',
  'not-seated': 'el tabulador no queda plano sobre la urna',
  'no-power': 'no hay corriente',
  'no-sound': 'la urna no suena',
  'no-prompt': 'el tabulador no muestra ningún mensaje',
  'tape-not-printed': 'la cinta no se imprime',
  'tape-wrong': 'la cinta está mal',
  'door-not-closing': 'la puerta pequeña no cierra',
  'seal-short': 'no hay sello para poner',
  'pollbook-down': 'la lista o un libro electrónico no funciona',
  'accessible-not-working': 'la estación accesible no funciona',
  'room-short': 'faltan casillas, mesas o letreros',
  'entrance-blocked': 'la entrada está bloqueada',
  'line-continues': 'todavía hay gente en la fila',
  'closing-tape-not-printed': 'la cinta de cierre no se imprime',
  'counts-differ': 'los conteos no coinciden',
  'memory-stuck': 'el dispositivo de memoria no sale',
  'items-missing': 'falta algo de lo que se devuelve',
  'nobody-to-carry': 'nadie puede llevarlo',
  other: 'otra cosa',
}
