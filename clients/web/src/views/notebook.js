// A notebook in, the same rows out: columns guessed and shown, what is missing asked, refused rows beside the good ones.
import { download, field, h, replace } from '../lib/dom.js';
import { azimuth as three, declinationText } from '../lib/format.js';
import { guess, known, missing } from '../lib/columns.js';
import { delimiterOf, parse } from '../lib/csv.js';
import { fileBox } from '../lib/filebox.js';
import { words } from '../lib/language.js';
import { call } from '../lib/model.js';
import { here } from '../lib/state.js';
import { problemBox } from '../lib/problem.js';
import { send } from '../lib/service.js';
import table from '../words/notebook.js';

const LARGEST_HERE = 4 << 20;
const SHOWN = 200;
const TYPES = { csv: 'text/csv', json: 'application/json', ndjson: 'application/x-ndjson', geojson: 'application/geo+json' };

// An invented survey; no such ridge exists.
const EXAMPLE = `id,lat,lon,date,azimuth,dip,north_reference,set_declination,note
E1,58.4210,-129.6035,2016-08-09,100,,circle,0,cairn to north peak
E2,58.4210,-129.6035,2016-08-09,287,81,circle,0,dyke
E3,58.4387,-129.5721,2016-08-09,N35E,,circle,,nobody wrote what was set
E4,58.4402,-129.5610,2016-08-10,212.5,,magnetic,,claim line
`;

/** What kind of file it is, and its rows for looking at. */
export function look(text, name = '') {
  const start = text.replace(/^\uFEFF/, '').trimStart();
  if (start.startsWith('{') || start.startsWith('[')) {
    const line = start.split(/\r?\n/, 1)[0];
    try {
      const all = JSON.parse(start);
      if (all.type === 'FeatureCollection') {
        return { type: 'geojson', rows: (all.features ?? []).slice(0, 500).map(({ properties, geometry }) => ({ ...properties, ...(geometry?.type === 'Point' ? { lon: geometry.coordinates[0], lat: geometry.coordinates[1] } : {}) })) };
      }
      if (Array.isArray(all.readings)) return { type: 'json', rows: all.readings.slice(0, 500).map((row) => ({ ...all.defaults, ...row })) };
      if (!Array.isArray(all)) return { type: 'ndjson', rows: [all] };
    } catch {
      try {
        JSON.parse(line);
        return { type: 'ndjson', rows: start.split(/\r?\n/).filter(Boolean).slice(0, 500).map((one) => { try { return JSON.parse(one); } catch { return {}; } }) };
      } catch { /* neither */ }
    }
    return null;
  }
  const delimiter = delimiterOf(text);
  const [names, ...rows] = parse(text, delimiter, 501);
  if (!names || names.length < 2 || rows.length === 0) return null;
  return { type: 'csv', delimiter, names, cells: rows, name };
}

