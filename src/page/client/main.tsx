import { render } from 'preact';
import { textDirection } from '../direction.ts';
import { App } from './app.tsx';
import { recall, takeLinkKey } from './device.ts';

const query = new URLSearchParams(location.search);
const event = query.get('event');
const walkIn = query.get('walkin');
const linkKey = takeLinkKey();
const root = document.getElementById('app');
const served = document.documentElement.lang;
// A conversation that goes on in another language than the link's begins to be drawn in its own direction.
const held = (linkKey ? null : recall(event, walkIn).language) ?? served;
document.documentElement.dir = textDirection(held);
if (root) {
  root.replaceChildren();
  render(
    <App
      event={event}
      walkIn={walkIn}
      linkKey={linkKey}
      linkLanguage={query.get('lang')}
      served={served}
      held={held}
    />,
    root,
  );
}
