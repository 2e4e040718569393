import { writeFile } from 'node:fs/promises';
import { createOcr } from '#src/label-photo/ocr.ts';
import { takePhoto } from '#src/label-photo/photo.ts';
import { readLabel } from '#src/label-photo/read-label.ts';
import { openCamera } from './camera.ts';
import { DEGRADATIONS } from './degradations.ts';
import { heldOutLabelOf } from './held-out.ts';
import { labelOf } from './labels.ts';
import { isCounted, NO_SCORE, type Score, scored, wrongPaths } from './score.ts';

/**
 * `npm run -s labels [-- COUNT [held-out] [DIRECTORY]]`: what is read of invented labels, by what was done to the photo;
 * of those by which the reader was set, or of those that were held out. Photos are kept in the directory.
 */
const [, , counted = '24', ...rest] = process.argv;
const count = Number(counted);
const heldOut = rest[0] === 'held-out';
const directory = rest[heldOut ? 1 : 0];
const makeLabel = heldOut ? heldOutLabelOf : labelOf;
const TODAY = '2026-05-16';

const percent = (part: number, all: number): string => (all === 0 ? '-' : `${((100 * part) / all).toFixed(1)} %`);
const row = (name: string, score: Score, model: Score): string =>
  [
    name.padEnd(20),
    percent(score.right, score.expected).padStart(9),
    percent(score.wrong, score.offered).padStart(9),
    percent(model.right, model.expected).padStart(9),
    percent(model.wrong, model.offered).padStart(9),
    percent(score.silent, score.photos).padStart(9),
  ].join(' ');

const camera = await openCamera();
const ocr = createOcr();
const add = (a: Score, b: Score): Score =>
  Object.fromEntries(Object.entries(a).map(([key, value]) => [key, value + b[key as keyof Score]])) as unknown as Score;
const times: number[] = [];
let late = 0;
const totals = { easy: [NO_SCORE, NO_SCORE], hard: [NO_SCORE, NO_SCORE] } as Record<'easy' | 'hard', [Score, Score]>;
const heads = ['', 'read', 'wrong', 'model', 'm. wrong', 'silent'];
process.stdout.write(`${heads.map((head, i) => (i === 0 ? head.padEnd(20) : head.padStart(9))).join(' ')}\n`);
for (const degradation of DEGRADATIONS) {
  let [score, model] = [NO_SCORE, NO_SCORE];
  for (let seed = 0; seed < count; seed++) {
    const label = makeLabel(seed);
    const file = await camera.shoot(label, degradation, seed);
    if (directory) await writeFile(`${directory}/${degradation.name.replace(/\W+/g, '-')}-${seed}.jpg`, file);
    const photo = await takePhoto(file);
    if (!photo.ok) throw new Error(`not taken in: ${photo.error}`);
    const started = performance.now();
    const fields = await readLabel(photo.jpeg, ocr, TODAY).catch(() => null);
    times.push(performance.now() - started);
    if (!fields) late += 1;
    const read = fields ?? {};
    score = scored(score, label, read, isCounted);
    model = scored(model, label, read, (path) => !isCounted(path));
    if (process.env.LABELS_VERBOSE) {
      const missed = Object.keys(label.truth).filter((path) => !(path in read));
      const wrong = wrongPaths(label, read).map((path) => `${path}=${read[path]?.value}`);
      if (missed.length + wrong.length > 0)
        process.stdout.write(`  ${seed} ${label.language} ${label.layout} missed ${missed} wrong ${wrong}\n`);
    }
  }
  const group = totals[degradation.hard ? 'hard' : 'easy'];
  group[0] = add(group[0], score);
  group[1] = add(group[1], model);
  process.stdout.write(`${row(degradation.name, score, model)}\n`);
}
process.stdout.write(`${row('clean and light', ...totals.easy)}\n${row('hard', ...totals.hard)}\n`);
times.sort((a, b) => a - b);
const seconds = (part: number): string => ((times[Math.floor(part * (times.length - 1))] ?? 0) / 1000).toFixed(1);
process.stdout.write(
  `seconds a photo: median ${seconds(0.5)}, longest ${seconds(1)}; given up: ${late} of ${times.length}\n`,
);
await Promise.all([camera.close(), ocr.close()]);
