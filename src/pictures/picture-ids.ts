import type { RenderedReply } from '#src/turns/rendered-reply.ts';

/** Every drawing: `<id>.svg` beside this file, and its alternative text in `locales/<language>/pictures.json`. */
export const PICTURE_IDS = [
  'label-place',
  'date-place',
  'straps-rear-facing',
  'straps-forward-facing',
  'chest-clip',
  'pinch-test',
  'lower-anchors',
  'seat-belt',
  'tether',
  'tether-anchors',
  'movement',
  'recline',
  'belt-fit',
  'seat-map',
] as const;

export type PictureId = (typeof PICTURE_IDS)[number];

type Asked = Pick<RenderedReply, 'asking' | 'choices'>;
type Shown = readonly PictureId[] | ((reply: Asked) => readonly PictureId[]);

const offers = ({ choices }: Asked, id: string) => choices.some((choice) => choice.id === id);

/** A checklist shows only what applies to the way of riding, so what it offers tells which way that is. */
const straps = (reply: Asked): readonly PictureId[] => [
  ...(offers(reply, 'insert') ? [] : ['straps-rear-facing' as const]),
  ...(offers(reply, 'head-near-top') ? [] : ['straps-forward-facing' as const]),
];

const PICTURES: Readonly<Record<string, Shown>> = {
  'label-limits': ['label-place'],
  'lower-anchor-limit': ['label-place'],
  'label-readable': ['label-place'],
  'seat-dates': ['date-place'],
  'expiry-date': ['date-place'],
  position: ['seat-map'],
  'vehicle-hardware': ['lower-anchors', 'tether-anchors'],
  attachment: ['lower-anchors', 'seat-belt'],
  'install-check': (reply) => ['movement', ...(offers(reply, 'too-upright') ? ['recline' as const] : [])],
  movement: ['movement'],
  recline: ['recline'],
  tether: ['tether', 'tether-anchors'],
  'harness-check': (reply) => [...straps(reply), 'pinch-test', 'chest-clip'],
  straps: ['straps-rear-facing', 'straps-forward-facing'],
  pinch: ['pinch-test'],
  'chest-clip': ['chest-clip'],
  'belt-check': ['belt-fit'],
  'belt-fit': ['belt-fit'],
};

/** The drawings that go with a turn's question, in the order to look at them. */
export function picturesFor(reply: Asked): readonly PictureId[] {
  const shown = PICTURES[reply.asking ?? ''] ?? [];
  return typeof shown === 'function' ? shown(reply) : shown;
}
