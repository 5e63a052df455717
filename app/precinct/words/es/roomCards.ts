import type { Words } from '../catalogue.ts'

/** Cards of the quick reference about the room and who is in it. */

export const roomCards: Words['roomCards'] = {
  'whom-to-call': {
    title: 'A quién llamar',
    text: 'Llame primero a la oficina. Diga su precinto y después qué pasa.\n¿Está ocupado? Pida en esta página que le llamen.\n¿Hay alguien herido o en peligro? Llame primero al 911.',
    todo: 'Anote a qué hora llamó y qué le dijeron.',
    never: 'Nunca diga el nombre de un votante donde otros lo oigan.',
    find: 'teléfono, número, contacto, oficina, llave, edificio, cerrado, médico, 911, ambulancia',
  },
  danger: {
    title: 'Amenaza, incendio o inundación',
    text: 'Primero saque a la gente. Después llame al 911. Después llame a la oficina.\nSolo si es seguro, dos {workers} se llevan boletas, urna y sellos.\nLos dos tienen siempre a la vista la urna y los sellos.\nLa oficina dice dónde y cuándo sigue la votación.',
    todo: 'Reporte que la votación se detuvo.\nAnote la hora y cuántos estaban en la fila.',
    never: 'Nunca vuelva a entrar por boletas o máquinas.\nNunca toque una bolsa o un paquete extraño.',
    find: 'fuego, humo, alarma, agua, bomba, pistola, arma, tirador, evacuar, emergencia, policía, terremoto, tornado, gas, 911',
  },
  'trouble-maker': {
    title: 'Alguien causa problemas',
    text: 'Mantenga la calma. Hable en voz baja. Tenga las manos a la vista.\nDiga la regla una vez y pida que la sigan.\nLlame a quien está a cargo: {lead}. Que los demás sigan votando, lejos de ahí.\n¿Sigue? Quien está a cargo actúa según el procedimiento de su condado.\nPregunte a la oficina antes de que un votante tenga que salir.',
    todo: '¿Hay peligro? Llame al 911 y después a la oficina.\nRepórtelo en Incidente: cuándo, qué pasó y qué se hizo.',
    never: 'Nunca toque a nadie.\nNunca discuta.',
    find: 'pelea, enojado, grita, borracho, amenaza, policía, molesta, campaña, letrero, camiseta, intimidar, conducta, discutir, arma',
  },
  'power-network': {
    title: 'Sin luz o sin red',
    text: 'La votación sigue. Una boleta de papel no necesita electricidad.\n¿El tabulador está apagado? Use la ranura de emergencia, según el procedimiento de su condado.\n¿La lista electrónica está apagada? Use la lista de papel o lo que fijó su condado.\nEsta página funciona sin red. Envía cuando puede.',
    todo: 'Revise primero el enchufe, el interruptor y la extensión.\nDespués repórtelo y llame a la oficina.\nLleve luz a las cabinas.',
    never: 'Nunca mande a los votantes a su casa.\nNunca ponga un cable donde pasa la gente.',
    find: 'electricidad, apagón, corriente, oscuro, batería, enchufe, cable, internet, wifi, conexión, señal',
  },
  'people-in-room': {
    title: 'Quién puede estar en la sala',
    text: 'Los votantes que votan, y sus niños.\nEl ayudante que el votante escogió.\nLos {workers}, y la gente de la oficina con su gafete.\nObservadores y prensa solo como lo fije su condado.\n¿Viene alguien a reparar una máquina? Solo si la oficina le avisó.',
    todo: 'Pida el gafete o la carta.\n¿Tiene dudas? Llame a la oficina antes de dejar entrar a alguien.',
    never:
      'Nunca deje hacer campaña aquí. La distancia es la que fije su condado.\nNunca deje que un extraño toque el equipo.',
    find: 'permitido, entrar, visita, extraño, niños, credencial, técnico, policía, campaña, propaganda, candidato, pies',
  },
  'press-observers': {
    title: 'Prensa y observadores',
    text: 'Pida el gafete o la carta. Anote quién vino y a qué hora.\nMuestre dónde pueden estar, como lo fije su condado.\nMiran. No ayudan y no tocan nada.\nEl observador pregunta a quien está a cargo: {lead}. Las preguntas de la prensa van a la oficina.\nFotos y video solo como lo fije su condado.',
    todo: 'Trate igual a todas las partes.\n¿Duda qué pueden ver? Llame a la oficina.',
    never: 'Nunca deje que alguien vea o filme una boleta.\nNunca adivine números.',
    find: 'reportero, medios, noticias, cámara, foto, filmar, video, vigilante, partido, monitor, celular',
  },
  'tabulator-distance': {
    title: 'El espacio junto al tabulador',
    text: 'Mantenga a los demás tan lejos como lo fije su condado.\nUn votante a la vez mete su boleta.\nPóngase donde vea el tabulador, pero ninguna boleta.\nAcérquese solo si el votante lo pide o si hay un aviso en la pantalla.',
    todo: 'Marque en el piso dónde espera la fila.\nDé las gracias cuando la boleta esté adentro.',
    never: 'Nunca tome la boleta de un votante que no lo pidió.\nNunca deje solo el tabulador.',
    find: 'distancia, pies, pararse, privacidad, secreto, cerca, qué tan lejos, máquina, escáner, piso',
  },
}
