// One reading, corrected on the device, with the sum line by line.
import { debounce, field, h, replace } from '../lib/dom.js';
import { azimuth as three, declinationText, fixed } from '../lib/format.js';
import { words } from '../lib/language.js';
import { call } from '../lib/model.js';
import { here } from '../lib/state.js';
import { settle, whereForm } from '../lib/where.js';
import { problemBox } from '../lib/problem.js';
import { sightline } from '../lib/sightline.js';
import table from '../words/reading.js';

const kept = { kind: 'direction', north_reference: '' };

const wrap = (angle) => ((angle % 360) + 360) % 360;

/** The lines of the sum: [sign, number, words], in the order in which they are worked out. */
export function sumLines(given, out, w) {
  const lines = [];
  const add = (sign, number, text, strong) => lines.push({ sign, number, text, strong });
  const turned = (value) => declinationText(value, 3);
  const back = given.backsight === 'yes';
  const read = wrap(out.azimuth_true - out.correction + (back ? 180 : 0));
  add('', three(read, 3), w('line_read'), true);
  const north = given.north_reference;
  if (north === 'grid' && !given.applied_grid_magnetic) {
    add('+', turned(out.azimuth_true - read), w('line_convergence_add'));
  } else if (north === 'true' || north === 'grid') {
    if (out.status === 'unchanged') return lines;
    const before = (((out.declination - out.correction) % 360) + 540) % 360 - 180;
    add('−', turned(before), w('line_applied'));
    add('=', three(out.azimuth_magnetic, 3), w('line_magnetic'));
    add('+', turned(out.declination), w('line_declination'));
  } else {
    if (out.index_error_used) add('−', turned(out.index_error_used), w('line_index'));
    if (north === 'circle') add('−', turned(out.set_declination_used ?? 0), w('line_set'));
    if (north === 'circle' || out.index_error_used) add('=', three(wrap(out.azimuth_magnetic + (back ? 180 : 0)), 3), w('line_magnetic'));
    add('+', turned(out.declination), w('line_declination'));
    if (back) add('+', '180.000°', w('line_back'));
  }
  add('=', three(out.azimuth_true, 3), w('line_true'), true);
  if (out.azimuth_grid !== null && out.convergence !== null && north !== 'grid') {
    add('−', turned(out.convergence), w('line_convergence'));
    add('=', three(out.azimuth_grid, 3), w('line_grid'));
  }
  if (out.azimuth_at_target !== null && out.azimuth_at_target !== undefined)
    add('→', three(out.azimuth_at_target, 3), w('line_target', { date: given.target_date }), true);
  return lines;
}

