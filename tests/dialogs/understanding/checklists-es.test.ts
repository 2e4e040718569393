import { describe, expect, it } from 'vitest';
import { ears } from '../caregiver.ts';

// Phrases as families of the US and Latin America type them on a phone: common practice of the language, from memory.

describe('an emergency in Spanish', () => {
  it.each([
    ['acabamos de tener un accidente con los ninos', true],
    ['nos acaban de chocar y mi hija llora', true],
    ['chocamos ahorita', true],
    ['mi bebe no esta respirando', true],
    ['¡No respira!', true],
    ['nació hace un mes y no respira', true],
    ['se está poniendo azul', true],
    ['mi hijo se desmayó y no reacciona', true],
    ['está sangrando mucho de la cabeza', true],
    ['se está ahogando', true],
    ['quedó encerrado en el carro', true],
    ['chocamos hace dos años', false],
    ['una vez dejó de respirar, hace años', false],
    ['el asiento estuvo en un choque', false],
    ['tiene problemas para respirar a veces', false],
    ['el asiento va atrapado con el cinturón', false],
    ['no despertó hasta llegar', false],
    ['no puedo despertarla', true],
    ['se está quemando el carro', true],
    ['se atragantó con una moneda', true],
    ['el asiento no se mueve', false],
    ['el asiento es morado', false],
  ] as const)('%s: %s', (text, urgent) => {
    expect(ears.emergency(text)).toBe(urgent);
  });
});

describe('things named in Spanish', () => {
  it.each([
    ['age', 'todavía no nace', ['unborn']],
    ['age', 'estoy embarazada de 7 meses', ['unborn']],
    ['age', 'tiene 3 años', []],
    ['age', 'nació en mayo', []],
    ['seat-history', 'usado, me lo dio mi comadre', ['second-hand-known']],
    ['seat-history', 'es usado, no sabemos de quién era', ['second-hand-unknown']],
    ['seat-history', 'no está chocado', []],
    ['harness-check', 'el broche está en la panza', ['clip-low']],
    ['harness-check', 'las correas están aguadas', ['pinchable']],
    ['belt-check', 'le pasa por el cuello', ['on-neck']],
    ['belt-check', 'se lo pone atrás de la espalda', ['behind-back']],
    ['position', 'detrás del chofer', ['p2L']],
    ['position', 'en el asiento del copiloto', ['p1R']],
    ['position', 'detrás del asiento del copiloto', ['p2R']],
    ['position', 'atras del copiloto', ['p2R']],
    ['position', 'del lado del pasajero atrás', ['p2R']],
    ['position', 'no va adelante', []],
    ['recall', 'todavía no lo checo', ['unchecked']],
    ['care-needs', 'fue prematura', ['born-early']],
    ['care-needs', 'trae yeso en la pierna', ['medical']],
    ['seat-history', 'lo compramos nuevo', ['new']],
    ['seat-history', 'es de mi hermana y no se lee la etiqueta', ['label-missing', 'second-hand-known']],
    ['crash-details', 'se lo llevó la grúa y se abrieron las bolsas', ['air-bags-deployed', 'not-drivable']],
    ['crash-details', 'se dañó la puerta', ['door-damaged']],
    ['install-check', 'está flojo', ['moves']],
    ['install-check', 'el cinturón está torcido', ['twisted']],
    ['harness-check', 'lleva chamarra gruesa', ['coat']],
    ['harness-check', 'el broche en la panza', ['clip-low']],
    ['belt-check', 'le corta el cuello', ['on-neck']],
    ['belt-check', 'por debajo del brazo', ['under-arm']],
    ['vehicle-hardware', 'no tiene anclaje superior', ['no-tether-anchor']],
    ['vehicle-hardware', 'es solo de cintura', ['lap-only']],
    ['attachment', 'con los anclajes', ['lower-anchors']],
    ['attachment', 'con los dos', ['both']],
    ['tether', 'cuelga', ['not-attached']],
    ['tether', 'sí, enganchada', ['attached']],
    ['position', 'atrás a la derecha', ['p2R']],
    ['position', 'en medio', ['p2C']],
    ['front-air-bag', 'está apagada', ['off']],
    ['front-air-bag', 'no tiene', ['none']],
    ['recall', 'no lo he revisado', ['unchecked']],
    ['recall', 'ya se arregló', ['remedied']],
    ['straps', 'más arriba', ['above']],
    ['straps', 'a la altura', ['at']],
    ['chest-clip', 'en las axilas', ['armpit']],
    ['chest-clip', 'por la panza', ['low']],
  ] as const)('%s: %s', (group, text, ids) => {
    expect([...ears.keywords(text, 'es', group)].sort()).toEqual([...ids].sort());
  });
});
