import type { JSX } from 'preact';
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks';
import { textDirection } from '../direction.ts';
import { Announcer } from './announcer.tsx';
import { Choices } from './choices.tsx';
import { Composer } from './composer.tsx';
import { isDeleted, openReply } from './conversation.ts';
import { Menu } from './menu.tsx';
import { wordsIn } from './page-words.ts';
import { Thread } from './thread.tsx';
import { useConversation } from './use-conversation.ts';

export interface AppProps {
  readonly event: string | null;
  /** The link's language; null leaves it to the service. */
  readonly linkLanguage: string | null;
  /** The language the page was served in. */
  readonly language: string;
}

export function App({ event, linkLanguage, language }: AppProps): JSX.Element {
  const { state, send, retry, leave } = useConversation(event, linkLanguage ?? language);
  const field = useRef<HTMLTextAreaElement>(null);
  const answers = useRef<HTMLElement>(null);
  const spoken = state.lines.findLast((line) => line.from === 'bot')?.language ?? language;
  const words = wordsIn(spoken);
  const reply = openReply(state);
  // With something left to choose, leaving would lose it.
  const over = reply?.done === true && reply.choices.length === 0;

  useEffect(() => {
    document.documentElement.lang = spoken;
    document.documentElement.dir = textDirection(spoken);
    document.title = words.title;
  }, [spoken]);

  // What was answered last comes to the top, and what the bot says to it stands below.
  useLayoutEffect(() => {
    const own = document.querySelectorAll('.line.you');
    const last = own[own.length - 1];
    if (last) last.scrollIntoView({ block: 'start' });
  }, [state.lines.length, state.waiting.length]);

  /** The button that was pressed is gone, so the keyboard goes on where the next answers will be. */
  const choose = (text: string, choiceIds: readonly string[]) => {
    send(text, choiceIds);
    answers.current?.focus({ preventScroll: true });
  };

  return (
    <>
      <header>
        <div class="bar">
          <h1>{words.title}</h1>
          <Menu words={words} language={spoken} onCommand={(text) => choose(text, [])} />
        </div>
        <p class="cautions">{words.cautions}</p>
      </header>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: it scrolls, so the keyboard must be able to reach it. */}
      <main tabIndex={0} aria-label={words.thread}>
        <div class="talk">
          <Thread state={state} words={words} onRetry={retry} />
          <section class="answers" aria-label={words.answer} tabIndex={-1} ref={answers}>
            {reply && reply.choices.length > 0 && (
              <Choices key={state.lines.length} reply={reply} words={words} onChoose={choose} />
            )}
            {(over || isDeleted(state)) && (
              <button type="button" class="choice another" onClick={leave}>
                {words.another}
              </button>
            )}
          </section>
        </div>
      </main>
      <footer>
        <Composer words={words} field={field} problem={state.tooLong ? words.tooLong : null} onSend={send} />
      </footer>
      <Announcer lines={state.lines} notice={state.failures > 0 ? words.offline : ''} />
    </>
  );
}
