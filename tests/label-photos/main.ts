import { writeFile } from 'node:fs/promises';
import { createOcr } from '#src/label-photo/ocr.ts';
import { takePhoto } from '#src/label-photo/photo.ts';
import { readLabel } from '#src/label-photo/read-label.ts';
import { openCamera } from './camera.ts';
import { DEGRADATIONS } from './degradations.ts';
import { labelOf } from './labels.ts';
import { isCounted, NO_SCORE, type Score, scored, wrongPaths } from './score.ts';

/** `npm run -s labels [-- COUNT [DIRECTORY]]`: what is read of invented labels, by what was done to the photo. */
const count = Number(process.argv[2] ?? 24);
const directory = process.argv[3];
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
const totals = { easy: [NO_SCORE, NO_SCORE], hard: [NO_SCORE, NO_SCORE] } as Record<'easy' | 'hard', [Score, Score]>;
const heads = ['', 'read', 'wrong', 'model', 'm. wrong', 'silent'];
process.stdout.write(`${heads.map((head, i) => (i === 0 ? head.padEnd(20) : head.padStart(9))).join(' ')}\n`);
for (const degradation of DEGRADATIONS) {
  let [score, model] = [NO_SCORE, NO_SCORE];
  for (let seed = 0; seed < count; seed++) {
    const label = labelOf(seed);
    const file = await camera.shoot(label, degradation, seed);
    if (directory) await writeFile(`${directory}/${degradation.name.replace(/\W+/g, '-')}-${seed}.jpg`, file);
    const photo = await takePhoto(file);
    if (!photo.ok) throw new Error(`not taken in: ${photo.error}`);
    const fields = await readLabel(photo.jpeg, ocr, TODAY);
    score = scored(score, label, fields, isCounted);
    model = scored(model, label, fields, (path) => !isCounted(path));
    if (process.env.LABELS_VERBOSE) {
      const missed = Object.keys(label.truth).filter((path) => !(path in fields));
      const wrong = wrongPaths(label, fields).map((path) => `${path}=${fields[path]?.value}`);
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
await Promise.all([camera.close(), ocr.close()]);
