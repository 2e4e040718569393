import { expect, it } from 'vitest';
import { createPhotoGate } from '#src/channels/photo-gate.ts';

it('lets four uploads in, has thirty wait, and turns away what comes then until one is done', async () => {
  const gate = createPhotoGate();
  const begun: number[] = [];
  const doors: (() => void)[] = [];
  const upload = (i: number) =>
    gate.pass(() => {
      begun.push(i);
      return new Promise<void>((resolve) => doors.push(resolve));
    });
  const all = Array.from({ length: 34 }, (_, i) => upload(i));
  expect(all).not.toContain(null);
  expect(upload(34)).toBeNull();
  await Promise.resolve();
  expect(begun).toEqual([0, 1, 2, 3]);
  doors[0]?.();
  await all[0];
  expect(upload(35)).not.toBeNull();
  expect(upload(36)).toBeNull();
});

it('gives the place of an upload that failed to the next one', async () => {
  const gate = createPhotoGate();
  for (let i = 0; i < 9; i++)
    await expect(gate.pass(() => Promise.reject(new Error('cut off')))).rejects.toThrow('cut off');
  expect(await gate.pass(async () => 'in')).toBe('in');
});
