import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parseCase } from '#shared/case.ts';
import { preVisitSummarySchema } from '#shared/summary.ts';
import { readScript } from './script.ts';
import { play } from './transcript.ts';

const FOLDER = new URL('transcripts/', import.meta.url);
const FILES = readdirSync(FOLDER).sort();

describe('conversations to be read', () => {
  for (const file of FILES) {
    const path = new URL(file, FOLDER);
    const script = readFileSync(path, 'utf8');
    it(`${file}: ${readScript(script).title}`, async () => {
      const { text, summaries, last, unsaid } = play(script);
      for (const summary of summaries) {
        expect(parseCase(summary.case).ok).toBe(true);
        expect(() => preVisitSummarySchema.parse(summary)).not.toThrow();
      }
      await expect(text).toMatchFileSnapshot(path.pathname);
      expect(unsaid, 'messages that no question called for').toEqual([]);
      expect(last.done).toBe(true);
    });
  }
});
