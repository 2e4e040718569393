import { describe, expect, it } from 'vitest';
import { createWords } from '#src/words/words.ts';

describe('words', () => {
  const words = createWords();

  it('are said in the language that is asked for, and in English where it has none', () => {
    expect(words.say('es', 'desk')('signIn.password')).toBe('Contraseña');
    expect(words.say('xx', 'desk')('signIn.password')).toBe('Password');
    expect(words.languages).toEqual(expect.arrayContaining(['en', 'es']));
  });

  it('choose the form for the number', () => {
    const say = words.say('en', 'desk');
    expect([0, 1, 2].map((count) => say('list.urgent', { count }))).toEqual([
      '0 things cannot wait',
      '1 thing cannot wait',
      '2 things cannot wait',
    ]);
  });

  it('take what somebody typed as it is', () => {
    const name = '$t(page.menu) {{count}} <b>&';
    expect(words.say('en', 'desk')('page.signedInAs', { name })).toBe(`Signed in: ${name}`);
  });

  it('throw when a key or a value is missing, or tell whoever listens and go on', () => {
    expect(() => words.say('en', 'desk')('page.nothing')).toThrow(/page\.nothing/);
    expect(() => words.say('en', 'desk')('page.signedInAs')).toThrow(/name/);
    const heard: string[] = [];
    const patient = createWords({ onMissing: (what) => heard.push(what) }).say('en', 'desk');
    expect([patient('page.nothing'), patient('page.signedInAs')]).toEqual(['page.nothing', 'Signed in: ']);
    expect(heard).toEqual(['key page.nothing', 'value name in "Signed in: {{name}}"']);
  });

  it('are known to be there or not', () => {
    expect([
      words.has('desk', 'page.menu'),
      words.has('desk', 'page.nothing'),
      words.has('desk', 'constructor'),
    ]).toEqual([true, false, false]);
  });
});
