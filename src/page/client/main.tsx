import { render } from 'preact';
import { App } from './app.tsx';

const query = new URLSearchParams(location.search);
const root = document.getElementById('app');
if (root) {
  root.replaceChildren();
  render(
    <App event={query.get('event')} linkLanguage={query.get('lang')} language={document.documentElement.lang} />,
    root,
  );
}
