import { describe, expect, it } from 'vitest';
import { ears } from '../caregiver.ts';

// Phrases as Brazilian families type them on a phone: common practice of the language, from memory.

describe('an emergency in Brazilian Portuguese', () => {
  it.each([
    ['gente acabamos de bater o carro', true],
    ['acabei de sofrer um acidente com as criancas', true],
    ['meu bebe nao ta respirando', true],
    ['Meu filho não respira!!', true],
    ['ela n ta respirando', true],
    ['minha filha desmaiou e nao acorda', true],
    ['ele ficou roxo', true],
    ['a boca dele tá ficando roxa', true],
    ['ele ta sangrando muito na cabeça', true],
    ['bateram na gente agora e minha filha tá desacordada', true],
    ['estamos presos nas ferragens', true],
    ['preciso de uma ambulância', true],
    ['nasceu há um mês e não está respirando', true],
    ['o bebê engasgou', true],
    ['batemos o carro ano passado', false],
    ['a cadeirinha esteve em uma batida há dois anos', false],
    ['ele parou de respirar uma vez, faz um ano', false],
    ['a cadeirinha fica presa no carro com o cinto', false],
    ['ela tem dificuldade pra respirar de vez em quando', false],
    ['não bateu nunca', false],
    ['ele não dorme no carro', false],
    ['não consigo acordar ele', true],
    ['ela engasgou com uma bala', true],
    ['o carro tá pegando fogo', true],
    ['a gente acabou de sofrer um acidente', true],
    ['a cadeirinha fica trancada no carro da minha mãe', false],
    ['nasceu prematuro e ficou sem respirar sozinho na uti', false],
    ['a cadeirinha não está se mexendo', false],
  ] as const)('%s: %s', (text, urgent) => {
    expect(ears.emergency(text)).toBe(urgent);
  });
});

describe('things named in Brazilian Portuguese', () => {
  it.each([
    ['age', 'ainda não nasceu', ['unborn']],
    ['age', 'tô grávida de 30 semanas', ['unborn']],
    ['age', 'nasceu em maio', []],
    ['seat-history', 'ganhei usada da minha cunhada', ['second-hand-known']],
    ['position', 'no banco da frente do lado do motorista', ['p1R']],
    ['position', 'no banco do passageiro', ['p1R']],
    ['position', 'atrás do banco do passageiro', ['p2R']],
    ['care-needs', 'ela nasceu prematura de 32 semanas', ['born-early']],
    ['care-needs', 'ele ta com a perna engessada', ['medical']],
    ['seat-history', 'compramos nova na loja', ['new']],
    ['seat-history', 'ganhei da minha irmã e a etiqueta sumiu', ['label-missing', 'second-hand-known']],
    ['seat-history', 'comprei num brechó, nunca bateu', ['second-hand-unknown']],
    ['crash-details', 'o carro foi rebocado e o airbag abriu', ['air-bags-deployed', 'not-drivable']],
    ['crash-details', 'ninguem se feriu mas a porta amassou', ['door-damaged', 'injuries']],
    ['install-check', 'ta muito frouxa', ['moves']],
    ['install-check', 'o cinto nao trava e ta torcido', ['belt-unlocked', 'twisted']],
    ['harness-check', 'dá pra beliscar, mas sem casaco', ['pinchable']],
    ['harness-check', 'ele usa jaqueta e a presilha na barriga', ['clip-low', 'coat']],
    ['belt-check', 'o cinto pega no pescoço', ['on-neck']],
    ['belt-check', 'passa por baixo do braço', ['under-arm']],
    ['vehicle-hardware', 'só tem cinto abdominal', ['lap-only']],
    ['vehicle-hardware', 'meu carro nao tem isofix', ['no-lower-anchors']],
    ['attachment', 'com o cinto do carro', ['seat-belt']],
    ['attachment', 'pelo isofix', ['lower-anchors']],
    ['tether', 'fica pendurado', ['not-attached']],
    ['tether', 'nao ta preso', ['not-attached']],
    ['position', 'atras do motorista', ['p2L']],
    ['position', 'no meio do banco de trás', ['p2C']],
    ['position', 'vai na frente do meu lado', ['p1R']],
    ['front-air-bag', 'ta desligado', ['off']],
    ['front-air-bag', 'nao tem', ['none']],
    ['sex', 'é uma menina', ['female']],
    ['sex', 'menino', ['male']],
    ['acquired', 'novinha', ['new']],
    ['acquired', 'era do irmão dele', ['known-second-hand']],
    ['recall', 'nao tem recall', ['none']],
    ['recall', 'ainda não verifiquei', ['unchecked']],
    ['belt-path', 'a de costas', ['rear-facing']],
    ['belt-path', 'a passagem pra frente', ['forward-facing']],
    ['recline', 'está muito deitada', ['too-reclined']],
    ['recline', 'ta bem na linha', ['in-range']],
    ['straps', 'um pouco acima', ['above']],
    ['straps', 'na mesma altura', ['at']],
    ['chest-clip', 'na altura das axilas', ['armpit']],
    ['chest-clip', 'perto do umbigo', ['low']],
    ['seat-kind', 'nao temos cadeirinha ainda', ['no-seat']],
    ['seat-kind', 'n tenho', ['no-seat']],
    ['harness-check', 'gosto de tartarugas', []],
  ] as const)('%s: %s', (group, text, ids) => {
    expect([...ears.keywords(text, 'pt-BR', group)].sort()).toEqual([...ids].sort());
  });

  it.each([
    ['só uma', 1],
    ['tenho gêmeos', 2],
    ['três filhos', 3],
    ['4 crianças', 4],
  ] as const)('counts children: %s', (text, count) => {
    expect(ears.count(text, 'pt-BR')).toBe(count);
  });
});
