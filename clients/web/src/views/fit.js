// Index errors from sightings, worked out by the service: places go in the body.
import { field, h, replace } from '../lib/dom.js';
import { fixed } from '../lib/format.js';
import { records, delimiterOf } from '../lib/csv.js';
import { fileBox } from '../lib/filebox.js';
import { words } from '../lib/language.js';
import { here } from '../lib/state.js';
import { whereForm } from '../lib/where.js';
import { problemBox } from '../lib/problem.js';
import { ask } from '../lib/service.js';
import table from '../words/fit.js';

// Invented sightings.
const EXAMPLE = `id,instrument,date,azimuth,set_declination,known_azimuth,known_north
s1,K7,2026-06-01,11.5,2E,12.4,true
s2,K7,2026-06-01,58,2E,58.2,true
s3,K7,2026-06-01,102,2E,101.7,true
s4,K7,2026-06-01,200.5,2E,200.1,true
`;

const signed = (value, sigma) => `${value > 0 ? '+' : ''}${fixed(value)}°${sigma ? ` ± ${fixed(sigma)}°` : ''}`;

export default function fitView(main) {
  const w = words(table);
  const result = h('div', { id: 'result', 'aria-live': 'polite' });
  let text = '';
  const graduation = field(w('graduation'), { name: 'graduation', value: '1', inputmode: 'decimal' });
  const box = fileBox({ label: w('paste'), hint: w('paste-hint'), choose: w('choose'), accept: '.csv,.tsv,.txt', take: (content) => { text = content; replace(result); } });
  box.element.querySelector('.buttons').append(h('button', { type: 'button', class: 'button', onclick: () => { box.put(EXAMPLE); if (!here.get().place) here.set({ place: '46.5 7.25' }); } }, w('example')));

  async function run() {
    if (!text.trim()) {
      replace(result, problemBox({ message: w('needs') }));
      return;
    }
    replace(result, h('p', { role: 'status' }, w('working')));
    const { place, date } = here.get();
    const sightings = records(text, delimiterOf(text)).map((row) => Object.fromEntries(Object.entries(row).filter(([, value]) => value !== '')));
    const names = new Set(sightings.flatMap(Object.keys));
    const defaults = { graduation: graduation.input.value };
    if (!names.has('place') && !names.has('lat') && place) defaults.place = place;
    if (!names.has('date') && date) defaults.date = date === 'today' ? new Date().toISOString().slice(0, 10) : date;
    const body = { defaults: Object.fromEntries(Object.entries(defaults).filter(([, value]) => value)), sightings };
    const [answer, report] = await Promise.all([ask('POST', '/v1/fit', { body }), ask('POST', '/v1/fit?f=text', { body, headers: { Accept: 'text/plain' } })]);
    if (!answer.ok) {
      replace(result, problemBox(answer.problem));
      return;
    }
    const fit = answer.body;
    replace(result, h('h2', {}, w('result')), fit.instruments.map((one) => h('section', { class: 'panel' },
      h('h3', {}, one.instrument ?? w('unnamed')),
      one.azimuth ? [h('p', { class: 'order-value' }, w('error', { value: signed(one.azimuth.azimuth_index_error[0], one.azimuth.sigma_deg?.[0]) })),
        one.azimuth.shape !== 'constant' ? h('p', {}, w('shape', { values: one.azimuth.azimuth_index_error.map((v) => fixed(v)).join('  ') })) : null] : null,
      one.vertical?.index_error_deg !== undefined && one.vertical ? h('p', {}, w('vertical', { value: signed(one.vertical.index_error_deg ?? 0, one.vertical.sigma_deg) })) : null,
      !one.azimuth && !one.vertical && !one.dip ? h('p', {}, w('nothing')) : null,
      one.remarks?.length ? h('ul', { class: 'plain-list', lang: 'en' }, one.remarks.map((remark) => h('li', {}, typeof remark === 'string' ? remark : remark.text ?? remark.message ?? remark.code))) : null)),
    report.ok ? h('details', {}, h('summary', {}, w('report')), h('pre', { class: 'report', lang: 'en', tabindex: '0' }, typeof report.body === 'string' ? report.body : '')) : null,
    fit.cautions?.length ? h('section', { class: 'panel warn' }, h('h2', {}, w('cautions')), h('ul', { lang: 'en' }, fit.cautions.map((caution) => h('li', {}, typeof caution === 'string' ? caution : caution.text ?? caution.code)))) : null);
  }
  const form = whereForm();
  main.append(h('p', { class: 'lead' }, w('intro')), box.element, form.element, graduation.element,
    h('p', { class: 'hint' }, w('sent', { origin: location.host })), h('div', { class: 'buttons' }, h('button', { type: 'button', class: 'button main', id: 'run', onclick: run }, w('run'))), result);
}
