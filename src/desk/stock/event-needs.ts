import { createHash } from 'node:crypto';
import { setImmediate as nextTurn } from 'node:timers/promises';
import { manualsFor } from '#shared/stock/manuals.ts';
import { type FamilyNeeds, familyNeeds, interpreterOf, type StockFamily } from '#shared/stock/stock.ts';
import type { ReportStore } from '#src/store/reports.ts';

/** So many families are remembered, the latest worked out; without a name or a word of theirs. */
const MOST_KNOWN = 20_000;

type Counted = Omit<FamilyNeeds, 'manuals' | 'interpreter'>;

export interface EventNeeds {
  /** What each family of an event may need on its day. */
  of(eventId: string, day: string): Promise<readonly FamilyNeeds[]>;
}

/** Works out what families may need, each anew only when its case changes: it takes milliseconds where much is unknown. */
export function eventNeeds(reports: ReportStore): EventNeeds {
  const known = new Map<string, Counted>();

  async function countedOf(family: StockFamily, day: string): Promise<Counted> {
    const key = createHash('sha256')
      .update(`${day} ${JSON.stringify(family.case)}`)
      .digest('base64url');
    const found = known.get(key);
    if (found) return found;
    // Others are answered in between.
    await nextTurn();
    const { manuals, interpreter, ...counted } = familyNeeds(family, day);
    known.set(key, counted);
    if (known.size > MOST_KNOWN) known.delete(known.keys().next().value as string);
    return counted;
  }

  return {
    async of(eventId, day) {
      const families: FamilyNeeds[] = [];
      for await (const page of reports.summaries({ eventIds: null, eventId }))
        for (const family of page)
          families.push({
            ...(await countedOf(family, day)),
            manuals: manualsFor(family.case),
            interpreter: interpreterOf(family),
          });
      return families;
    },
  };
}
