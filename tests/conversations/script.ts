import type { Reply } from '#dialogs/reply.ts';
import { LANGUAGES, type Language } from '#dialogs/understanding/types.ts';

/** What a caregiver writes in a talk, by the question that stands. */
export interface Script {
  readonly title: string;
  /** Language in which the talk begins. */
  readonly language: Language;
  readonly today: string;
  /** Turns shown as text messages with numbers, instead of lines with choices in brackets. */
  readonly asTextMessages: boolean;
  /** By question id, with the child, the mode or both behind it where it matters (`id:c2`, `id:rear-facing`): the messages for each time it is asked, in order. */
  readonly answers: ReadonlyMap<string, readonly string[]>;
  /** Written where a question has no answer of its own. */
  readonly otherwise: string | null;
}

/**
 * Reads the head of a transcript file, up to the first empty line:
 *
 *     # title
 *     language: es
 *     today: 2026-05-16
 *     age: tiene 3 años | perdón, 4 años
 *     weight:c2: 40 libras
 *     otherwise: no sé
 *
 * Messages for the same question are parted by ` | `. `channel: text` shows the talk as text messages. What is written
 * once the questions are over stands under `done`, and what is answered to another language under `offer`.
 */
export function readScript(text: string): Script {
  const [title = '', ...rest] = text.split('\n');
  const head = rest.slice(0, rest.indexOf(''));
  const settings = new Map(
    head.map((line) => {
      const at = line.indexOf(': ');
      if (at < 0) throw new Error(`not a line "question: words": ${line}`);
      return [line.slice(0, at), line.slice(at + 2)] as const;
    }),
  );
  const take = (name: string): string | null => {
    const value = settings.get(name) ?? null;
    settings.delete(name);
    return value;
  };
  const language = LANGUAGES.find((tag) => tag === settings.get('language'));
  if (!language) throw new Error(`no language of ours: ${settings.get('language')}`);
  settings.delete('language');
  return {
    title: title.replace(/^# /, ''),
    language,
    today: take('today') ?? '2026-05-16',
    asTextMessages: take('channel') === 'text',
    otherwise: take('otherwise'),
    answers: new Map([...settings].map(([key, value]) => [key, value.split(' | ')])),
  };
}

/** The caregiver of a script: gives the next message for a question, or null when there is nothing more to say. */
export function speaker({ answers, otherwise }: Script) {
  const left = new Map([...answers].map(([key, messages]) => [key, [...messages]]));
  const next = (key: string): string | undefined => left.get(key)?.shift();
  return {
    says: ({ asking, child, mode }: Pick<Reply, 'asking' | 'child' | 'mode'>): string | null => {
      const question = asking === 'language' ? 'offer' : (asking ?? 'done');
      const keys = [[child, mode], [mode], [child], []].map((about) => [question, ...about].join(':'));
      for (const key of keys) {
        const own = next(key);
        if (own !== undefined) return own;
      }
      if (asking !== null && otherwise === null) throw new Error(`the script has no answer to ${keys[0]}`);
      return asking === null ? null : otherwise;
    },
    /** Messages that no question called for. */
    unsaid: (): string[] => [...left].flatMap(([key, messages]) => messages.map((message) => `${key}: ${message}`)),
  };
}
