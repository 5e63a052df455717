import type { Words } from '../catalogue.ts'

/** What a worker can try before the office is called, one thing at a time. Common practice. */

export const remedies: Words['remedies'] = {
  'building-locked': {
    first: 'Pruebe todas las puertas. Toque el timbre o la puerta.',
  },
  'people-missing': {
    first: 'Pregunte si alguien sabe algo de quienes faltan.',
    second: 'Reparta los puestos entre quienes están aquí. ¿Pueden abrir así?',
  },
  'ballots-differ': {
    first: 'Busque en cada maletín y bolsa paquetes sin contar.',
    second: 'Pida a otras dos personas que cuenten los paquetes.',
  },
  'pack-count-differs': {
    first: 'Pida a otra persona que cuente el paquete.',
    second: 'Anote el número verdadero en el paquete y en la lista. Después use el paquete.',
  },
  'wrong-ballots': {
    first: 'Póngalas aparte y márquelas. Busque las suyas en los otros maletines.',
  },
  'seal-different': {
    first: 'Mire si es el contenedor correcto. Pida a otra persona que lea el número.',
  },
  'seal-broken': {
    first: 'No lo toque. Busque por todos los lados un sello entero.',
  },
  'box-not-empty': {
    first: 'Miren dos personas juntas. Si solo es material de empaque, sáquelo y mire otra vez.',
  },
  'box-not-locking': {
    first: 'Cierre bien cada tapa y compuerta. Después gire la llave otra vez.',
    second: 'Pruebe las otras llaves que vinieron con la urna.',
  },
  'flap-closed': {
    first: 'Mire la compuerta de la urna. Ábrala del todo. No meta boletas antes de abrir la votación.',
    second: 'Levante el tabulador. Mire si algo estorba.',
  },
  'not-seated': {
    first: 'Mire si hay un cable o papel debajo, y sáquelo.',
    second: 'Levante el tabulador y póngalo otra vez hasta que quede plano sobre la urna.',
  },
  'no-power': {
    first: 'Empuje bien el cable en los dos extremos.',
    second: 'Use otra toma de pared. No enchufe ahí nada más.',
    third: 'Busque un interruptor en el cable o la pared, y enciéndalo.',
  },
  'no-sound': {
    first: 'Levante el tabulador y póngalo otra vez para que se conecte con la urna.',
    second: 'Apáguelo y enciéndalo una vez, según el procedimiento de su condado. Escuche.',
  },
  'no-prompt': {
    first: 'Mire si la luz está encendida. Espere un minuto completo.',
    second: 'Apáguelo y enciéndalo una vez, según el procedimiento de su condado.',
  },
  'tape-not-printed': {
    first: 'Mire el papel. Ponga el rollo para que corra en la dirección correcta.',
    second: 'Cierre bien la tapa del papel. Imprima otra vez.',
  },
  'tape-wrong': {
    first: 'Léala otra vez, línea por línea, con otra persona.',
  },
  'door-not-closing': {
    first: 'Mire si el dispositivo de memoria está bien adentro. No use fuerza.',
    second: 'Quite lo que esté atorado en la puerta. Ciérrela otra vez.',
  },
  'seal-short': {
    first: 'Busque un sello de repuesto en todo el maletín de materiales.',
  },
  'pollbook-down': {
    first: 'Revise el enchufe y el cable. Apáguelo y enciéndalo una vez.',
    second: 'Use la lista de papel o el otro libro. ¿Ya puede registrar votantes?',
  },
  'accessible-not-working': {
    first: 'Revise los enchufes, los audífonos y el teclado. Empuje bien cada uno.',
    second: 'Apáguela y enciéndala una vez, según el procedimiento de su condado.',
  },
  'room-short': {
    first: 'Busque en todos los maletines y en el depósito.',
    second: 'Use mesas del edificio. Póngalas de modo que cada votante esté solo.',
  },
  'entrance-blocked': {
    first: 'Despeje el paso con otros, si no hay peligro.',
    second: 'Abra otra entrada sin escalones. Márquela desde la calle.',
  },
  'line-continues': {
    first: 'Vota quien estaba en la fila a la hora de cierre. Ponga a alguien al final de la fila.',
  },
  'closing-tape-not-printed': {
    first: 'Mire el papel. Ponga el rollo para que corra en la dirección correcta.',
    second: 'Cierre bien la tapa del papel. Imprima otra vez.',
  },
  'counts-differ': {
    first: 'Pida a otra persona que sume otra vez cada número.',
    second: 'Busque boletas dañadas, sobres y boletas de la ranura que no se contaron.',
  },
  'memory-stuck': {
    first: 'Mire si el tabulador está cerrado y apagado, según el procedimiento de su condado.',
    second: 'Sáquelo derecho con la mano. Sin herramientas y sin fuerza.',
  },
  'items-missing': {
    first: 'Repase la lista. Busque en cada bolsa y maletín.',
    second: 'Busque en las casillas, debajo de las mesas y en la ranura de emergencia.',
  },
  'nobody-to-carry': {
    first: 'Pregunte a todos. ¿Pueden ir dos personas juntas?',
  },
  other: {},
}

/** What to do until the office answers. */
export const meanwhile: Words['meanwhile'] = {
  door: 'Esperen juntos en la puerta. Pida a los votantes que esperen. No fuercen ninguna puerta.',
  goOn: 'Siga con los otros pasos.',
  leave: 'Déjelo como está. Dos personas se quedan al lado. Nadie lo toca.',
  aside: 'Téngalo aparte, a la vista de dos personas.',
  out: 'No use este tabulador. Use otro, o la ranura de emergencia según el procedimiento de su condado.',
  outPower: 'No mueva nada sellado. Si ningún tabulador funciona, las boletas van a la ranura de emergencia.',
  noVote: 'No despida a ningún votante. Ayude según el procedimiento de su condado.',
  line: 'Deje votar a quienes están en la fila. Nadie más se une a la fila.',
  keep: 'Tenga juntas las boletas y el dispositivo, con dos personas al lado.',
  write: 'Anote los dos números. No cambie nada.',
}
