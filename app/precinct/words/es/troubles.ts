import type { Words } from '../catalogue.ts'

/** Questions when something is amiss or wanted. */

export const incident: Words['incident'] = {
  category: '¿Qué clase de asunto es?',
  what: '¿Qué pasó?',
  whatHelp: 'Los hechos, en pocas palabras. Nunca el nombre, teléfono o domicilio de un votante.',
  resolution: '¿Cómo terminó, o qué se hizo?',
  skip: 'Todavía no termina',
  done: 'Incidente anotado',
}

export const help: Words['help'] = {
  about: '¿De qué se trata?',
  what: '¿Qué debe saber la oficina antes de llamar?',
  whatHelp: 'Nunca el nombre, teléfono o domicilio de un votante.',
  skip: 'Dejarlo en blanco',
  done: 'Se pidió a la oficina que le llame',
  doneHelp: 'Si no puede esperar, llame usted.',
}

export const supplies: Words['supplies'] = {
  item: '¿Qué se está acabando?',
  items: {
    ballots: 'Boletas',
    pens: 'Plumas',
    forms: 'Formularios o sobres',
    power: 'Electricidad: cable, extensión, batería',
    workers: 'Más {workers}',
    other: 'Otra cosa',
  },
  howMany: '¿Cuántos necesita?',
  unknown: 'Es difícil saberlo',
  what: '¿De qué tipo y para cuándo?',
  whatOther: '¿Qué necesita?',
  whatWorkers: '¿Para qué puesto?',
  whatHelp: 'En pocas palabras. Sin nombres.',
  skip: 'Dejarlo en blanco',
  done: 'La oficina sabe lo que necesita',
  doneBallots: 'Si se pueden acabar antes de que lleguen, llame ahora.',
}

export const box: Words['box'] = {
  reason: 'Se abrió la urna. ¿Para qué?',
  straighten: 'Para acomodar las boletas',
  remove: 'Para sacar boletas',
  two: 'Dos personas la abrieron y cerraron juntas, de partidos distintos donde su condado lo pide',
  sealed: '¿Puso un sello nuevo en la urna?',
  sealedYes: 'Sí, tiene un sello nuevo',
  sealedNone: 'La urna no lleva sello',
  sealedNotYet: 'Todavía no',
  number: '¿Qué número tiene el sello nuevo?',
  note: '¿Algo que deba quedar escrito?',
  noteHelp: 'Nadie cuenta ni mira las boletas. Sin nombres.',
  skip: 'Nada más',
  done: 'Quedó escrito que se abrió la urna',
  sealNow: 'Ponga ahora un sello nuevo, entre dos personas. Después anote su número.',
  toSeal: 'Sello nuevo puesto',
  alone: 'La urna la abren dos personas juntas',
  aloneHelp: 'Ciérrela, quédese al lado, busque a otra persona y llame a la oficina ahora.',
}

export const move: Words['move'] = {
  cause: '¿Por qué tienen que salir del edificio?',
  causeHelp: 'Primero las personas. Saque a todos y después siga aquí.',
  causes: {
    threat: 'Una amenaza',
    fire: 'Fuego, humo o gas',
    flood: 'Inundación o tormenta',
    power: 'Sin luz, calefacción o agua',
    access: 'Nadie puede entrar',
    other: 'Otra cosa',
  },
  to: '¿A dónde van?',
  toHelp: 'El lugar o la esquina. Sin nombres de personas.',
  done: 'La oficina sabe que se mudan',
  call: 'Llame a la oficina ahora.',
  together: 'La urna, el tabulador y los sellos van juntos. Dos personas se quedan con ellos.',
  ballots: 'Si no hay peligro, lleve también las boletas sin usar y la lista de votantes.',
  line: 'Diga a quienes esperan en la fila a dónde ir. Deje a alguien o un letrero en la puerta.',
  toSuspend: 'La votación se detuvo',
}

export const suspend: Words['suspend'] = {
  cause: 'La votación se detuvo. ¿Por qué?',
  what: '¿Qué pasó?',
  skip: 'Dejarlo en blanco',
  done: 'La oficina sabe que la votación se detuvo',
  doneHelp: 'Llame a la oficina ahora. Anote a qué hora se detuvo y cuántos había en la fila.',
  resume: '¿Ya se vota otra vez?',
  yes: 'Sí, la votación sigue',
  no: 'Todavía no',
  resumed: 'La oficina sabe que la votación sigue',
}
