// Convenience only: without it each tap is a form of its own. With it nothing that is tapped waits for the connection.
const record = document.getElementById('record');
const place = document.getElementById('queue');
if (record && place) keepRecord();

function keepRecord() {
  const { reference, path, stream } = place.dataset;
  const prefix = `lapwing-visit:${reference}:`;
  const words = document.getElementById('queue-words');
  const signIn = document.getElementById('queue-sign-in');
  const RETRY_MS = 3000;
  let token = record.querySelector('input[name=token]')?.value ?? '';
  let sending = false;
  let again = null;
  let last = 'saved';
  let shownWhy = '';

  // Each entry stands under a key of its own, so that two tabs take nothing from one another.
  const waiting = () =>
    Object.keys(localStorage)
      .filter((key) => key.startsWith(prefix))
      .map((key) => ({ key, ...JSON.parse(localStorage.getItem(key)) }))
      .sort((a, b) => a.at - b.at);

  function show() {
    const left = waiting().length;
    const state = left > 0 ? (last === 'saved' ? 'waiting' : last) : last === 'refused' ? 'refused' : 'saved';
    const text = { saved: 'saved', waiting: 'waiting', ended: 'ended', signed: 'signed', refused: 'refused' }[state];
    place.dataset.state = state;
    const line = state === 'refused' ? shownWhy || place.dataset.refused : place.dataset[text];
    words.textContent = left > 0 ? `${line} ${left}` : line;
    signIn.hidden = state !== 'ended';
  }

  /** The family deleted its data meanwhile: nothing of it stays on this device. */
  async function leave() {
    for (const { key } of waiting()) localStorage.removeItem(key);
    location.replace(path);
  }

  async function sendOne({ key, at, fields }) {
    const body = new URLSearchParams({ ...fields, token, ago: String(Math.max(0, Date.now() - at)) });
    const why = new URLSearchParams(location.search).get('why');
    if (why && !fields.why) body.set('why', why);
    const answer = await fetch(path, { method: 'POST', body, headers: { Accept: 'application/json' } });
    // Who is signed out, or may not do this any more, gets a bare status.
    const bare = !answer.headers.get('content-type')?.includes('json');
    if (bare && [401, 403, 404].includes(answer.status)) return 'signed-out';
    const { state, why: problem } = await answer.json();
    if (state === 'saved') localStorage.removeItem(key);
    if (state === 'refused' || state === 'too-large') {
      localStorage.removeItem(key);
      shownWhy = problem ?? '';
    }
    return state;
  }

  async function send() {
    if (sending) return;
    sending = true;
    clearTimeout(again);
    let sent = false;
    try {
      for (let next = waiting()[0]; next; next = waiting()[0]) {
        const state = await sendOne(next);
        if (state === 'gone') return await leave();
        if (state === 'form') return location.reload();
        if (state === 'signed-out') last = 'ended';
        else if (state === 'signed') last = 'signed';
        else if (state === 'refused' || state === 'too-large') last = 'refused';
        else if (state !== 'saved') throw new Error(state);
        if (last === 'ended' || last === 'signed') break;
        sent = true;
      }
      if (waiting().length === 0 && last === 'waiting') last = 'saved';
    } catch {
      // No connection, or a service that cannot answer just now.
      last = 'waiting';
      again = setTimeout(send, RETRY_MS);
    } finally {
      sending = false;
    }
    show();
    if (sent || last === 'signed') await refresh();
  }

  function newId() {
    if (crypto.randomUUID) return crypto.randomUUID();
    const hex = [...crypto.getRandomValues(new Uint8Array(16))]
      .map((byte) => byte.toString(16).padStart(2, '0'))
      .join('');
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, '$1-$2-$3-$4-');
  }

  document.addEventListener('submit', (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || form.method !== 'post' || !form.matches('.entry')) return;
    event.preventDefault();
    const fields = Object.fromEntries(new FormData(form, event.submitter));
    fields.id = newId();
    delete fields.token;
    try {
      localStorage.setItem(prefix + fields.id, JSON.stringify({ at: Date.now(), fields }));
    } catch {
      // No room on the device: then the form goes by itself.
      form.submit();
      return;
    }
    const pressed = event.submitter;
    if (pressed?.hasAttribute('aria-pressed'))
      for (const button of form.querySelectorAll('[aria-pressed]'))
        button.setAttribute('aria-pressed', String(button === pressed));
    for (const input of form.querySelectorAll('input[type=text], textarea')) input.dataset.sent = input.value;
    if (last === 'refused') last = 'saved';
    show();
    send();
  });

  /** Ids and tokens of forms are new each time and show nothing. */
  const seen = (part) => part.outerHTML.replace(/<input type="hidden" name="(?:id|token)"[^>]*>/g, '');

  /** What is being typed stays, and so do the focus and what is opened. */
  function replace(part, next) {
    const typing = new Map(
      [...part.querySelectorAll('input[type=text], textarea')]
        .filter(({ id, value, dataset }) => id !== '' && value !== '' && dataset.sent !== value)
        .map(({ id, value }) => [id, value]),
    );
    const open = [...part.querySelectorAll('details')].map((details) => details.open);
    const focused = part.contains(document.activeElement) ? document.activeElement : null;
    const at = focused && [...part.querySelectorAll('a, button, input, textarea, select, summary')].indexOf(focused);
    const fresh = document.importNode(next, true);
    for (const [i, details] of [...fresh.querySelectorAll('details')].entries()) if (open[i]) details.open = true;
    part.replaceWith(fresh);
    for (const [id, value] of typing) {
      const input = document.getElementById(id);
      if (input) input.value = value;
    }
    if (focused) {
      const same = focused.id ? document.getElementById(focused.id) : null;
      const byPlace = [...fresh.querySelectorAll('a, button, input, textarea, select, summary')][at];
      (same ?? byPlace)?.focus({ preventScroll: true });
    }
  }

  async function refresh() {
    const answer = await fetch(location.href, { headers: { Accept: 'text/html' } });
    if (answer.status === 410 || answer.status === 404) return leave();
    if (!answer.ok) return;
    if (answer.redirected) {
      last = 'ended';
      return show();
    }
    const next = new DOMParser().parseFromString(await answer.text(), 'text/html');
    const nextRecord = next.getElementById('record');
    if (!nextRecord) return;
    token = nextRecord.querySelector('input[name=token]')?.value ?? token;
    const parts = (page) => [...page.querySelectorAll('[data-part]')];
    const names = (page) =>
      parts(page)
        .map(({ dataset }) => dataset.part)
        .join();
    if (names(next) !== names(document)) {
      // A seat or a place came in: the page is laid out anew.
      return replace(document.getElementById('record'), nextRecord);
    }
    for (const [i, part] of parts(document).entries()) {
      const fresh = parts(next)[i];
      if (fresh && seen(fresh) !== seen(part)) replace(part, fresh);
    }
  }

  const quietly = () => refresh().catch(() => {});
  if ('EventSource' in window) {
    const source = new EventSource(stream);
    source.addEventListener('open', () => {
      send();
      quietly();
    });
    source.addEventListener('cases', (event) => {
      const { references } = JSON.parse(event.data);
      if (references.length === 0 || references.includes(reference)) quietly();
    });
    source.addEventListener('signed-out', () => {
      source.close();
      last = 'ended';
      show();
    });
  }
  window.addEventListener('online', send);
  show();
  send();
}
