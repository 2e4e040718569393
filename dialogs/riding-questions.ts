import { BELT_FOLLOW_UPS, HARNESS_FOLLOW_UPS, INSTALL_FOLLOW_UPS } from './questions/single-facts.ts';

/** Questions about how the seat is installed and how the child sits in it: all of it new once the child rides another way. */
export const BY_MODE: ReadonlySet<string> = new Set([
  'attachment',
  'both-allowed',
  'borrowed-allowed',
  'install-check',
  'tether',
  'harness-check',
  'belt-check',
  ...[...INSTALL_FOLLOW_UPS, ...HARNESS_FOLLOW_UPS, ...BELT_FOLLOW_UPS].map(({ id }) => id),
]);
