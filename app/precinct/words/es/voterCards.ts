import type { Words } from '../catalogue.ts'

/** Cards of the quick reference about voters and their ballots. */

export const voterCards: Words['voterCards'] = {
  provisional: {
    title: 'No está en la lista o vino al lugar equivocado',
    text: 'Busque otra vez. Pruebe otra ortografía, un apellido anterior, la calle.\nBusque el lugar correcto. La oficina puede ayudar.\n¿Vino al lugar equivocado? Diga cuál es el correcto y a qué hora cierra.\nAlgunos votantes pueden votar aquí con boleta provisional, según el procedimiento de su condado.\nVa en su propio sobre. La oficina decide después si cuenta.',
    todo: 'Guarde el sobre aparte de las otras boletas.\nDiga al votante cómo puede saber si contó.',
    never: 'Nunca despida a un votante con la duda. Pregunte antes a la oficina.',
    find: 'provisional, precinto equivocado, casilla, se mudó, domicilio, dirección, no registrado, falta el nombre, lista, padrón, sobre',
  },
  'ballot-refused': {
    title: 'El tabulador rechaza una boleta',
    text: 'Deje que el votante lea primero la pantalla. Ahí dice por qué.\nMuchas veces hay marcas de más, ninguna marca o una raya.\nEl votante puede corregirla en una boleta nueva o entregarla así, como lo fije su condado.\n¿Se atoró adentro? La sacan dos {workers} juntos. Nadie la lee.',
    todo: 'Voltee la boleta y pruebe otra vez.\n¿Rechaza muchas? Repórtelo en Equipo y llame a la oficina.',
    never: 'Nunca lea la boleta.\nNunca diga en voz alta lo que muestra la pantalla.',
    find: 'rechazo, rechazada, devuelve, atasco, atorada, trabada, sobrevoto, demasiadas marcas, en blanco, escáner, máquina, no acepta',
  },
  'spoiled-ballot': {
    title: 'Un error en la boleta',
    text: 'El votante puede pedir una boleta nueva.\nLa anterior se marca como dañada y va a su sobre.\nAlgunos condados fijan cuántas boletas nuevas puede recibir un votante.\nCuéntela como dañada. Ese número hace falta al cierre.',
    todo: 'Pida al votante que antes doble o cubra la boleta anterior.\nAnótelo como lo hace su condado.',
    never: 'Nunca mire cómo estaba marcada.\nNunca tire una boleta.',
    find: 'dañada, arruinada, anulada, boleta nueva, reemplazo, equivocación, rota, otra vez',
  },
  assisting: {
    title: 'Ayudar a un votante a votar',
    text: 'Un votante puede necesitar ayuda para leer o marcar la boleta.\nEl votante escoge quién ayuda. Puede ser una amistad, o dos {workers}.\nMuchas veces no se permite: el jefe del votante o alguien de su sindicato.\nAlgunos condados fijan a cuántos votantes puede ayudar una persona.\nPuede ser que quien ayuda tenga que firmar un formulario.',
    todo: 'Espere a que el votante lo pida. Hable con el votante, no con quien ayuda.\nMarque solo lo que el votante le diga.',
    never: 'Nunca sugiera cómo votar.\nNunca cuente cómo votó alguien.',
    find: 'asistir, asistencia, ayuda, ayudante, ciego, no sabe leer, discapacidad, marcar por, sindicato, patrón',
  },
  language: {
    title: 'Ayuda en otro idioma',
    text: 'Use las boletas, letreros y tarjetas que tenga en ese idioma.\nPuede ayudar un {worker} que lo hable.\nEl votante puede traer a alguien que lo hable.\nLa oficina quizá tenga a alguien que ayude por teléfono.',
    todo: 'Deje que el votante señale su idioma.\nHable despacio y con palabras cortas.',
    never: 'Nunca escoja usted al ayudante del votante.\nNunca despida a un votante por el idioma.',
    find: 'inglés, español, lengua, traducir, traductor, intérprete, habla, bilingüe',
  },
  accessible: {
    title: 'La estación accesible',
    text: 'Cualquier votante puede usarla. Nadie tiene que decir por qué.\nMuestre cómo empieza y después aléjese.\nDeje espacio para una silla de ruedas, y la pantalla fuera de la vista.\n¿No funciona? Repórtelo en Equipo y llame a la oficina.',
    todo: 'Ofrézcala a cada votante de la misma manera.\nLimpie los audífonos y dé tiempo al votante.',
    never: 'Nunca pregunte qué tiene el votante.\nNunca mire la pantalla.',
    find: 'discapacidad, silla de ruedas, ciego, audífonos, audio, dispositivo, acceso, rampa',
  },
  curbside: {
    title: 'Votar desde el vehículo',
    text: 'Es para un votante que no puede entrar.\nSalen dos {workers} con lo necesario y una cubierta.\nRegistre al votante como lo hace su condado.\nEl votante marca la boleta sin que nadie mire.\nTráigala cubierta y póngala donde diga su condado.',
    todo: 'Esté pendiente del letrero o del timbre todo el día.\nCuente a este votante en Conteos.',
    never: 'Nunca salga una persona sola.\nNunca deje esperar un auto sin que lo vean.',
    find: 'acera, banqueta, carro, coche, auto, afuera, estacionamiento, no puede caminar, timbre',
  },
  'write-in': {
    title: 'Votos por un nombre escrito',
    text: 'El votante puede escribir un nombre donde la boleta tiene una línea para eso.\nPuede haber un óvalo junto a la línea. El votante también lo llena.\nLa oficina ve después qué nombres cuentan.',
    todo: 'Muestre cómo se hace en una boleta de muestra.\nMande a la oficina las preguntas sobre nombres.',
    never: 'Nunca diga ni deletree un nombre a un votante.\nNunca diga si un nombre contará.',
    find: 'candidato por escrito, escribir, nombre, candidato, no está en la boleta, otra persona, óvalo',
  },
  'closing-line': {
    title: 'La fila a la hora del cierre',
    text: 'Por regla general, quienes están en la fila a la hora del cierre todavía votan.\nMarque el final de la fila en ese minuto, como lo fije su condado.\nUn {worker} se pone detrás de la última persona.\nA quienes llegan después se les dice con amabilidad que ya terminó.\n¿Más horas? Solo la oficina se lo puede decir.',
    todo: 'Anuncie la hora cuando falte media hora y al cierre.\nReporte al último votante cuando todos hayan votado.',
    never: 'Nunca cierre antes de la hora.\nNunca empiece los pasos de cierre mientras alguien vota.',
    find: 'cerrar, cierre, cola, final de la fila, tarde, último votante, más horas, tribunal, juez, espera',
  },
}
