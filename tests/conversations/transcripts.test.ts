import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parseCase } from '#shared/case.ts';
import { preVisitSummarySchema } from '#shared/summary.ts';
import { play, readTranscript } from './transcript.ts';

const FOLDER = new URL('transcripts/', import.meta.url);

describe('conversations to be read', () => {
  for (const file of readdirSync(FOLDER).sort()) {
    const path = new URL(file, FOLDER);
    const transcript = readTranscript(readFileSync(path, 'utf8'));
    it(`${file}: ${transcript.title}`, async () => {
      const { text, summary } = play(transcript);
      expect(parseCase(summary.case).ok).toBe(true);
      expect(() => preVisitSummarySchema.parse(summary)).not.toThrow();
      await expect(text).toMatchFileSnapshot(path.pathname);
    });
  }
});
