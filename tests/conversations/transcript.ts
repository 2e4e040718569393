import { begin, standing, step } from '#dialogs/conversation.ts';
import type { Reply } from '#dialogs/reply.ts';
import type { PreVisitSummary } from '#shared/summary.ts';
import { numberedLines } from '#src/channels/plain-text/numbered-lines.ts';
import { textMessages } from '#src/channels/plain-text/text-messages.ts';
import { createEars } from '#src/locales/ears.ts';
import { choicesInWords } from '#src/turns/choice-labels.ts';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import { summaryOf } from '#src/turns/summary.ts';
import { createVoice } from '#src/words/voice.ts';
import { createWords } from '#src/words/words.ts';
import { readScript, speaker } from './script.ts';

const ears = createEars();
const voice = createVoice(createWords());

/** No talk of a family is longer. */
const MOST_TURNS = 120;

const about = ({ asking, child, mode, told, done }: Reply): string =>
  [
    `[${asking ?? (done ? 'done' : 'waiting')}${child ? ` ${child}` : ''}${mode ? ` ${mode}` : ''}]`,
    ...(told.length > 0 ? [`told ${told.join(', ')}`] : []),
  ].join(' ');

const inLines = ({ say, choices }: RenderedReply): string[] => [
  ...say.map((line) => `  ${line}`),
  ...(choices.length > 0 ? [`  (${choices.map(({ text }) => text).join(' | ')})`] : []),
];

const inMessages = (reply: RenderedReply): string[] =>
  textMessages(numberedLines(reply)).map((message) => `  » ${message.replaceAll('\n', '\n    ')}`);

export interface Played {
  /** The whole file as it should stand. */
  readonly text: string;
  /** One for each car of the family. */
  readonly summaries: readonly PreVisitSummary[];
  /** The last reply, and whatever the script says that was never asked. */
  readonly last: Reply;
  readonly unsaid: readonly string[];
}

/** What the technician gets of a talk. */
const inBrief = ({ complete, assessment }: PreVisitSummary): string[] => [
  `complete: ${complete}`,
  `advice: ${assessment.children.map(({ childId, advice: a }) => `${childId} ${a.mode} (${a.certainty})`).join('; ')}`,
  `findings: ${assessment.findings.map(({ code, urgency }) => `${code} (${urgency})`).join(', ')}`,
  `visit: ${assessment.visit.minutes} minutes, ${assessment.visit.priority}`,
];

/** Plays the script at the head of a transcript file through the conversation, as a channel would. */
export function play(file: string): Played {
  const script = readScript(file);
  const { language, today } = script;
  const caregiver = speaker(script);
  const shown = script.asTextMessages ? inMessages : inLines;
  let now = begin({ language, languageKnown: true, eventId: null, reference: 'TEST-CODE', today });
  let rendered = voice.render(language, now.reply);
  const text = [file.slice(0, file.indexOf('\n\n')), '', about(now.reply), ...shown(rendered)];
  const shared = { channel: 'terminal', createdAt: `${today}T12:00:00.000Z` } as const;
  const summaries = new Map<string, PreVisitSummary>();
  for (let turns = 0; turns < MOST_TURNS; turns++) {
    const message = caregiver.says(now.reply);
    if (message === null) break;
    now = step(now.snapshot, { text: message, choiceIds: choicesInWords(message, rendered) }, today, ears);
    rendered = voice.render(now.snapshot.context.language, now.reply);
    summaries.set(now.snapshot.context.reference, summaryOf(standing(now.snapshot), shared));
    text.push(`> ${message}`, about(now.reply), ...shown(rendered));
  }
  for (const [reference, summary] of summaries)
    text.push('', ...(summaries.size > 1 ? [`case: ${reference}`] : []), ...inBrief(summary));
  text.push('');
  return { text: text.join('\n'), summaries: [...summaries.values()], last: now.reply, unsaid: caregiver.unsaid() };
}
