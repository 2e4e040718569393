import { describe, expect, it } from 'vitest';
import { ears } from '../caregiver.ts';

// Phrases as French-speaking families type them on a phone, in Europe, Africa and Quebec: common practice of the
// language, from memory.

describe('an emergency in French', () => {
  it.each([
    ['on vient davoir un accident la', true],
    ["on vient d'avoir un accident et mon fils saigne de la tete", true],
    ['au secours mon bébé ne respire plus', true],
    ['elle respire pas !!!', true],
    ['il arrive plus a respirer', true],
    ['ma fille s’étouffe', true],
    ['bébé devient tout bleu', true],
    ['Il est inconscient', true],
    ['ma fille a perdu connaissance', true],
    ['elle se réveille pas', true],
    ['mon fils est coincé dans la voiture', true],
    ['je viens de me faire rentrer dedans avec les petits', true],
    ['il y a du sang partout, il saigne beaucoup', true],
    ['appelez une ambulance svp', true],
    ['né il y a un mois, il ne respire pas', true],
    ["née l'année dernière, elle ne respire plus", true],
    ['il a arrêté de respirer il y a 5 minutes', true],
    ["le siège a eu un accident l'année dernière", false],
    ['on a eu un accident il y a deux ans', false],
    ['il a arrêté de respirer à la naissance', false],
    ["l'an dernier elle a perdu connaissance", false],
    ['il a parfois du mal à respirer, il a de l’asthme', false],
    ['le siège est coincé entre les deux autres', false],
    ['elle ne dort pas dans la voiture', false],
    ['le siège est bien coincé dans la voiture', false],
    ['il est tout bleu, le siège', false],
    ['il ne bouge plus du tout', false],
    ['mon bébé ne bouge plus', true],
    ['ma petite soeur est toute bleue', true],
    ['la voiture est bleue', false],
    ['on vient d’acheter le siège', false],
  ] as const)('%s: %s', (text, urgent) => {
    expect(ears.emergency(text)).toBe(urgent);
  });
});

describe('things named in French', () => {
  it.each([
    ['age', "il n'est pas encore né", ['unborn']],
    ['age', 'je suis enceinte de 8 mois', ['unborn']],
    ['age', 'né en mai', []],
    ['seat-history', "c'est ma soeur qui me l'a donné", ['second-hand-known']],
    ['vehicle-hardware', 'la ceinture passe que sur les hanches', ['lap-only']],
    ['care-needs', 'elle est née prématurée', ['born-early']],
    ['care-needs', 'né 5 semaines trop tôt, et sous oxygène', ['born-early', 'medical']],
    ['care-needs', 'il a un plâtre a la jambe', ['medical']],
    ['care-needs', "pas prématuré, mais de l'asthme", ['medical']],
    ['seat-history', 'acheté neuf au magasin', ['new']],
    ['seat-history', "il vient de ma soeur, y'a plus d'étiquette", ['label-missing', 'second-hand-known']],
    ['seat-history', 'trouvé dans une brocante, jamais d’accident', ['second-hand-unknown']],
    ['seat-history', "il n'y a pas d'étiquette", ['label-missing']],
    ['seat-history', 'une boucle cassée et je ne l’ai jamais enregistré', ['not-registered', 'parts-missing']],
    ['seat-history', "je n'ai pas vérifié", ['recall-unchecked']],
    ['crash-details', 'la voiture a été remorquée', ['not-drivable']],
    ['crash-details', "l'airbag s'est déclenché et la portière enfoncée", ['air-bags-deployed', 'door-damaged']],
    ['crash-details', 'sans blessé', []],
    ['install-check', 'il bouge beaucoup', ['moves']],
    ['install-check', 'ça bouge pas', []],
    ['install-check', 'la sangle est vrillée et trop penché', ['too-reclined', 'twisted']],
    ['install-check', "la ceinture n'est pas bloquée", ['belt-unlocked']],
    ['harness-check', 'sans manteau mais je peux pincer la sangle', ['pinchable']],
    ['harness-check', 'les sangles sortent au dessus des épaules, clip trop bas', ['clip-low', 'straps-above']],
    ['harness-check', 'il a sa doudoune', ['coat']],
    ['belt-check', 'elle passe sur le cou', ['on-neck']],
    ['belt-check', 'il la met sous le bras', ['under-arm']],
    ['belt-check', 'pas sur le ventre', []],
    ['vehicle-hardware', 'juste une ceinture ventrale', ['lap-only']],
    ['vehicle-hardware', "ya pas d'isofix", ['no-lower-anchors']],
    ['attachment', 'avec la ceinture', ['seat-belt']],
    ['attachment', 'isofix', ['lower-anchors']],
    ['attachment', 'les deux en même temps', ['both']],
    ['tether', 'elle pend derrière', ['not-attached']],
    ['tether', "elle n'est pas accrochée", ['not-attached']],
    ['position', 'derrière le conducteur', ['p2L']],
    ['position', "à l'arrière au milieu", ['p2C']],
    ['position', 'arrière droite', ['p2R']],
    ['position', "à l'avant à côté de moi", ['p1R']],
    ['position', 'troisième rangée au milieu', ['p3C']],
    ['front-air-bag', 'il est désactivé', ['off']],
    ['front-air-bag', "pas d'airbag", ['none']],
    ['sex', "c'est une fille", ['female']],
    ['sex', 'garçon', ['male']],
    ['acquired', "d'occasion de ma soeur", ['known-second-hand']],
    ['harness-check', "une housse qui n'était pas vendue avec", ['add-on']],
    ['seat-history', "y a pas d'étiquette de la norme", ['not-certified']],
    ['acquired', 'tout neuf', ['new']],
    ['acquired', "d'occasion", ['unknown-second-hand']],
    ['recall', 'aucun rappel', ['none']],
    ['recall', 'pas encore réparé', ['open']],
    ['recall', "je n'ai pas vérifié", ['unchecked']],
    ['belt-path', 'celui dos à la route', ['rear-facing']],
    ['belt-path', 'face à la route', ['forward-facing']],
    ['recline', 'trop couché', ['too-reclined']],
    ['recline', 'il est dans la zone', ['in-range']],
    ['straps', 'plus bas', ['below']],
    ['straps', 'à la même hauteur', ['at']],
    ['chest-clip', 'au niveau des aisselles', ['armpit']],
    ['chest-clip', 'sur le ventre', ['low']],
    ['seat-kind', "on n'a pas de siège", ['no-seat']],
    ['seat-kind', "j'en ai pas", ['no-seat']],
    ['harness-check', 'j’aime les tortues', []],
  ] as const)('%s: %s', (group, text, ids) => {
    expect([...ears.keywords(text, 'fr', group)].sort()).toEqual([...ids].sort());
  });

  it.each([
    ['un seul', 1],
    ['des jumelles', 2],
    ['deux', 2],
    ['trois enfants', 3],
  ] as const)('counts children: %s', (text, count) => {
    expect(ears.count(text, 'fr')).toBe(count);
  });
});
