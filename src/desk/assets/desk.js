// Convenience only: every page works without it.
const print = document.getElementById('print');
if (print) {
  print.hidden = false;
  print.addEventListener('click', () => window.print());
  // A page with more to do than to print waits for the button.
  if (!('wait' in print.dataset)) window.addEventListener('load', () => window.print());
}

const live = document.getElementById('live');
if (live && 'EventSource' in window) watch(live);

/** Shows what is new as it comes; where that breaks, a button loads the page again. */
function watch(place) {
  const { stream, reference, event: board, changed, gone, broken, ended } = place.dataset;
  const [news, again] = [document.getElementById('news'), document.getElementById('again')];
  const families = document.getElementById('families');
  let shown = families?.innerHTML;
  let lost = false;
  const offer = (words) => {
    news.textContent = words;
    again.hidden = false;
  };
  const withdraw = () => {
    news.textContent = '';
    again.hidden = true;
  };
  again.addEventListener('click', () => location.reload());

  const nameOf = (one) => one.id || one.getAttribute('href');
  const linesOf = (list) => new Map([...list.querySelectorAll('.case')].map((line) => [line.dataset.reference, line]));

  async function refresh() {
    const answer = await fetch(location.href, { headers: { 'X-By-Itself': '1' } });
    if (!answer.ok || answer.redirected) return offer(ended);
    const next = new DOMParser().parseFromString(await answer.text(), 'text/html').getElementById('families');
    if (!next || next.innerHTML === shown) return;
    const before = new DOMParser().parseFromString(`<div>${shown}</div>`, 'text/html');
    const known = linesOf(before);
    const fresh = [...linesOf(next)].filter(([name, line]) => known.get(name)?.innerHTML !== line.innerHTML);
    shown = next.innerHTML;
    const focused = families.contains(document.activeElement) ? nameOf(document.activeElement) : null;
    const open = [...families.querySelectorAll('details[open]')].map(({ id }) => id);
    families.replaceChildren(...next.childNodes);
    for (const [, line] of fresh) line.classList.add('fresh');
    for (const id of open) document.getElementById(id)?.setAttribute('open', '');
    if (focused !== null) [...families.querySelectorAll('a, button')].find((one) => nameOf(one) === focused)?.focus();
    const names = fresh.slice(0, 3).map(([, line]) => line.dataset.names);
    news.textContent = names.length > 0 ? `${changed} ${names.join('; ')}${fresh.length > 3 ? ' …' : ''}` : gone;
  }
  const show = () => refresh().catch(() => offer(broken));

  const source = new EventSource(stream);
  source.addEventListener('open', () => {
    if (!lost) return;
    lost = false;
    withdraw();
    // What came while the line was down was not heard.
    if (families) show();
    else offer(place.dataset.case);
  });
  source.addEventListener('error', () => {
    lost = true;
    offer(broken);
  });
  source.addEventListener('signed-out', () => {
    source.close();
    offer(ended);
  });
  source.addEventListener('events', (event) => {
    if (JSON.parse(event.data).ids.includes(board)) show();
  });
  source.addEventListener('cases', (event) => {
    if (families) show();
    else if (JSON.parse(event.data).references.includes(reference)) offer(place.dataset.case);
  });
}
