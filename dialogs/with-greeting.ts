import type { Step } from './conversation.ts';

/**
 * The same step where the greeting goes out beside it: to a first message that says nothing but hello the greeting is the
 * answer, and the caregiver is not told of a misunderstanding.
 */
export function withGreeting(step: Step): Step {
  if (step.reply.say[0]?.key !== 'say.not-understood') return step;
  const { snapshot, reply } = step;
  const context = { ...snapshot.context, misunderstood: 0 };
  return { ...step, snapshot: { ...snapshot, context }, reply: { ...reply, say: [] } };
}
