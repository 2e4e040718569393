import { begin, standing, step } from '#dialogs/conversation.ts';
import type { Reply } from '#dialogs/reply.ts';
import type { Language } from '#dialogs/understanding/types.ts';
import type { PreVisitSummary } from '#shared/summary.ts';
import { createEars } from '#src/locales/ears.ts';
import { choicesInWords } from '#src/turns/choice-labels.ts';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import { summaryOf } from '#src/turns/summary.ts';
import { createVoice } from '#src/words/voice.ts';
import { createWords } from '#src/words/words.ts';

const ears = createEars();
const voice = createVoice(createWords());

export interface Transcript {
  readonly title: string;
  readonly language: Language;
  readonly today: string;
  /** What the caregiver writes, a message a line. */
  readonly lines: readonly string[];
}

/**
 * A transcript file: a title, `language:` and `today:` lines, then the talk. Lines that begin with `> ` are the
 * caregiver's; all others are the bot's and are written anew from them.
 */
export function readTranscript(text: string): Transcript {
  const [title = '', ...rest] = text.split('\n');
  const setting = (name: string) => rest.find((line) => line.startsWith(`${name}: `))?.slice(name.length + 2);
  const lines = rest.filter((line) => line.startsWith('> ')).map((line) => line.slice(2));
  return {
    title: title.replace(/^# /, ''),
    language: setting('language') as Language,
    today: setting('today') ?? '',
    lines,
  };
}

const about = ({ asking, child, mode, told, done }: Reply): string =>
  [
    `[${asking ?? (done ? 'done' : 'waiting')}${child ? ` ${child}` : ''}${mode ? ` ${mode}` : ''}]`,
    ...(told.length > 0 ? [`told ${told.join(', ')}`] : []),
  ].join(' ');

const spoken = ({ say, choices }: RenderedReply, tag: string): string[] => [
  tag,
  ...say.map((line) => `  ${line}`),
  ...(choices.length > 0 ? [`  (${choices.map(({ text }) => text).join(' | ')})`] : []),
];

export interface Played {
  /** The whole file as it should stand. */
  readonly text: string;
  readonly summary: PreVisitSummary;
  readonly last: Reply;
}

/** Plays the caregiver's lines through the conversation, as a channel would. */
export function play({ title, language, today, lines }: Transcript): Played {
  let now = begin({ language, languageKnown: true, eventId: null, reference: 'TEST-CODE', today });
  let shown = voice.render(language, now.reply);
  const text = [`# ${title}`, `language: ${language}`, `today: ${today}`, '', ...spoken(shown, about(now.reply))];
  for (const line of lines) {
    now = step(now.snapshot, { text: line, choiceIds: choicesInWords(line, shown) }, today, ears);
    shown = voice.render(now.snapshot.context.language, now.reply);
    text.push(`> ${line}`, ...spoken(shown, about(now.reply)));
  }
  const summary = summaryOf(standing(now.snapshot), { channel: 'terminal', createdAt: `${today}T12:00:00.000Z` });
  const findings = summary.assessment.findings.map(({ code, urgency }) => `${code} (${urgency})`);
  const advice = summary.assessment.children.map(({ childId, advice: a }) => `${childId} ${a.mode} (${a.certainty})`);
  text.push(
    '',
    `complete: ${summary.complete}`,
    `advice: ${advice.join('; ')}`,
    `findings: ${findings.join(', ')}`,
    `visit: ${summary.assessment.visit.minutes} minutes, ${summary.assessment.visit.priority}`,
    '',
  );
  return { text: text.join('\n'), summary, last: now.reply };
}
