import { describe, expect, it } from 'vitest';
import { ears } from '../caregiver.ts';

// Phrases as Russian-speaking families type them on a phone: common practice of the language, from memory.

describe('an emergency in Russian', () => {
  it.each([
    ['мы только что попали в аварию', true],
    ['Только что в нас врезались, дочка плачет', true],
    ['щас попали в дтп что делать', true],
    ['ребенок не дышит', true],
    ['малыш не дышет!!!', true],
    ['Он ПЕРЕСТАЛ ДЫШАТЬ', true],
    ['у неё губы посинели', true],
    ['сын без сознания', true],
    ['не приходит в себя', true],
    ['у него сильно идёт кровь', true],
    ['из головы идет кровь', true],
    ['дочь зажало в машине', true],
    ['нужна скорая срочно', true],
    ['родился месяц назад и не дышит', true],
    ['попали в аварию в прошлом году', false],
    ['кресло было в аварии два года назад', false],
    ['один раз он потерял сознание, это было год назад', false],
    ['кресло не шевелится', false],
    ['ремень не вытягивается', false],
    ['аварий не было', false],
    ['у него бывают проблемы с дыханием', false],
    ['не могу разбудить дочку', true],
    ['машина горит', true],
    ['дочка подавилась монетой', true],
    ['ребенок остался в закрытой машине', true],
    ['наклейка синяя', false],
    ['ремень застрял в замке', false],
  ] as const)('%s: %s', (text, urgent) => {
    expect(ears.emergency(text)).toBe(urgent);
  });
});

describe('things named in Russian', () => {
  it.each([
    ['age', 'он ещё не родился', ['unborn']],
    ['age', 'я беременна', ['unborn']],
    ['age', 'родился в мае', []],
    ['seat-history', 'бу, купили на рынке, историю не знаем', ['second-hand-unknown']],
    ['care-needs', 'родился раньше срока на 32 неделе', ['born-early']],
    ['care-needs', 'у неё астма', ['medical']],
    ['seat-history', 'купили новое в магазине', ['new']],
    ['seat-history', 'досталось от сестры, наклейка стёрлась', ['label-missing', 'second-hand-known']],
    ['seat-history', 'взяли с рук, в аварии не было', ['crash', 'second-hand-unknown']],
    ['crash-details', 'машину увезли на эвакуаторе, подушки сработали', ['air-bags-deployed', 'not-drivable']],
    ['crash-details', 'помяли дверь, никто не пострадал', ['door-damaged']],
    ['install-check', 'сильно шатается', ['moves']],
    ['install-check', 'ремень перекручен и не блокируется', ['belt-unlocked', 'twisted']],
    ['harness-check', 'складка собирается, но он без куртки', ['pinchable']],
    ['harness-check', 'она в куртке и фиксатор на животе', ['clip-low', 'coat']],
    ['belt-check', 'режет шею', ['on-neck']],
    ['belt-check', 'ремень под мышкой', ['under-arm']],
    ['vehicle-hardware', 'там только поясной ремень', ['lap-only']],
    ['vehicle-hardware', 'изофикса нет', ['no-lower-anchors']],
    ['attachment', 'штатным ремнём', ['seat-belt']],
    ['attachment', 'на изофикс', ['lower-anchors']],
    ['tether', 'просто висит', ['not-attached']],
    ['tether', 'да, зацеплен', ['attached']],
    ['position', 'за водителем', ['p2L']],
    ['position', 'сзади посередине', ['p2C']],
    ['position', 'на переднем сиденье рядом со мной', ['p1R']],
    ['front-air-bag', 'мы её отключили', ['off']],
    ['front-air-bag', 'не отключали', ['active']],
    ['sex', 'девочка', ['female']],
    ['sex', 'это мальчик', ['male']],
    ['acquired', 'новое', ['new']],
    ['acquired', 'купили с рук', ['unknown-second-hand']],
    ['recall', 'отзывов нет', ['none']],
    ['recall', 'ещё не проверяли', ['unchecked']],
    ['belt-path', 'там где спиной вперёд', ['rear-facing']],
    ['belt-path', 'по ходу движения', ['forward-facing']],
    ['recline', 'слишком вертикально', ['too-upright']],
    ['recline', 'на линии', ['in-range']],
    ['straps', 'чуть выше', ['above']],
    ['straps', 'на уровне плеч', ['at']],
    ['chest-clip', 'на животе', ['low']],
    ['chest-clip', 'у подмышек', ['armpit']],
    ['seat-kind', 'кресла пока нет, у нас нет ничего', ['no-seat']],
    ['seat-kind', 'нет автокресла', ['no-seat']],
    ['harness-check', 'я люблю черепах', []],
  ] as const)('%s: %s', (group, text, ids) => {
    expect([...ears.keywords(text, 'ru', group)].sort()).toEqual([...ids].sort());
  });

  it.each([
    ['только один', 1],
    ['двойняшки', 2],
    ['трое', 3],
    ['4 ребенка', 4],
  ] as const)('counts children: %s', (text, count) => {
    expect(ears.count(text, 'ru')).toBe(count);
  });
});
