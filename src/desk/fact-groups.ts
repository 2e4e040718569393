/** Facts that are looked up together: the limits of one mode on a label, the details of one crash. */
export interface FactGroup {
  /** The path of the fact, or of what holds the facts. */
  readonly path: string;
  readonly members: readonly string[];
}

const TOGETHER = /^(seats\..+\.(?:modes\.(?:rear-facing|forward-facing|booster)|crash))\.\w+$/;

/** Facts in their order, those that belong together as one where the first of them stands. */
export function groupFacts(facts: readonly string[]): readonly FactGroup[] {
  const groups = new Map<string, string[]>();
  for (const fact of facts) {
    const holder = TOGETHER.exec(fact)?.[1] ?? fact;
    groups.set(holder, [...(groups.get(holder) ?? []), fact]);
  }
  return [...groups].map(([holder, members]) => ({
    path: members.length === 1 ? (members[0] ?? holder) : holder,
    members,
  }));
}
