import { describe, expect, test } from 'vitest';
import europe from '#shared/laws/europe.json' with { type: 'json' };
import { loadLawTable } from '#shared/laws/law-table.ts';
import us from '#shared/laws/us.json' with { type: 'json' };

const clause = (over: object = {}) => ({
  id: 'XX-1',
  cite: '§ 1',
  requires: 'child-restraint',
  applies: { ageUnderMonths: 96 },
  ...over,
});
const record = (over: object = {}) => ({
  code: 'XX',
  name: 'Example',
  statute: 'Road Act § 1',
  asOf: '2026-01',
  status: 'seen',
  seenAs: 'statute',
  confidence: 'high',
  remarks: 'none',
  clauses: [clause()],
  sources: [{ title: 'Road Act', kind: 'statute', address: 'https://example.org/act' }],
  ...over,
});
const table = (...jurisdictions: object[]) => ({
  schemaVersion: 1,
  provenance: 'made up for this test',
  compiled: '2026-11',
  currency: 'none',
  jurisdictions,
});
const withClause = (over: object) => table(record({ clauses: [clause(over)] }));
const withSource = (source: object) => table(record({ sources: [source] }));

describe('a law table is refused with the path of the fault', () => {
  const first = '$.jurisdictions[0]';
  const one = `${first}.clauses[0]`;
  test.each<[string, string, unknown]>([
    ['no object', '$', 'laws'],
    ['another version', '$.schemaVersion', { ...table(record()), schemaVersion: 2 }],
    ['no jurisdictions', '$.jurisdictions', table()],
    ['an unknown field', '$.states', { ...table(record()), states: [] }],
    ['an empty name', `${first}.name`, table(record({ name: ' ' }))],
    ['a missing statute', `${first}.statute`, table(record({ statute: undefined }))],
    ['a code that is none', `${first}.code`, table(record({ code: 'us-ca' }))],
    ['a code twice', '$.jurisdictions[1].code', table(record(), record({ clauses: [clause({ id: 'XX-2' })] }))],
    ['an unknown status', `${first}.status`, table(record({ status: 'heard' }))],
    ['an unknown way of seeing', `${first}.seenAs`, table(record({ seenAs: 'rumour' }))],
    ['an unknown confidence', `${first}.confidence`, table(record({ confidence: 'some' }))],
    ['no sources', `${first}.sources`, table(record({ sources: [] }))],
    ['a source without a title', `${first}.sources[0].title`, withSource({ kind: 'statute', addressNote: 'paper' })],
    ['a source without an address', `${first}.sources[0].address`, withSource({ title: 'Act', kind: 'statute' })],
    [
      'a source whose address is none',
      `${first}.sources[0].address`,
      withSource({ title: 'Act', kind: 'statute', address: 'example.org' }),
    ],
    ['no clauses', `${first}.clauses`, table(record({ clauses: [] }))],
    [
      'more clauses than a judgement can hold',
      `${first}.clauses`,
      table(record({ clauses: Array.from({ length: 21 }, (_, i) => clause({ id: `XX-${i}` })) })),
    ],
    ['a clause id twice', `${first}.clauses[1].id`, table(record({ clauses: [clause(), clause()] }))],
    [
      'a clause id twice in two jurisdictions',
      '$.jurisdictions[1].clauses[0].id',
      table(record(), record({ code: 'YY' })),
    ],
    ['an unknown duty', `${one}.requires`, withClause({ requires: 'car-bed' })],
    ['a harness duty without its wording', `${one}.wording`, withClause({ requires: 'harness' })],
    ['an unknown wording', `${one}.wording`, withClause({ requires: 'harness', wording: 'vague' })],
    ['an unknown basis', `${one}.basis`, withClause({ basis: 'hearsay' })],
    ['no applies', `${one}.applies`, withClause({ applies: undefined })],
    ['an applies without tests', `${one}.applies`, withClause({ applies: { logic: 'all' } })],
    ['an unless without tests', `${one}.unless`, withClause({ unless: {} })],
    ['an unknown test', `${one}.applies.ageUnderYears`, withClause({ applies: { ageUnderYears: 8 } })],
    ['a threshold of zero', `${one}.applies.ageUnderMonths`, withClause({ applies: { ageUnderMonths: 0 } })],
    ['a threshold beyond reason', `${one}.unless.heightOverIn`, withClause({ unless: { heightOverIn: 300 } })],
    ['a threshold in words', `${one}.applies.weightUnderLb`, withClause({ applies: { weightUnderLb: '40' } })],
    ['an unknown logic', `${one}.applies.logic`, withClause({ applies: { ageUnderMonths: 8, logic: 'some' } })],
    [
      'several tests in an unless without a logic',
      `${one}.unless`,
      withClause({ unless: { weightOverLb: 80, heightOverIn: 57 } }),
    ],
    ['an unknown fact', `${one}.exceptWhen[1]`, withClause({ exceptWhen: ['medical', 'raining'] })],
    ['an unknown condition', `${one}.onlyWhen[0]`, withClause({ onlyWhen: ['raining'] })],
    [
      'an upcoming clause without its day',
      `${first}.upcoming[0].effective`,
      table(record({ upcoming: [clause({ id: 'XX-2', source: 'bill', effective: '2027-02-30' })] })),
    ],
    [
      'an upcoming clause with an id in use',
      `${first}.upcoming[0].id`,
      table(record({ upcoming: [clause({ source: 'bill', effective: '2027-01-01' })] })),
    ],
  ])('%s: %s', (_, path, json) => {
    const result = loadLawTable(json);
    if (result.ok) throw new Error('accepted');
    expect(result.error.path).toBe(path);
    expect(result.error.message).not.toBe('');
  });

  test('and accepted where nothing is wrong', () => {
    expect(loadLawTable(table(record())).ok).toBe(true);
    expect(loadLawTable(withClause({ unless: { weightOverLb: 80, heightOverIn: 57, logic: 'any' } })).ok).toBe(true);
    expect(loadLawTable(withSource({ title: 'Act', kind: 'statute', addressNote: 'paper copy' })).ok).toBe(true);
    for (const json of [us, europe]) expect(loadLawTable(json)).toEqual({ ok: true, table: json });
  });
});
