// A data set looked at as a whole by the service. What it tells is shown as it comes: findings first, then counts.
import { download, h, replace } from '../lib/dom.js';
import { fileBox } from '../lib/filebox.js';
import { words } from '../lib/language.js';
import { problemBox } from '../lib/problem.js';
import { ask, withKey } from '../lib/service.js';
import table from '../words/review.js';

const readable = (name) => name.replace(/_/g, ' ');
const plain = (value) => (typeof value === 'number' && !Number.isInteger(value) ? String(Number(value.toFixed(3))) : String(value));

/** Any JSON as lists for a person. */
function shown(value) {
  if (value === null || value === undefined) return '–';
  if (Array.isArray(value)) {
    if (value.every((one) => typeof one !== 'object')) return value.map(plain).join(', ') || '–';
    return h('ul', { class: 'plain-list' }, value.map((one) => h('li', {}, shown(one))));
  }
  if (typeof value === 'object') return h('dl', { class: 'pairs' }, Object.entries(value).map(([name, one]) => [h('dt', {}, readable(name)), h('dd', {}, shown(one))]));
  return plain(value);
}

function finding(one, w) {
  if (typeof one === 'string') return h('li', { class: 'finding' }, one);
  const { code, severity, what, question, answers, remedy, ...rest } = one;
  return h('li', { class: 'finding' }, h('h3', {}, what ?? readable(code ?? '')),
    question ? h('p', {}, h('strong', {}, question)) : null,
    answers?.length ? h('ul', { class: 'plain-list' }, answers.map(({ answer, follows }) => h('li', {}, h('strong', {}, answer), `: ${follows}`))) : null,
    remedy ? h('p', {}, h('strong', {}, `${w('todo')}: `), remedy) : null,
    Object.keys(rest).length ? h('details', {}, h('summary', {}, [severity, code].filter(Boolean).join(' · ')), shown(rest)) : null);
}

export default function reviewView(main) {
  const w = words(table);
  const result = h('div', { id: 'result', 'aria-live': 'polite' });
  let text = '';
  const box = fileBox({ label: w('paste'), hint: w('paste-hint'), choose: w('choose'), accept: '.csv,.tsv,.txt', take: (content) => { text = content; replace(result); } });
  async function run() {
    if (!text.trim()) {
      replace(result, problemBox({ message: w('needs') }));
      return;
    }
    replace(result, h('p', { role: 'status' }, w('working')));
    const answer = await ask('POST', '/v1/review', { body: text, headers: { 'Content-Type': 'text/csv', Accept: 'application/json', ...withKey() } });
    if (!answer.ok) {
      replace(result, problemBox(answer.status === 404 ? { message: w('absent') } : answer.problem));
      return;
    }
    const { findings = [], ...rest } = answer.body;
    replace(result, h('h2', {}, w('findings')),
      findings.length ? h('ul', { class: 'findings', lang: 'en' }, findings.map((one) => finding(one, w))) : h('p', { class: 'good' }, w('none')),
      h('details', { class: 'panel fold', open: true }, h('summary', {}, w('counts')), h('div', { lang: 'en' }, shown(rest))),
      h('div', { class: 'buttons' }, h('button', { type: 'button', class: 'button', onclick: () => download('review.json', 'application/json', JSON.stringify(answer.body, null, 2)) }, w('download'))));
  }
  main.append(h('p', { class: 'lead' }, w('intro')), box.element, h('p', { class: 'hint' }, w('sent', { origin: location.host })),
    h('div', { class: 'buttons' }, h('button', { type: 'button', class: 'button main', id: 'run', onclick: run }, w('run'))), result);
}
