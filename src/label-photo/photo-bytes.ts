/** A larger file is not taken in. */
export const MAX_PHOTO_BYTES = 12_000_000;
