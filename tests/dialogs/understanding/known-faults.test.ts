import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type Case, score } from './scorer.ts';
import { reader } from './sets.ts';

const here = new URL('.', import.meta.url).pathname;
const cases: readonly Case[] = JSON.parse(readFileSync(`${here}fresh/known-faults.json`, 'utf8'));

describe('messages that were once misread', () => {
  it.each(cases.map((each) => [each.language, each.text, each] as const))('%s: %s', (_language, _text, each) => {
    expect(score(each, reader.read(each))).toBe('right');
  });
});

describe('what is only meant, asked or at times so', () => {
  it.each([
    ['en', 'mode', 'she will go forward facing when she turns 2'],
    ['en', 'mode', 'should he still be rear facing?'],
    ['en', 'mode', 'sometimes the booster'],
    ['es', 'mode', 'cuando cumpla 2 lo voltearé para adelante'],
    ['fr', 'mode', "est-ce qu'il peut passer au rehausseur"],
    ['zh-Hans', 'mode', '可以坐增高垫了吗'],
    ['ru', 'mode', 'можно ли уже в бустер'],
    ['ko', 'mode', '부스터 타도 되나요'],
    ['en', 'weight', '30 lbs?'],
    ['en', 'yes-no', 'yes but not always'],
    ['en', 'yes-no', 'i think so'],
  ] as const)('is read back: %s %s %s', (language, asked, text) => {
    expect(reader.read({ language, asked, text, context: { ageMonths: 30 } }).confidence).toBe('confirm');
  });
});
