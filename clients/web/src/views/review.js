// A data set looked at as a whole by the service: questions to its owner with their rows, groups, the report with plots.
import { download, field, h, replace } from '../lib/dom.js';
import { declinationText, fixed } from '../lib/format.js';
import { fileBox } from '../lib/filebox.js';
import { words } from '../lib/language.js';
import { showDocument } from '../lib/paper.js';
import { problemBox } from '../lib/problem.js';
import { ask, withKey } from '../lib/service.js';
import table from '../words/review.js';

const TYPES = { csv: 'text/csv', json: 'application/json', ndjson: 'application/x-ndjson', geojson: 'application/geo+json' };
const ROWS_SHOWN = 40;

/** What kind of file it is, by how it begins. */
function typeOf(text) {
  const start = text.replace(/^\uFEFF/, '').trimStart();
  if (!start.startsWith('{') && !start.startsWith('[')) return 'csv';
  if (/"type"\s*:\s*"FeatureCollection"/.test(start)) return 'geojson';
  try { JSON.parse(start.split(/\r?\n/, 1)[0]); } catch { return 'json'; }
  return /^\{\s*"(readings|defaults)"/.test(start) ? 'json' : 'ndjson';
}

/** 1, 2, 3, 7 as "1–3, 7". */
export function runs(numbers) {
  const parts = [];
  for (let i = 0; i < numbers.length; i += 1) {
    const from = numbers[i];
    while (numbers[i + 1] === numbers[i] + 1) i += 1;
    parts.push(numbers[i] === from ? String(from) : numbers[i] === from + 1 ? `${from}, ${numbers[i]}` : `${from}–${numbers[i]}`);
  }
  return parts.length > ROWS_SHOWN ? `${parts.slice(0, ROWS_SHOWN).join(', ')} …` : parts.join(', ');
}

function finding(one, w) {
  return h('li', { class: `finding finding-${one.severity}` },
    h('p', { class: 'finding-kind' }, w(one.question ? 'question' : 'remark'), one.group ? ` · ${one.group}` : ''),
    h('h3', { lang: 'en' }, one.question ?? one.what),
    one.question ? h('p', { lang: 'en' }, one.what) : null,
    one.answers.length ? h('dl', { class: 'answers', lang: 'en' }, one.answers.map(({ answer, follows }) => [h('dt', {}, answer), h('dd', {}, follows)])) : one.remedy ? h('p', { lang: 'en' }, one.remedy) : null,
    h('p', { class: 'finding-rows' }, w('concerns', { count: one.count, rows: runs(one.rows) })));
}

function groupTable(groups, w) {
  const range = (value) => (value === null ? '–' : Math.abs(value.high_deg - value.low_deg) < 0.005 ? declinationText(value.low_deg) : w('to', { low: declinationText(value.low_deg), high: declinationText(value.high_deg) }));
  const days = (group) => (group.first_date === null ? '–' : group.first_date === group.last_date ? group.first_date : w('to', { low: group.first_date, high: group.last_date }));
  const offset = (from) => (from === null ? '–' : w('offset', { offset: `${from.offset_deg > 0 ? '+' : ''}${fixed(from.offset_deg, 1)}`, error: fixed(from.standard_error_deg, 1), lines: from.lines }));
  return h('div', { class: 'scroll', tabindex: '0', role: 'region', 'aria-label': w('groups') }, h('table', { class: 'rows' },
    h('thead', {}, h('tr', {}, ['group', 'rows', 'dates', 'declination', 'setting', 'from-others'].map((name) => h('th', { scope: 'col' }, w(name))))),
    h('tbody', {}, groups.map((group) => h('tr', {}, h('th', { scope: 'row' }, `${group.by} ${group.name}`.trim()),
      h('td', {}, group.refused ? w('rows-refused', { rows: group.rows, refused: group.refused }) : String(group.rows)), h('td', { class: 'no-wrap' }, days(group)),
      h('td', {}, range(group.declination)), h('td', {}, range(group.setting)), h('td', {}, offset(group.from_others)))))));
}

export default function reviewView(main) {
  const w = words(table);
  const result = h('div', { id: 'result' });
  const given = {};
  let text = '';
  let number = 0;
  const keep = (name) => (event) => { given[name] = event.target.value; };
  const take = (content) => {
    if (content === text) return;
    text = content;
    number += 1;
    replace(result);
  };
  const box = fileBox({ label: w('paste'), hint: w('paste-hint'), choose: w('choose'), accept: '.csv,.tsv,.txt,.json,.ndjson,.geojson', take });
  // At once, so that a quick press of the button finds what was just typed.
  box.area.addEventListener('input', () => take(box.area.value));
  const select = (name, options) => field(w(name), { as: 'select', name, value: '', onchange: keep(name), options: [['', w('as-written')], ...options] }).element;
  const defaults = h('details', { class: 'panel fold' }, h('summary', {}, w('defaults')), h('div', { class: 'asks' },
    select('north_reference', ['circle', 'magnetic', 'true', 'grid'].map((one) => [one, w(`north-${one}`)])),
    field(w('set_declination'), { name: 'set_declination', oninput: keep('set_declination') }, w('set-hint')).element,
    select('date_order', ['dmy', 'mdy', 'ymd'].map((one) => [one, w(one)])),
    field(w('group_by'), { name: 'group_by', oninput: keep('group_by') }, w('group-hint')).element));

  const query = (format) => new URLSearchParams(Object.entries({ ...given, f: format }).filter(([, value]) => value && value.trim())).toString();
  const post = (format) => ask('POST', `/v1/review?${query(format)}`, { body: text, headers: { 'Content-Type': TYPES[typeOf(text)], ...withKey() } });
  async function run() {
    const turn = ++number;
    if (!text.trim()) { replace(result, problemBox({ message: w('needs') })); return; }
    replace(result, h('p', { role: 'status' }, w('working')));
    const answer = await post('json');
    if (turn !== number) return;
    if (!answer.ok) { replace(result, problemBox(answer.problem)); return; }
    const { summary, findings, groups } = answer.body;
    const said = h('div', { role: 'status' });
    const paper = h('div', { class: 'card-sheet', id: 'report', hidden: true });
    const show = h('button', {
      type: 'button', class: 'button main', id: 'show-report', 'aria-expanded': 'false', onclick: async () => {
        if (!paper.hidden) { paper.hidden = true; } else {
          const report = await post('html');
          if (!report.ok) { replace(said, problemBox(report.problem)); return; }
          paper.hidden = false;
          showDocument(paper, report.body);
        }
        show.setAttribute('aria-expanded', String(!paper.hidden));
        show.textContent = w(paper.hidden ? 'report' : 'report-hide');
      },
    }, w('report'));
    const save = (format, type, ending) => h('button', {
      type: 'button', class: 'button', id: `save-${format}`, onclick: async () => {
        const file = format === 'json' ? { ok: true, body: JSON.stringify(answer.body, null, 2) } : await post(format);
        if (file.ok) download(`review.${ending}`, type, file.body); else replace(said, problemBox(file.problem));
      },
    }, w(`save-${format}`));
    replace(result, h('p', { class: 'plainly', role: 'status', id: 'done' }, w('done', summary)),
      h('h2', {}, w('findings')),
      findings.length ? h('ul', { class: 'findings' }, findings.map((one) => finding(one, w))) : h('p', { class: 'good' }, w('none')),
      h('h2', {}, w('report-title')), h('div', { class: 'buttons' }, show, save('html', 'text/html', 'html'), save('text', 'text/plain', 'txt'), save('json', 'application/json', 'json')), said, paper,
      groups.length ? [h('h2', {}, w('groups')), h('p', { class: 'hint' }, w('groups-hint')), groupTable(groups, w)] : null);
  }
  main.append(h('p', { class: 'lead' }, w('intro')), box.element, defaults, h('p', { class: 'hint' }, w('sent', { origin: location.host })),
    h('div', { class: 'buttons' }, h('button', { type: 'button', class: 'button main', id: 'run', onclick: run }, w('run'))), result);
  return () => { number += 1; };
}