const quoted = (cell, delimiter) => (/["\r\n]/.test(cell) || cell.includes(delimiter) ? `"${cell.replace(/"/g, '""')}"` : cell);

/** The same bytes with the header's names as they are read. */
export function renamed(text, names, read, delimiter) {
  if (names.every((name, i) => !read[i] || read[i] === name.trim())) return text;
  const mark = text.startsWith('\uFEFF') ? '\uFEFF' : '';
  const body = text.slice(mark.length);
  const end = body.search(/\r|\n/);
  const header = names.map((name, i) => quoted(read[i] || (known.includes(name.trim()) ? `${name.trim()} (as it came)` : name), delimiter)).join(delimiter);
  return mark + header + (end < 0 ? '' : body.slice(end));
}

/** A column more, the same in every row, for what must not stand in an address. */
function withColumn(text, name, value, delimiter) {
  let quotes = false;
  let first = true;
  return text.replace(/"|\r?\n|$/g, (found, at) => {
    if (found === '"') { quotes = !quotes; return found; }
    if (quotes) return found;
    const before = text[at - 1];
    if (at === 0 || before === '\n' || before === '\r') return found;
    const cell = first ? name : quoted(value, delimiter);
    first = false;
    return delimiter + cell + found;
  });
}

function rowsOf(type, text) {
  if (type === 'csv') {
    const [names, ...rows] = parse(text);
    return rows.map((cells) => Object.fromEntries(names.map((name, i) => [name, cells[i] ?? ''])));
  }
  if (type === 'ndjson') return text.split('\n').filter(Boolean).map((line) => JSON.parse(line));
  const all = JSON.parse(text);
  return type === 'geojson' ? all.features.map(({ properties }) => properties) : all.readings;
}

function resultTable(rows, w) {
  const number = (value) => (value === null || value === undefined || value === '' ? null : Number(String(value).replace(',', '.')));
  return h('div', { class: 'scroll', tabindex: '0', role: 'region', 'aria-label': w('done', { corrected: '', unchanged: '', refused: '', rows: '' }).trim() || 'rows' },
    h('table', { class: 'rows' },
      h('thead', {}, h('tr', {}, ['row', 'read', 'true', 'declination', 'status', 'remark'].map((name) => h('th', { scope: 'col' }, w(name))))),
      h('tbody', {}, rows.map(({ row, number: index }) => {
        const status = row.status ?? '';
        const az = number(row.azimuth_true);
        const d = number(row.declination);
        return h('tr', { class: `row-${status}` },
          h('th', { scope: 'row' }, row.id || String(index)),
          h('td', {}, String(row.azimuth ?? '')),
          h('td', { class: 'row-true' }, az === null ? '' : three(az, 2), row.azimuth_true_text ? h('span', { class: 'row-text' }, ` ${row.azimuth_true_text}`) : null),
          h('td', {}, d === null ? '' : declinationText(d)),
          h('td', {}, w(status)),
          h('td', { class: 'row-remark', lang: 'en' }, row.remark ?? ''));
      }))));
}

export default function notebookView(main) {
  const w = words(table);
  const plan = h('div', {});
  const result = h('div', { id: 'result' });
  let text = '';
  let name = '';
  let seen = null;
  let read = [];
  const answers = {};
  let place = null;

  const rowObjects = () => seen.type === 'csv'
    ? seen.cells.map((cells) => Object.fromEntries(read.map((column, i) => [column || seen.names[i], cells[i] ?? ''])))
    : seen.rows.map((row) => Object.fromEntries(Object.entries(row).map(([key, value]) => [key, value === null ? 'unknown' : String(value)])));

  function why() {
    if (seen.type !== 'csv') return 'type';
    if (read.includes('instrument')) return 'instrument';
    if (text.length > LARGEST_HERE) return 'size';
    const grids = [answers.crs, ...rowObjects().flatMap((row) => [row.crs, row.target_crs])].filter(Boolean);
    return grids.some((crs) => /^(epsg:(?!32[67])|\+|esri)/i.test(crs.trim())) ? 'grid' : '';
  }

  function planView() {
    if (!seen) {
      replace(plan, text.trim() ? problemBox({ message: w('unreadable') }) : null);
      replace(result);
      return;
    }
    const columns = seen.type === 'csv' ? read.filter(Boolean) : [...new Set(seen.rows.flatMap(Object.keys))];
    const asked = missing(columns, rowObjects());
    const set = (key) => (event) => { answers[key] = event.target.value; };
    const select = (key, options) => field(w(key), { as: 'select', name: key, value: answers[key] ?? '', onchange: set(key), options: [['', w('choose_one')], ...options] }).element;
    const text_ = (key, hint = '') => field(w(key), { name: key, value: answers[key] ?? '', oninput: set(key) }, hint).element;
    const asks = {
      place: () => { answers.place ??= here.get().place; return text_('place'); },
      date: () => text_('date'),
      north_reference: () => select('north_reference', ['circle', 'magnetic', 'true', 'grid'].map((n) => [n, w(`north-${n}`)])),
      set_declination: () => text_('set_declination', w('set-hint')),
      plane_convention: () => select('plane_convention', ['right_hand', 'left_hand', 'dip_direction', 'quadrant'].map((c) => [c, w(c)])),
      date_order: () => select('date_order', ['dmy', 'mdy', 'ymd'].map((o) => [o, w(o)])),
      crs: () => text_('crs'),
    };
    const needed = why();
    place = needed ? 'service' : place ?? 'device';
    const said = h('p', { class: 'hint', role: 'status' });
    const tell = () => { said.textContent = place === 'device' ? w('where-device') : w('where-service', { origin: location.host }); };
    tell();
    replace(plan,
      seen.type === 'csv' ? h('details', { class: 'panel fold', open: seen.names.some((n, i) => read[i] !== n.trim() && read[i]) }, h('summary', {}, w('columns')), h('p', { class: 'hint' }, w('columns-hint')),
        h('div', { class: 'column-list' }, seen.names.map((column, i) => field(column || `${i + 1}`, {
          as: 'select', value: read[i], 'aria-label': w('line', { column: i + 1, name: column }), onchange: (event) => { read[i] = event.target.value; planView(); },
          options: [['', w('pass')], ...known.map((k) => [k, k])],
        }, `${w('first')}: ${seen.cells[0][i] ?? ''}`).element))) : null,
      h('section', { class: 'panel' }, h('h2', {}, w('asked')), asked.length ? h('div', { class: 'asks' }, asked.map((key) => asks[key]())) : h('p', {}, w('asked-none'))),
      h('section', { class: 'panel' }, h('h2', {}, w('where')),
        needed ? h('p', {}, w('service-needed', { why: w(`why-${needed}`) }))
          : h('div', { class: 'choices', role: 'group', 'aria-label': w('where') }, ['device', 'service'].map((one) => h('button', {
            type: 'button', class: 'choice', 'aria-pressed': String(one === place), onclick: (event) => {
              place = one;
              for (const button of event.target.parentNode.children) button.setAttribute('aria-pressed', String(button === event.target));
              tell();
            },
          }, w(one)))), said),
      h('div', { class: 'buttons' }, h('button', { type: 'button', class: 'button main', id: 'run', onclick: run }, w('run'))));
  }

  async function run() {
    const bar = h('progress', { max: '1', 'aria-label': w('working') });
    replace(result, h('p', { role: 'status' }, w('working')), bar);
    const parameters = Object.fromEntries(Object.entries(answers).filter(([, value]) => value && value.trim()));
    let content = seen.type === 'csv' ? renamed(text, seen.names, read, seen.delimiter) : text;
    let out;
    if (place === 'device') {
      const answer = await call('notebook', { csv: content, parameters });
      out = answer.problem ? { ok: false, problem: answer.problem } : { ok: true, text: answer.csv, summary: answer.summary };
    } else {
      // A place belongs into the body.
      if (parameters.place && seen.type === 'csv') content = withColumn(content, 'place', parameters.place, seen.delimiter);
      if (parameters.place && seen.type === 'json') {
        const { defaults, ...rest } = JSON.parse(content);
        content = JSON.stringify({ defaults: { ...defaults, place: parameters.place }, ...rest });
      }
      delete parameters.place;
      const query = new URLSearchParams(parameters).toString();
      out = await send(`/v1/correct${query ? `?${query}` : ''}`, TYPES[seen.type], content, (part) => { bar.value = part; });
    }
    if (!out.ok) {
      replace(result, h('h2', {}, w('stop')), problemBox(out.problem));
      return;
    }
    const all = rowsOf(seen.type, out.text).map((row, i) => ({ row, number: i + 1 }));
    const count = (status) => all.filter(({ row }) => row.status === status).length;
    const summary = { rows: all.length, corrected: count('corrected'), unchanged: count('unchanged'), refused: count('refused') };
    const list = h('div', {});
    let only = false;
    const show = () => {
      const wanted = only ? all.filter(({ row }) => row.status === 'refused') : all;
      replace(list, resultTable(wanted.slice(0, SHOWN), w), wanted.length > SHOWN ? h('p', { class: 'hint' }, w('more', { shown: SHOWN, rows: wanted.length })) : null);
    };
    const base = (name || `notebook.${seen.type}`).replace(/(\.[^.]*)?$/, (ending) => `-corrected${ending || `.${seen.type}`}`);
    replace(result, h('p', { class: 'plainly', role: 'status', id: 'done' }, w('done', summary)),
      h('p', { class: 'hint' }, w(place === 'device' ? 'by-device' : 'by-service')),
      h('div', { class: 'buttons' },
        h('button', { type: 'button', class: 'button main', id: 'download', onclick: () => download(base, TYPES[seen.type], out.text) }, w('download')),
        summary.refused ? h('button', {
          type: 'button', class: 'button', id: 'only', 'aria-pressed': 'false', onclick: (event) => {
            only = !only;
            event.target.setAttribute('aria-pressed', String(only));
            event.target.textContent = w(only ? 'all' : 'only-refused');
            show();
          },
        }, w('only-refused')) : null), list);
    show();
  }

  const box = fileBox({
    label: w('paste'), hint: w('paste-hint'), choose: w('choose'), accept: '.csv,.tsv,.txt,.json,.ndjson,.geojson',
    take: (content, given) => {
      text = content;
      name = given;
      seen = content.trim() ? look(content, given) : null;
      read = seen?.type === 'csv' ? guess(seen.names) : [];
      place = null;
      replace(result);
      planView();
    },
  });
  box.element.querySelector('.buttons').append(h('button', { type: 'button', class: 'button', onclick: () => box.put(EXAMPLE) }, w('example')));
  main.append(h('p', { class: 'lead' }, w('intro')), box.element, plan, result);
}
