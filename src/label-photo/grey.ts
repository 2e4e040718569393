import sharp, { type Sharp } from 'sharp';

/** A picture in shades of grey, row after row, 0 black to 255 white. */
export interface Grey {
  readonly data: Uint8Array;
  readonly width: number;
  readonly height: number;
}

export const sharpOf = ({ data, width, height }: Grey): Sharp => sharp(data, { raw: { width, height, channels: 1 } });

/** A picture of at most `side` pixels on its longer side; a smaller one is enlarged to it. */
export async function greyOf(picture: Sharp, side?: number): Promise<Grey> {
  const sized = side === undefined ? picture : picture.resize({ width: side, height: side, fit: 'inside' });
  const { data, info } = await sized.greyscale().raw().toBuffer({ resolveWithObject: true });
  return { data, width: info.width, height: info.height };
}
