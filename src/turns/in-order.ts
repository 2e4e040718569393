import type { Store } from '#src/store/store.ts';
import type { Turns } from './turns-types.ts';

/** The same turns, one at a time for each conversation on all instances: none is stepped in vain because another was faster. */
export function inOrder(turns: Turns, alone: Store['alone']): Turns {
  return {
    open: (start) => alone(start.conversationId, () => turns.open(start)),
    handle: (message) => alone(message.conversationId, () => turns.handle(message)),
  };
}
