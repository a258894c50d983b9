// The frame: masthead, views by the address behind #, language and theme, and the word when there is no network.
import { h, replace } from './lib/dom.js';
import { language, languages, words } from './lib/language.js';
import { preferences } from './lib/preferences.js';
import { takeLink } from './lib/state.js';
import { views } from './views/index.js';
import frame from './words/frame.js';

const app = document.getElementById('app');
let leave = null;
let asked = 0;

function applyTheme() {
  document.documentElement.dataset.theme = preferences.get('theme') ?? 'auto';
}

function viewOfAddress() {
  const name = location.hash.replace(/^#\/?/, '').split('?')[0];
  return views.find((view) => view.name === name) ?? views[0];
}

function themeButtons(w) {
  const chosen = preferences.get('theme') ?? 'auto';
  return h('div', { class: 'choices', role: 'group', 'aria-label': w('theme') },
    ['auto', 'light', 'dark', 'sun'].map((theme) => h('button', {
      type: 'button', class: 'choice', 'aria-pressed': String(theme === chosen),
      onclick: () => { preferences.set('theme', theme); applyTheme(); draw(); },
    }, w(`theme-${theme}`))));
}

function languageButtons(w) {
  return h('div', { class: 'choices', role: 'group', 'aria-label': w('language') },
    languages.map(([code, name]) => h('button', {
      type: 'button', class: 'choice', lang: code, 'aria-pressed': String(code === language()),
      onclick: () => { preferences.set('language', code); draw(); },
    }, name)));
}

async function draw(focus = false) {
  const turn = ++asked;
  takeLink();
  applyTheme();
  const w = words(frame);
  document.documentElement.lang = language();
  const view = viewOfAddress();
  const module = await view.load();
  if (turn !== asked) return;
  leave?.();
  leave = null;
  const title = w(`view-${view.name}`) === `view-${view.name}` ? view.title?.[language()] ?? view.name : w(`view-${view.name}`);
  document.title = `${title} · agonic`;
  const heading = h('h1', { class: 'view-title', tabindex: '-1' }, title);
  const main = h('main', { id: 'main', class: `sheet view-${view.name}` }, heading);
  const link = (one) => h('a', { href: `#/${one.name}`, 'aria-current': one === view ? 'page' : undefined },
    w(`view-${one.name}`) === `view-${one.name}` ? one.title?.[language()] ?? one.name : w(`view-${one.name}`));
  replace(app,
    h('a', { class: 'skip', href: '#main', onclick: (event) => { event.preventDefault(); heading.focus(); } }, w('skip')),
    h('header', { class: 'masthead' },
      h('a', { class: 'mark', href: '#/answer', 'aria-label': w('home') }, mark(), h('span', {}, 'agonic')),
      h('p', { class: 'net', id: 'net', role: 'status', hidden: navigator.onLine }, w('offline'))),
    h('nav', { class: 'tabs', 'aria-label': w('views') }, views.filter((one) => !one.quiet || one === view).map(link)),
    main,
    h('footer', { class: 'foot' },
      h('div', { class: 'foot-row' }, themeButtons(w), languageButtons(w)),
      h('p', {}, w('private')),
      h('p', {}, w('caution'), ' ', h('a', { href: '/plain' }, w('plain')), ' · ', h('a', { href: '/openapi.json' }, w('programs')))));
  leave = module.default(main, { heading, redraw: () => draw() }) ?? null;
  if (focus) {
    heading.focus({ preventScroll: true });
    scrollTo(0, 0);
  }
}

function mark() {
  const holder = h('span', { class: 'mark-sign', 'aria-hidden': 'true' });
  holder.innerHTML = '<svg viewBox="0 0 32 32" width="32" height="32"><circle cx="16" cy="16" r="13" fill="none" stroke="currentColor" stroke-width="2"/><path d="M19 4l-1.200 12.500-3.600-1z" fill="var(--needle)"/><path d="M13 28l1.200-12.500 3.600 1z" fill="currentColor"/></svg>';
  return holder;
}

addEventListener('hashchange', () => draw(true));
for (const event of ['online', 'offline']) addEventListener(event, () => {
  const net = document.getElementById('net');
  if (net) net.hidden = navigator.onLine;
});
if ('serviceWorker' in navigator) navigator.serviceWorker.register('/service-worker.js').catch(() => {});
draw();
