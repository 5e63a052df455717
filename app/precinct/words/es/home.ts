import type { Words } from '../catalogue.ts'

/** The start of the page, and its lists. */

export const home: Words['home'] = {
  next: 'Lo que sigue',
  all: 'Todo lo que puede reportar',
  groups: {
    people: 'Personas',
    machines: 'Máquinas',
    ballots: 'Boletas y conteos',
    room: 'Sala y votación',
    office: 'La oficina',
  },
  sound: 'Activar el aviso sonoro',
  silence: 'Apagar el aviso sonoro en esta tableta',
  less: 'Mostrar menos',
  said: 'Lo que se dijo hoy',
  back: 'Atrás',
  home: 'Volver al inicio',
  polls: (open, close) => `Votación ${open}–${close}`,
  practice: 'Día de práctica',
  caution:
    'Sunup le muestra a la oficina cómo va su día. Nunca toca los votos y nunca muestra resultados. Siga la ley de su estado y los procedimientos de su condado.',
  day: 'Colores de día',
  night: 'Colores de noche',
  loading: 'Un momento.',
  waitingForPlan: 'Esperando el plan de su precinto. Para eso hace falta conexión una vez.',
  noClock: 'sin hora todavía',
}

export const actions: Words['actions'] = {
  locked: { title: 'El edificio está cerrado con llave', note: 'A quién llamar' },
  team: { title: 'Equipo de trabajo', note: 'Cuántos están y quién falta' },
  steps: { title: 'Pasos de apertura', note: (done, of) => `${done} de ${of} hechos` },
  seals: { title: 'Sellos', note: (done, of) => `${done} de ${of} anotados` },
  tapes: {
    title: 'Cinta de apertura',
    note: (done, of) => `${done} de ${of} verificadas`,
    rejected: names => `Rechazada, no usar: ${names}`,
  },
  open: {
    title: 'Abrir la votación',
    note: at => `A las ${at}, no antes`,
    now: 'Es la hora: abra la votación',
    withSlot: 'Es la hora: abra con la ranura de emergencia',
    asCounty: 'Es la hora: abra según el procedimiento de su condado',
  },
  counts: {
    title: 'Conteos',
    last: at => `Último a las ${at}`,
    due: at => `Hace falta desde las ${at}`,
    never: 'Llegadas de votantes y contador público',
  },
  line: { title: 'Fila', note: 'Cuántos esperan ahora', last: (n, at) => `${n} a las ${at}` },
  equipment: {
    title: 'Equipo',
    note: 'Se detuvo o funciona otra vez',
    down: names => `Sin funcionar: ${names}`,
  },
  slotOpen: {
    title: 'Se abrió la ranura de emergencia',
    note: 'Recibe boletas mientras ningún tabulador las acepta',
  },
  slotLock: {
    title: 'Se cerró la ranura de emergencia',
    note: 'Con llave siempre que el tabulador funcione',
    now: 'El tabulador funciona: ciérrela con llave ahora',
  },
  curbside: { title: 'Votos desde el vehículo', note: 'Cuántos hasta ahora' },
  provisional: { title: 'Boletas provisionales', note: 'Cuántas hasta ahora' },
  spoiled: { title: 'Boletas dañadas', note: 'Cuántas hasta ahora' },
  slotFed: {
    title: 'Boletas de la ranura tabuladas',
    note: n => (n === null ? 'Dos personas juntas' : `Debe haber ${n} en la ranura`),
    wait: n =>
      n === 1
        ? '1 boleta espera en la ranura de emergencia'
        : `${n} boletas esperan en la ranura de emergencia`,
  },
  incident: { title: 'Incidente', note: 'Algo que vale la pena anotar' },
  supplies: { title: 'Pedir materiales', note: 'Boletas, plumas, formularios, electricidad, {workers}' },
  box: { title: 'Se abrió la urna', note: 'Para acomodar o sacar boletas' },
  help: { title: 'Pedir que la oficina llame', note: 'Ellos le devuelven la llamada' },
  suspend: { title: 'La votación se detuvo', note: 'Votación suspendida' },
  resume: { title: 'La votación sigue', note: 'Votación reanudada' },
  move: { title: 'Tenemos que salir del edificio', note: 'Amenaza, fuego, inundación' },
  close: { title: 'Cerrar la votación', note: at => `A las ${at}, no antes` },
  lastVoter: { title: 'Votó la última persona', note: 'Todos los de la fila al cierre ya votaron' },
  closingSteps: { title: 'Pasos de cierre', note: (done, of) => `${done} de ${of} hechos` },
  closingTape: { title: 'Cinta de cierre', note: (done, of) => `${done} de ${of} firmadas` },
  custody: {
    title: 'Sellos y custodia',
    note: 'Sellos quitados y puestos',
    wrong: containers => `No está bien: ${containers}`,
  },
  reconcile: { title: 'Comparar las cuentas', note: 'Boletas y votantes' },
  depart: { title: 'La entrega va en camino', note: 'Los materiales salieron hacia el condado' },
}

export const reminders: Words['reminders'] = {
  slot: 'Mire la ranura de emergencia. Puede haber boletas en ella.',
  counts: at => `Los conteos hacen falta desde las ${at}`,
}

export const lists: Words['lists'] = {
  stepsTitle: { opening: 'Pasos de apertura', closing: 'Pasos de cierre' },
  doable: 'Se puede hacer ahora',
  done: 'Hecho',
  later: 'Después',
  after: titles => `Después de: ${titles}`,
  noneDoable: 'Aquí no queda nada por hacer.',
  sealsTitle: 'Sellos',
  sealsLead: 'Lea cada número en el sello mismo.',
  sealWrong: 'no está bien: no siga con esto',
  recordAgain: 'anotado; toque para anotarlo otra vez',
  tapesTitle: 'Cinta de apertura',
  tape: {
    verified: 'verificada',
    none: 'sin revisar todavía',
  },
  equipmentTitle: 'Equipo',
  equipmentLead: 'Toque lo que se detuvo o lo que funciona otra vez.',
  down: 'sin funcionar',
  works: 'sin problemas reportados',
  closingTapeTitle: 'Cinta de cierre',
  signed: 'firmada',
  notSigned: 'sin firmar todavía',
}
