import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { numberedLines } from '#src/channels/plain-text/numbered-lines.ts';
import { fill, textMessages } from '#src/channels/plain-text/text-messages.ts';

const words = fc
  .array(
    fc.oneof(
      { weight: 8, arbitrary: fc.stringMatching(/^[A-Za-z0-9]{1,12}[.!?:]?$/) },
      {
        weight: 2,
        arbitrary: fc.constantFrom('niño.', '孩子坐在哪里？', 'ребёнок', 'كرسي', '👨‍👩‍👧', '€5', 'x'.repeat(300)),
      },
    ),
    { minLength: 1, maxLength: 60 },
  )
  .map((list) => list.join(' '));

describe('text messages', () => {
  // 3GPP TS 23.038: 160 septets, or 70 UTF-16 units, of which two joined parts hold 67 each (TS 23.040).
  it.each([
    ['a'.repeat(160), 1],
    ['a'.repeat(161), 161 / 160],
    ['€'.repeat(80), 1],
    ['ñ'.repeat(160), 1],
    ['ó'.repeat(134), 1],
    ['好'.repeat(67), 0.5],
  ])('are measured as the network counts them', (text, full) => {
    expect(fill(text)).toBe(full);
  });

  it('hold at most one message each, and lose nothing but white space', () => {
    fc.assert(
      fc.property(fc.array(words, { maxLength: 8 }), (lines) => {
        const messages = textMessages(lines);
        for (const message of messages) expect(fill(message)).toBeLessThanOrEqual(1);
        const bare = (texts: readonly string[]) => texts.join('').replace(/\s/g, '');
        expect(bare(messages)).toBe(bare(lines));
      }),
    );
  });

  it('break at the end of a sentence, never inside a character', () => {
    const sentence =
      'Hold the seat where the belt goes through and try to move it from side to side and front to back.';
    expect(textMessages([`${sentence} ${sentence}`])).toEqual([sentence, sentence]);
    for (const message of textMessages(['👨‍👩‍👧'.repeat(60)])) expect(message.replaceAll('👨‍👩‍👧', '')).toBe('');
  });

  it('use plain marks, so that a curly apostrophe does not halve the room', () => {
    expect(textMessages(['I don’t know “that”…'])).toEqual(['I don\'t know "that"...']);
  });
});

describe('a reply in numbered lines', () => {
  it('numbers the choices, and says a line once that a choice repeats', () => {
    const reply = {
      say: ['Here is what I have:', 'Age: 2 years', 'Is all of this right?'],
      choices: [
        { id: 'yes', text: 'Yes, send it' },
        { id: 'age:c1', text: 'Age: 2 years' },
      ],
      many: false,
      asking: 'review',
      told: [],
      done: false,
      language: 'en',
    };
    expect(numberedLines(reply)).toEqual([
      'Here is what I have:',
      'Is all of this right?',
      '1) Yes, send it',
      '2) Age: 2 years',
    ]);
  });
});
