import type { JSX } from 'preact';
import { useRef, useState } from 'preact/hooks';
import type { PageWords } from '../page-words.ts';

/** The address that opens this conversation elsewhere, to be copied. */
export function PrivateLink({ words, link }: { words: PageWords; link: string }): JSX.Element {
  const field = useRef<HTMLInputElement>(null);
  const [copied, setCopied] = useState(false);
  const copy = async () => {
    field.current?.select();
    // Without https there is no clipboard to write to, but what is selected can still be copied.
    const written = await navigator.clipboard?.writeText(link).then(
      () => true,
      () => false,
    );
    setCopied(written ?? document.execCommand('copy'));
  };
  return (
    <>
      <h2>
        <label for="private-link">{words.otherDevice}</label>
      </h2>
      <p class="hint" id="other-device-how">
        {words.otherDeviceHow}
      </p>
      <div class="link">
        <input
          id="private-link"
          ref={field}
          type="text"
          readOnly
          dir="ltr"
          value={link}
          aria-describedby="other-device-how"
        />
        <button type="button" class="choice" onClick={copy}>
          {copied ? words.copied : words.copy}
        </button>
      </div>
    </>
  );
}
