import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Line } from './activities.ts';

/** Long enough for screen readers to take the text up; then it is cleared so that nobody meets it twice. */
const CLEAR_MS = 4000;

/** What a line says, then the answers it offers that were not in it already. */
function spoken({ say, reply }: Line): readonly string[] {
  const heard = new Set(say);
  return [...say, ...(reply?.choices ?? []).map(({ text }) => text).filter((text) => !heard.has(text))];
}

/** The page's one polite live region: it holds what was just said, and nothing else. */
export function Announcer({ lines, notice }: { lines: readonly Line[]; notice: string }): JSX.Element {
  const heard = useRef(0);
  const [text, setText] = useState('');
  useEffect(() => {
    // A thread taken up again is not read out from its beginning.
    const from = heard.current === 0 ? Math.max(0, lines.length - 1) : heard.current;
    const fresh = lines.slice(from).filter((line) => line.from !== 'you');
    heard.current = lines.length;
    if (fresh.length > 0) setText(fresh.flatMap(spoken).join('\n'));
  }, [lines]);
  useEffect(() => {
    const timer = setTimeout(() => setText(''), CLEAR_MS);
    return () => clearTimeout(timer);
  }, [text]);
  return (
    <div aria-live="polite" class="unseen">
      {notice || text}
    </div>
  );
}
