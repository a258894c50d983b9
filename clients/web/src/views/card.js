// The field card of the place at hand, or of a route: one page to print, drawn on the device or by the service.
import { download, field, h, replace } from '../lib/dom.js';
import { compass } from '../lib/compass.js';
import { words } from '../lib/language.js';
import { call } from '../lib/model.js';
import { here } from '../lib/state.js';
import { parameters } from '../lib/where.js';
import { problemBox } from '../lib/problem.js';
import { sheet } from '../lib/sheet.js';
import { showDocument } from '../lib/paper.js';
import table from '../words/card.js';

export default function cardView(main, { heading }) {
  const w = words(table);
  const route = sheet.get();
  const paper = h('div', { class: 'card-sheet', id: 'card-sheet' });
  const said = h('div', { role: 'status' });
  let name = '';
  let number = 0;

  const asked = () => {
    const now = here.get();
    return { ...parameters(now), ...compass(), ...(now.until.trim() ? { until: now.until } : {}), ...(name.trim() ? { name } : {}) };
  };
  // Places travel in the body.
  async function fetchCard(format) {
    const query = new URLSearchParams(route ? route.query : '');
    query.set('f', format);
    if (route && name.trim()) query.set('name', name);
    const response = await fetch(`/v1/card?${query}`, {
      method: 'POST', cache: 'no-store', headers: { 'Content-Type': route ? route.type : 'application/json' }, body: route ? route.body : JSON.stringify(asked()),
    });
    if (response.ok) return response;
    throw await response.json();
  }
  const fault = (problem) => replace(said, problemBox(problem instanceof Error ? { message: w('needs-service') } : problem));
  async function show() {
    const turn = ++number;
    if (!route && !here.get().place.trim()) { replace(said, h('p', {}, w('no-place'), ' ', h('a', { href: '#/answer' }, w('to-answer')))); return; }
    replace(said, h('p', {}, w('working')));
    try {
      // The card of a place is drawn on the device; a route, and a grid only the service knows, by the service.
      const answer = route ? null : await call('card', { parameters: asked() });
      if (answer?.problem && answer.problem.code !== 'grid-unknown') throw answer.problem;
      const html = answer?.html ?? await (await fetchCard('html')).text();
      if (turn !== number) return;
      replace(said);
      showDocument(paper, html);
      paper.dataset.ready = 'yes';
    } catch (problem) { if (turn === number) fault(problem); }
  }
  const save = (format, type) => h('button', {
    type: 'button', class: 'button', id: `save-${format}`, onclick: async () => {
      try { download(`card.${format}`, type, await (await fetchCard(format)).blob()); } catch (problem) { fault(problem); }
    },
  }, w(`save-${format}`));
  let typing;
  const named = field(w(route ? 'route-name' : 'name'), { name: 'name', oninput: (event) => { name = event.target.value; clearTimeout(typing); typing = setTimeout(show, 500); } }, w('name-hint'));
  heading.textContent = w(route ? 'title-route' : 'title');
  main.append(h('p', {}, h('a', { class: 'button', href: route ? '#/route' : '#/answer' }, w(route ? 'back-route' : 'back'))),
    named.element,
    h('div', { class: 'buttons' }, h('button', { type: 'button', class: 'button main', id: 'print', onclick: () => print() }, w('print')), save('pdf', 'application/pdf'), save('png', 'image/png')),
    said, paper, h('p', { class: 'hint' }, w('fold')));
  show();
  return () => { number += 1; clearTimeout(typing); };
}
