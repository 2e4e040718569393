import sharp from 'sharp';
import { chanceOf } from './labels.ts';

/** What is done to a label between the print and the file: in the page that renders it, and in its pixels. */
export interface Degradation {
  readonly name: string;
  readonly hard: boolean;
  /** CSS of the label. */
  readonly label?: string;
  /** Something laid over it. */
  readonly over?: string;
  readonly noise?: number;
  readonly quality?: number;
  readonly scale?: number;
  readonly turn?: 90 | 180 | 270;
}

const glare = (strength: number) =>
  `background:radial-gradient(ellipse 32% 22% at 62% 38%,rgba(255,255,255,${strength}),rgba(255,255,255,0) 100%)`;

export const DEGRADATIONS: readonly Degradation[] = [
  { name: 'clean', hard: false },
  { name: 'small file', hard: false, quality: 55 },
  { name: 'light blur', hard: false, label: 'filter:blur(0.7px)' },
  { name: 'light noise', hard: false, noise: 9 },
  { name: 'tilted 2°', hard: false, label: 'transform:rotate(2deg)' },
  { name: 'light perspective', hard: false, label: 'transform:perspective(1500px) rotateY(8deg) rotateX(4deg)' },
  { name: 'dim', hard: false, label: 'filter:brightness(0.5) contrast(0.85)', noise: 5 },
  { name: 'turned 90°', hard: false, turn: 90 },
  { name: 'turned 180°', hard: false, turn: 180 },
  { name: 'strong blur', hard: true, label: 'filter:blur(2.4px)' },
  { name: 'strong noise', hard: true, noise: 60, label: 'filter:contrast(0.6)' },
  { name: 'tilted 12°', hard: true, label: 'transform:rotate(12deg) scale(0.8)' },
  {
    name: 'strong perspective',
    hard: true,
    label: 'transform:perspective(700px) rotateY(32deg) rotateX(14deg) scale(0.85)',
  },
  { name: 'glare', hard: true, over: glare(0.98) },
  { name: 'dark', hard: true, label: 'filter:brightness(0.16) contrast(0.7)', noise: 14 },
  { name: 'far away', hard: true, scale: 0.38, quality: 60 },
];

/** A rendered label as a phone's file: noise of the sensor (by the seed), size, turn and compression. */
export async function photographed(
  png: Buffer,
  { noise = 0, quality = 88, scale = 1, turn }: Degradation,
  seed: number,
) {
  const { width = 0 } = await sharp(png).metadata();
  const { data, info } = await sharp(png)
    .resize({ width: Math.round(width * scale) })
    .removeAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  if (noise > 0) {
    const chance = chanceOf(seed ^ 0x5bd1e995);
    for (let i = 0; i < data.length; i++) {
      const bell = chance() + chance() + chance() - 1.5;
      data[i] = Math.max(0, Math.min(255, (data[i] ?? 0) + bell * 2 * noise));
    }
  }
  const { width: w, height: h, channels } = info;
  const image = sharp(data, { raw: { width: w, height: h, channels } });
  return (turn ? image.rotate(turn) : image).jpeg({ quality }).toBuffer();
}