export default function readingView(main) {
  const w = words(table);
  const result = h('div', { class: 'result', id: 'result', 'aria-live': 'polite' });
  const asks = h('div', { class: 'asks' });
  const keep = debounce(() => work());
  const input = (name, label, properties = {}, hint = '') => field(label, {
    value: kept[name] ?? '', name, oninput: (event) => { kept[name] = event.target.value; keep(); }, ...properties,
  }, hint).element;
  const choice = (name, label, options, redraw = false) => field(label, {
    as: 'select', name, value: kept[name] ?? options[0][0], options,
    onchange: (event) => { kept[name] = event.target.value; if (redraw) draw(); work(); },
  }).element;

  function draw() {
    const plane = kept.kind === 'plane';
    const north = kept.north_reference;
    replace(asks,
      choice('kind', w('kind'), ['direction', 'plane', 'line'].map((k) => [k, w(`kind-${k}`)]), true),
      input('azimuth', w('azimuth'), { class: 'big-input', inputmode: 'text' }, w('azimuth-hint')),
      choice('north_reference', w('north'), [['', w('north-ask')], ...['circle', 'magnetic', 'true', 'grid', 'unknown'].map((n) => [n, w(`north-${n}`)])], true),
      north === 'circle' ? input('set_declination', w('set'), {}, w('set-hint')) : null,
      north === 'true' ? input('applied_declination', w('applied'), {}, w('applied-hint')) : null,
      north === 'grid' ? [input('crs', w('crs'), {}, w('crs-hint')), input('applied_grid_magnetic', w('applied-grid'), {}, w('applied-hint'))] : null,
      north === 'unknown' ? h('p', { class: 'hint wide' }, w('unknown')) : null,
      plane ? choice('plane_convention', w('convention'), [['', w('north-ask')], ...['right_hand', 'left_hand', 'dip_direction', 'quadrant'].map((c) => [c, w(c)])]) : null,
      plane ? input('dip', w('dip'), {}, w('dip-hint')) : null,
      kept.kind === 'line' ? input('plunge', w('plunge')) : null,
      kept.kind === 'direction' ? input('vertical_angle', w('vertical')) : null,
      h('details', { class: 'wide' }, h('summary', {}, w('more')), h('div', { class: 'asks' },
        choice('azimuth_unit', w('unit'), ['deg', 'gon', 'mil6400', 'mil6300', 'mil6000'].map((u) => [u, w(u)])),
        north === 'circle' ? input('azimuth_index_error', w('index'), {}, w('index-hint')) : null,
        input('graduation', w('graduation'), { placeholder: '1' }),
        input('target_date', w('target'), {}, w('target-hint')),
        kept.kind === 'direction' ? h('p', { class: 'check' }, h('label', {}, h('input', {
          type: 'checkbox', checked: kept.backsight === 'yes', onchange: (event) => { kept.backsight = event.target.checked ? 'yes' : ''; work(); },
        }), w('backsight'))) : null)));
  }

  let number = 0;
  async function work() {
    const turn = ++number;
    const now = here.get();
    const north = kept.north_reference;
    if (!kept.azimuth?.trim() || !north || !now.place.trim()) {
      replace(result, h('p', { class: 'plainly' }, w('waiting')));
      return;
    }
    const typed = {
      set_declination: north === 'circle' ? kept.set_declination : '',
      applied_declination: north === 'true' ? kept.applied_declination : '',
      applied_grid_magnetic: north === 'grid' ? kept.applied_grid_magnetic : '',
    };
    const columns = {
      place: now.place, date: now.date, azimuth: kept.azimuth, kind: kept.kind, north_reference: north, azimuth_unit: kept.azimuth_unit,
      crs: north === 'grid' ? kept.crs : '', graduation: kept.graduation, target_date: kept.target_date,
      dip: kept.kind === 'plane' ? kept.dip : '', plane_convention: kept.kind === 'plane' ? kept.plane_convention : '',
      plunge: kept.kind === 'line' ? kept.plunge : '', vertical_angle: kept.kind === 'direction' ? kept.vertical_angle : '',
      backsight: kept.kind === 'direction' ? kept.backsight : '', azimuth_index_error: north === 'circle' ? kept.azimuth_index_error : '',
    };
    const filled = (all) => Object.fromEntries(Object.entries(all).filter(([, value]) => value && String(value).trim()));
    if (columns.date.trim().toLowerCase() === 'today') columns.date = new Date().toISOString().slice(0, 10);
    const out = await call('correct', { columns: filled(columns), parameters: { ...filled(typed), ...filled({ letters: now.letters, date_order: now.date_order }) } });
    if (turn !== number) return;
    if (out.problem) {
      replace(result, problemBox(out.problem, settle(out.problem)));
      return;
    }
    const given = { ...filled(columns), ...filled(typed) };
    const lines = sumLines(given, out, w);
    replace(result,
      h('p', { class: 'kicker' }, w(out.status === 'unchanged' ? 'result-unchanged' : 'result')),
      h('p', { class: 'numeral numeral-small', id: 'azimuth-true' }, `${three(out.azimuth_true, 2)}°`),
      out.azimuth_true_text ? h('p', {}, w('as_written', { value: out.azimuth_true_text })) : null,
      out.dip_direction_true !== null ? h('p', {}, w('dip_direction_true', { value: `${three(out.dip_direction_true, 2)}°` })) : null,
      out.azimuth_sigma !== null && out.declination_sigma !== null ? h('p', {}, w('sigma', { size: fixed(out.azimuth_sigma), d: fixed(out.declination_sigma) })) : null,
      h('section', { class: 'panel sum-panel' }, h('div', {}, h('h2', {}, w('sum')),
        h('table', { class: 'sum', id: 'sum' }, h('tbody', {}, lines.map(({ sign, number: value, text, strong }) => h('tr', { class: [sign === '=' ? 'sum-line' : '', strong ? 'sum-strong' : ''].join(' ').trim() || undefined },
          h('td', { class: 'sum-sign' }, sign), h('td', { class: 'sum-number' }, value.endsWith('°') || value.includes('°') ? value : `${value}°`), h('td', {}, text)))))),
      out.azimuth_magnetic !== null ? sightline({ azimuth_true: out.azimuth_true, azimuth_magnetic: out.azimuth_magnetic }, { title: w('picture'), north: 'N', line: three(out.azimuth_true) }) : null),
      kept.kind !== 'direction' || kept.vertical_angle ? h('p', { class: 'hint' }, w('dip-unchanged')) : null,
      out.checks.length ? h('section', { class: 'panel warn' }, h('h2', {}, w('checks')), h('p', { lang: 'en' }, out.remark.split('; ').slice(1).join('; ') || out.checks.join(', '))) : null,
      h('details', {}, h('summary', {}, w('remark')), h('p', { lang: 'en' }, out.remark)));
  }
  const form = whereForm();
  main.append(h('p', { class: 'lead' }, w('intro')), h('div', { class: 'columns' }, h('div', {}, form.element, asks), result));
  draw();
  const stop = here.listen(work);
  work();
  return () => { number += 1; stop(); };
}
