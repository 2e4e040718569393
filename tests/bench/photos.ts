import { createOcr } from '#src/label-photo/ocr.ts';
import { createPhotoReader } from '#src/label-photo/photo-reader.ts';
import { openCamera } from '../label-photos/camera.ts';
import { DEGRADATIONS } from '../label-photos/degradations.ts';
import { labelOf } from '../label-photos/labels.ts';
import { rounded } from './figures.ts';
import { cpuSeconds, residentMB } from './processes.ts';

const AT_ONCE = 10;
const SAMPLED_MS = 50;
const TODAY = '2026-05-16';

const clean = DEGRADATIONS[0];

async function photographs(): Promise<readonly Buffer[]> {
  const camera = await openCamera();
  const files: Buffer[] = [];
  for (let seed = 0; clean && seed < AT_ONCE; seed++) files.push(await camera.shoot(labelOf(seed), clean, seed));
  await camera.close();
  return files;
}

/** Sends files at once; seconds to each answer, and the most memory that the process held meanwhile. */
async function sent(files: readonly Buffer[]) {
  const reader = createPhotoReader(() => TODAY, { ocr: createOcr() });
  let most = 0;
  const sampling = setInterval(() => {
    most = Math.max(most, residentMB(process.pid) ?? 0);
  }, SAMPLED_MS);
  const [started, used] = [performance.now(), cpuSeconds(process.pid) ?? 0];
  const answers = await Promise.all(
    files.map(async (file) => {
      const { reading } = await reader.read([file]);
      return { seconds: (performance.now() - started) / 1000, read: reading.kind === 'read' };
    }),
  );
  clearInterval(sampling);
  await reader.stop();
  return {
    read: answers.filter(({ read }) => read).length,
    seconds: rounded(Math.max(...answers.map(({ seconds }) => seconds))),
    cpuSeconds: rounded((cpuSeconds(process.pid) ?? 0) - used),
    mostMB: rounded(most),
  };
}

/** Ten photos of labels at once, beside one alone before them in the same process: seconds to the last answer, memory. */
export async function benchPhotos(): Promise<readonly object[]> {
  const files = await photographs();
  const before = rounded(residentMB(process.pid) ?? 0);
  const alone = await sent(files.slice(0, 1));
  return [{ bench: 'photos', atOnce: AT_ONCE, ...(await sent(files)), alone, residentBeforeMB: before }];
}
