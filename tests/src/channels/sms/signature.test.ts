// Signatures are made and checked by the vendor's own npm library.
import fc from 'fast-check';
import webhooks from 'twilio/lib/webhooks/webhooks.js';
import { expect, it } from 'vitest';
import { signatureIsRight, signatureOf } from '#src/channels/sms/signature.ts';

const { getExpectedTwilioSignature, validateRequest } = webhooks;
const TOKEN = 'an account token of the vendor';

const paramsOf = (form: URLSearchParams) =>
  Object.fromEntries(
    [...new Set(form.keys())].map((name) => {
      const all = form.getAll(name);
      return [name, all.length > 1 ? all : all[0]];
    }),
  );

const pair = fc.tuple(
  fc.string({ unit: 'grapheme', minLength: 1, maxLength: 8 }).filter((name) => name !== '__proto__'),
  fc.string({ unit: 'grapheme', maxLength: 20 }),
);

it('is the one that the library expects, for any form', () => {
  fc.assert(
    fc.property(fc.array(pair, { maxLength: 8 }), fc.constantFrom('/api/sms', '/api/sms?event=demo'), (pairs, path) => {
      const form = new URLSearchParams(pairs);
      const url = `https://seats.example.org${path}`;
      const theirs = getExpectedTwilioSignature(TOKEN, url, paramsOf(form));
      expect(signatureOf(TOKEN, url, form)).toBe(theirs);
      expect(signatureIsRight(TOKEN, theirs, url, form)).toBe(true);
      expect(validateRequest(TOKEN, signatureOf(TOKEN, url, form), url, paramsOf(form))).toBe(true);
    }),
  );
});

it('is right also where the sender signed the address with its usual port, or without', () => {
  const form = new URLSearchParams({ Body: 'hi' });
  const [bare, full] = ['https://seats.example.org/api/sms', 'https://seats.example.org:443/api/sms'];
  expect(signatureIsRight(TOKEN, getExpectedTwilioSignature(TOKEN, full, { Body: 'hi' }), bare, form)).toBe(true);
  expect(signatureIsRight(TOKEN, getExpectedTwilioSignature(TOKEN, bare, { Body: 'hi' }), full, form)).toBe(true);
});

it('is refused with one character changed anywhere, and when it is missing or of another length', () => {
  const form = new URLSearchParams({ Body: 'hi', From: '+15005550006' });
  const url = 'https://seats.example.org/api/sms';
  const right = getExpectedTwilioSignature(TOKEN, url, { Body: 'hi', From: '+15005550006' });
  const no = (given: string, at = url, of = form, token = TOKEN) =>
    expect(signatureIsRight(token, given, at, of)).toBe(false);
  no('');
  no(`${right}=`);
  no(right.slice(1));
  no(right, `${url}/`);
  no(right, 'https://other.example.org/api/sms');
  no(right, url, new URLSearchParams({ Body: 'ho', From: '+15005550006' }));
  no(right, url, new URLSearchParams({ Body: 'hi', From: '+15005550006', To: '1' }));
  no(right, url, form, 'another token');
  for (let i = 0; i < right.length - 1; i++)
    no(`${right.slice(0, i)}${right[i] === 'A' ? 'B' : 'A'}${right.slice(i + 1)}`);
});
