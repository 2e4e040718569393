// Convenience only: the page works without it.
const thread = document.getElementById('thread');
const text = document.getElementById('text');
const write = document.getElementById('write');
const line = write?.elements.namedItem('line');
const key = `lapwing-draft-${thread?.dataset.reference}`;
const keep = () => sessionStorage.setItem(key, JSON.stringify({ id: line.value, text: text.value }));

/** What was written stays in this tab until it is seen in the thread: a session may end while somebody writes. */
if (write) {
  const kept = JSON.parse(sessionStorage.getItem(key) ?? 'null');
  const arrived = kept && thread.querySelector(`[data-id="t:free:${CSS.escape(kept.id)}"]`);
  if (arrived) sessionStorage.removeItem(key);
  else if (kept && text.value === '') {
    text.value = kept.text;
    line.value = kept.id;
  }
  text.addEventListener('input', keep);
}

/** New lines come by themselves; what is being written stays. */
async function refresh() {
  const answer = await fetch(location.pathname, { headers: { 'X-By-Itself': '1' } });
  if (!answer.ok || answer.redirected) return;
  const next = new DOMParser().parseFromString(await answer.text(), 'text/html').getElementById('thread');
  if (next && next.innerHTML !== thread.innerHTML) thread.replaceChildren(...next.childNodes);
}

const stream = document.getElementById('live')?.dataset.stream;
if (thread && stream && 'EventSource' in window) {
  const source = new EventSource(stream);
  source.addEventListener('cases', (event) => {
    if (JSON.parse(event.data).references.includes(thread.dataset.reference)) refresh().catch(() => {});
  });
  source.addEventListener('signed-out', () => source.close());
}
