import type { JSX } from 'preact';
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import { textDirection } from '../direction.ts';
import type { PageWords } from '../page-words.ts';
import { Announcer } from './announcer.tsx';
import { Choices } from './choices.tsx';
import { Composer } from './composer.tsx';
import { type Conversation, isDeleted, openReply } from './conversation.ts';
import { data } from './data.ts';
import { privateLink } from './device.ts';
import { Menu } from './menu.tsx';
import { useWords } from './page-words.ts';
import { Camera, PhotoSheet } from './photo-button.tsx';
import { Pictures } from './pictures.tsx';
import { Thread } from './thread.tsx';
import { useConversation } from './use-conversation.ts';

/** Questions that a photo of the label can answer. */
const ASKED_OF_LABELS: readonly string[] = ['label-limits', 'seat-dates', 'expiry-date'];

/** What is said aloud of what goes on, beside the lines themselves. */
function noticeOf({ failures, progress }: Conversation, words: PageWords): string {
  if (failures > 0) return words.offline;
  if (progress === null) return '';
  return progress === 1 ? words.photoReading : words.photoSending;
}

export interface AppProps {
  readonly event: string | null;
  /** The line on an event's board that this interview is for; null: none. */
  readonly walkIn: string | null;
  /** Key of a private link that was followed here. */
  readonly linkKey: string | null;
  /** The link's language; null leaves it to the service. */
  readonly linkLanguage: string | null;
  /** The language the page was served in. */
  readonly served: string;
  /** The language the conversation was last held in on this device. */
  readonly held: string;
}

export function App({ event, walkIn, linkKey, linkLanguage, served, held }: AppProps): JSX.Element {
  const { state, send, sendFile, cancel, retry, leave } = useConversation(
    event,
    walkIn,
    linkLanguage ?? served,
    linkKey,
  );
  const field = useRef<HTMLTextAreaElement>(null);
  const answers = useRef<HTMLElement>(null);
  const photoSheet = useRef<HTMLDialogElement>(null);
  const [preparing, setPreparing] = useState(false);
  const spoken = state.lines.findLast((line) => line.from === 'bot')?.language ?? held;
  const { language, words } = useWords(served, spoken);
  const notice = data.languages.find(({ tag }) => tag === language)?.notice ?? null;
  const reply = openReply(state);
  // The plan of the car to touch takes the place of its drawing.
  const asking = state.lines.find((line) => reply !== null && line.reply === reply);
  const pictures = reply?.asking === 'position' ? [] : (asking?.pictures ?? []);
  // With something left to choose, leaving would lose it.
  const over = reply?.done === true && reply.choices.length === 0;
  const key = isDeleted(state) ? null : (state.started?.key ?? null);

  useEffect(() => {
    document.documentElement.lang = language;
    document.documentElement.dir = textDirection(language);
    document.title = words.title;
  }, [language]);

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

  const openSheet = () => photoSheet.current?.showModal();
  const photograph = async (file: File) => {
    setPreparing(true);
    await sendFile(file);
    setPreparing(false);
    answers.current?.focus({ preventScroll: true });
  };

  return (
    <>
      <header>
        <div class="bar">
          <h1>{words.title}</h1>
          <Menu
            words={words}
            language={language}
            notice={notice}
            link={key && privateLink(event, key)}
            onCommand={(text) => choose(text, [])}
          />
        </div>
        <p class="cautions">{words.cautions}</p>
      </header>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: it scrolls, so the keyboard must be able to reach it. */}
      <main tabIndex={0} aria-label={words.thread}>
        <div class="talk">
          {notice && <p class="notice">{notice}</p>}
          {state.linkOver && <p class="notice">{words.linkOver}</p>}
          <Thread state={state} words={words} onRetry={retry} onCancel={cancel} preparing={preparing} />
          <section class="answers" aria-label={words.answer} tabIndex={-1} ref={answers}>
            {pictures.length > 0 && <Pictures pictures={pictures} words={words} />}
            {reply && ASKED_OF_LABELS.includes(reply.asking ?? '') && (
              <button type="button" class="choice of-label" aria-haspopup="dialog" onClick={openSheet}>
                <Camera />
                <span>{words.photo}</span>
              </button>
            )}
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
        <Composer
          words={words}
          field={field}
          problem={state.problem && words[state.problem]}
          onSend={send}
          onPhoto={openSheet}
        />
      </footer>
      <PhotoSheet words={words} sheet={photoSheet} onPhoto={photograph} />
      <Announcer lines={state.lines} notice={noticeOf(state, words)} />
    </>
  );
}
