// The registry of instruments: list, one record, and what may be recorded of it.
import { field, h, replace } from '../lib/dom.js';
import { declinationText, fixed } from '../lib/format.js';
import { words } from '../lib/language.js';
import { problemBox } from '../lib/problem.js';
import { ask, keyOfRegistry } from '../lib/service.js';
import table from '../words/instruments.js';

const token = () => crypto.randomUUID?.() ?? `${Date.now()}-${Math.random().toString(36).slice(2)}`;

function form(w, title, fields, submit) {
  const said = h('div', {});
  const inputs = Object.fromEntries(fields.map(([name, label, properties, hint]) => [name, field(label, { name, ...properties }, hint)]));
  let idempotency = token();
  return h('details', { class: 'panel fold' }, h('summary', {}, title), h('form', {
    onsubmit: async (event) => {
      event.preventDefault();
      const values = Object.fromEntries(Object.entries(inputs).map(([name, { input }]) => [name, input.value.trim()]));
      const problem = await submit(values, idempotency);
      if (problem) replace(said, problemBox(problem));
      else idempotency = token();
    },
  }, h('div', { class: 'asks' }, Object.values(inputs).map(({ element }) => element)), said,
  h('div', { class: 'buttons' }, h('button', { class: 'button main' }, w('save')))));
}

const numeric = (text) => (text === '' ? undefined : Number(text.replace(',', '.')));
const days = (one, w) => w('days', { from: one.from, until: one.until ?? w('open_end') });
const provenance = (one, w) => h('p', { class: 'provenance' }, w('by', { who: one.who, when: String(one.when).slice(0, 10), why: one.why }));
const errorText = (value, w) => (value === null || value === 'unknown' ? w('unknown')
  : Array.isArray(value) ? value.map((v) => fixed(v)).join('  ') : `${value > 0 ? '+' : ''}${fixed(value)}°`);
const setText = (value, w) => (value === null || value === 'unknown' ? w('unknown') : typeof value === 'number' ? declinationText(value) : value);

export default function instrumentsView(main) {
  const w = words(table);
  const body = h('div', { 'aria-live': 'polite' });
  const key = field(w('key'), { type: 'password', name: 'key', value: keyOfRegistry.get(), autocomplete: 'off' }, w('key-hint'));
  const keep = h('input', { type: 'checkbox', checked: keyOfRegistry.kept() });

  async function all() {
    replace(body, h('p', { role: 'status' }, w('loading')));
    const answer = await ask('GET', '/v1/instruments', { keyed: true });
    const adding = form(w, w('add'), [
      ['id', w('id'), { required: true }], ['graduation', w('graduation'), { value: '1', inputmode: 'decimal' }], ['note', w('note')], ['why', w('why'), { required: true }, w('why-hint')],
    ], async (values, idempotency) => {
      const told = await ask('POST', '/v1/instruments', { keyed: true, headers: { 'Idempotency-Key': idempotency }, body: { id: values.id, graduation_deg: numeric(values.graduation), note: values.note || undefined, why: values.why } });
      if (!told.ok) return told.problem;
      one(values.id);
      return null;
    });
    if (!answer.ok) {
      replace(body, problemBox(answer.problem));
      return;
    }
    replace(body, h('h2', {}, w('list')),
      answer.body.instruments.length === 0 ? h('p', {}, w('none')) : h('ul', { class: 'cards' }, answer.body.instruments.map((instrument) => h('li', {},
        h('button', { type: 'button', class: 'card', onclick: () => one(instrument.id) },
          h('strong', {}, instrument.id), h('span', {}, `${instrument.graduation_deg ?? 1}° · ${w('version', { n: instrument.version })}`), instrument.note ? h('span', {}, instrument.note) : null)))),
      adding);
  }

  async function one(id) {
    const path = `/v1/instruments/${encodeURIComponent(id)}`;
    const answer = await ask('GET', path, { keyed: true });
    if (!answer.ok) {
      replace(body, problemBox(answer.problem), h('button', { type: 'button', class: 'button', onclick: all }, w('back')));
      return;
    }
    const record = answer.body;
    const tag = answer.headers.get('etag') ?? '*';
    const post = async (part, sent, idempotency) => {
      const told = await ask('POST', `${path}/${part}`, { keyed: true, headers: { 'If-Match': tag, 'Idempotency-Key': idempotency }, body: sent });
      if (!told.ok) return told.problem;
      one(id);
      return null;
    };
    const span = [['from', w('from'), { required: true, value: new Date().toISOString().slice(0, 10) }], ['until', w('until'), {}, w('until-hint')], ['why', w('why'), { required: true }, w('why-hint')]];
    const title = h('h2', { tabindex: '-1' }, record.id);
    const list = (items, text) => (items.length === 0 ? h('p', {}, w('no-records')) : h('ul', { class: 'plain-list' }, items.map((item) => h('li', {}, h('strong', {}, text(item)), ` · ${days(item, w)}`, provenance(item, w)))));
    replace(body,
      h('button', { type: 'button', class: 'button', onclick: all }, w('back')), title,
      h('p', {}, `${w('circle')}: ${record.description.graduation_deg ?? 1}° · ${w('version', { n: record.version })}`), record.description.note ? h('p', {}, record.description.note) : null,
      h('section', { class: 'panel' }, h('h3', {}, w('errors')), list(record.index_errors, (item) => `${w(item.kind)}: ${errorText(item.error_deg, w)}${item.sigma_deg ? ` ± ${fixed(item.sigma_deg)}°` : ''}`)),
      h('section', { class: 'panel' }, h('h3', {}, w('settings')), list(record.settings, (item) => setText(item.set_declination, w))),
      form(w, w('index-error'), [
        ['kind', w('kind'), { as: 'select', options: ['azimuth', 'vertical', 'dip'].map((k) => [k, w(k)]) }], ['error', w('error'), { required: true, inputmode: 'text' }, w('error-hint')],
        ['sigma', w('sigma'), { inputmode: 'decimal' }], ['how', w('how')], ['sightings', w('sightings'), { inputmode: 'numeric' }], ...span,
      ], (v, idempotency) => post('index-errors', {
        kind: v.kind, error_deg: v.error === 'unknown' ? null : numeric(v.error), sigma_deg: numeric(v.sigma), how: v.how || undefined, sightings: numeric(v.sightings), from: v.from, until: v.until || undefined, why: v.why,
      }, idempotency)),
      form(w, w('setting'), [['set', w('set'), { required: true }, w('set-hint')], ...span], (v, idempotency) => (
        /^\d+([.,]\d+)?$/.test(v.set) && Number(v.set.replace(',', '.')) !== 0
          ? { code: 'declination-unsigned', value: v.set, message: 'east or west?', remedy: `Write ${v.set}E or ${v.set}W` }
          : post('settings', { set_declination: v.set, from: v.from, until: v.until || undefined, why: v.why }, idempotency))));
    title.focus({ preventScroll: true });
  }

  main.append(h('p', { class: 'lead' }, w('intro')), h('form', {
    class: 'panel', onsubmit: (event) => {
      event.preventDefault();
      keyOfRegistry.set(key.input.value, keep.checked);
      all();
    },
  }, key.element, h('p', { class: 'check' }, h('label', {}, keep, w('keep'))), h('button', { class: 'button' }, w('use'))), body);
  all();
}
