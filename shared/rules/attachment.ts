import { STEP } from '#shared/fact-keys.ts';
import type { Attachment } from '#shared/facts.ts';
import { isAbove } from '#shared/interval.ts';
import { parameter } from '#shared/parameters/parameters.ts';
import type { ChildRule } from './rule.ts';
import { isHarnessed, VISIT } from './rule.ts';

const MAX_MOVEMENT = parameter('max-movement');

const byAnchors = (attachment: Attachment | null) => attachment === 'lower-anchors' || attachment === 'both';
const byBelt = (attachment: Attachment | null) => attachment === 'seat-belt' || attachment === 'both';

/** How the restraint is fixed to the vehicle: lower anchors, seat belt, belt path, lock. */
export const ATTACHMENT_RULES: readonly ChildRule[] = [
  {
    code: 'two-attachments',
    urgencies: [VISIT],
    sources: ['S-185'],
    subject: 'use',
    reads: ['mode', 'attachment', 'bothAllowed'],
    when: ({ mode, attachment, bothAllowed }) =>
      isHarnessed(mode) && attachment === 'both' && bothAllowed !== true ? VISIT : null,
  },
  {
    code: 'lower-anchors-over-limit',
    urgencies: [VISIT],
    sources: ['S-028', 'S-029', 'S-031', 'S-033', 'S-143', 'S-147'],
    parameters: ['lower-anchor-total-rear-facing', 'lower-anchor-total-forward-facing'],
    subject: 'use',
    reads: ['attachment'],
    steps: STEP.anchors,
    when: ({ attachment }, { anchors }) => (byAnchors(attachment) && anchors.overLimit ? VISIT : null),
    because: ({ mode }) => [
      'attachment',
      'weight',
      mode === 'rear-facing' ? 'anchorLimitRearFacing' : 'anchorLimitForwardFacing',
      'mass',
      'vehicleAnchorLimit',
    ],
  },
  {
    code: 'center-anchors-borrowed',
    urgencies: [VISIT],
    sources: ['S-057', 'S-068', 'S-186'],
    subject: 'position',
    reads: ['mode', 'attachment', 'lowerAnchors', 'borrowedAllowed'],
    when: ({ mode, attachment, lowerAnchors, borrowedAllowed }) =>
      mode !== null && byAnchors(attachment) && lowerAnchors === false && borrowedAllowed !== true ? VISIT : null,
  },
  {
    code: 'loose-at-belt-path',
    urgencies: [VISIT],
    sources: ['S-175', 'S-176'],
    parameters: ['max-movement'],
    subject: 'use',
    reads: ['mode', 'movement'],
    when: ({ mode, movement }) =>
      isHarnessed(mode) && movement !== null && isAbove(movement.min, MAX_MOVEMENT) ? VISIT : null,
  },
  {
    code: 'wrong-belt-path',
    urgencies: [VISIT],
    sources: ['S-022', 'S-176'],
    subject: 'use',
    reads: ['mode', 'beltPath'],
    when: ({ mode, beltPath }) => (isHarnessed(mode) && beltPath !== null && beltPath !== mode ? VISIT : null),
  },
  {
    code: 'webbing-twisted',
    urgencies: [VISIT],
    sources: ['S-081', 'S-177'],
    subject: 'use',
    reads: ['mode', 'twisted'],
    when: ({ mode, twisted }) => (mode !== null && twisted === true ? VISIT : null),
  },
  {
    code: 'belt-not-locked',
    urgencies: [VISIT],
    sources: ['S-080', 'S-082', 'S-191', 'S-192'],
    subject: 'use',
    reads: ['mode', 'attachment', 'beltLocked'],
    when: ({ mode, attachment, beltLocked }) =>
      isHarnessed(mode) && byBelt(attachment) && beltLocked === false ? VISIT : null,
  },
];
