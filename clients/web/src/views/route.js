// Stops with dates in: the declination along the way, where to set the circle anew, one setting for all.
import { download, field, h, replace } from '../lib/dom.js';
import { decimalsOf, declinationText, fixed } from '../lib/format.js';
import { compass } from '../lib/compass.js';
import { fileBox } from '../lib/filebox.js';
import { words } from '../lib/language.js';
import { problemBox } from '../lib/problem.js';
import { profile } from '../lib/profile.js';
import { ask } from '../lib/service.js';
import { sheet } from '../lib/sheet.js';
import table from '../words/route.js';

// An invented journey over an invented ice.
const EXAMPLE = `name,lat,lon,date
Landing,61.20,-45.40,2026-06-20
Fjord head,61.50,-44.80,2026-06-23
Ice edge,62.10,-44.10,2026-06-27
Old camp,96.30,-43.70,2026-06-29
Depot,63.40,-43.20,2026-07-02
`;
const TYPES = { csv: 'text/csv', json: 'application/json', geojson: 'application/geo+json', gpx: 'application/gpx+xml' };

/** What kind of file it is. */
export function typeOf(text) {
  const start = text.replace(/^\uFEFF/, '').trimStart();
  if (start.startsWith('<')) return 'gpx';
  if (!start.startsWith('{') && !start.startsWith('[')) return 'csv';
  return /"type"\s*:\s*"(Feature|FeatureCollection|LineString|MultiPoint)"/.test(start) ? 'geojson' : 'json';
}

const nameOf = (stop, row) => String(stop.name ?? stop.id ?? stop.place ?? row);

function order(what, value, more, id) {
  return h('li', { class: 'order' }, h('span', { class: 'order-what' }, what), h('strong', { class: 'order-value', id }, value), more ? h('span', { class: 'order-more' }, more) : null);
}

export default function routeView(main) {
  const w = words(table);
  const result = h('div', { id: 'result' });
  const options = h('div', { class: 'asks' });
  const asked = { date: '', legs: 'no', tolerance: '', gpx_part: '' };
  let text = '';
  let type = 'csv';

  function showOptions() {
    const keep = (name) => (event) => { asked[name] = event.target.value; };
    const legs = h('input', { type: 'checkbox', checked: asked.legs === 'yes', name: 'legs', onchange: (event) => { asked.legs = event.target.checked ? 'yes' : 'no'; } });
    replace(options,
      field(w('date'), { name: 'date', value: asked.date, oninput: keep('date') }, w('date-hint')).element,
      field(w('tolerance'), { as: 'select', name: 'tolerance', value: asked.tolerance, onchange: keep('tolerance'), options: [['', w('tolerance-half', { size: fixed(Number(compass().graduation) / 2, decimalsOf(Number(compass().graduation) / 2)) })], ...['1', '2', '3', '5'].filter((one) => Number(one) >= Number(compass().graduation) / 2).map((one) => [one, `${one}°`])] }, w('tolerance-hint')).element,
      type === 'gpx' ? field(w('gpx_part'), { as: 'select', name: 'gpx_part', value: asked.gpx_part, onchange: keep('gpx_part'), options: [['', w('gpx-any')], ...['waypoints', 'route', 'track'].map((one) => [one, w(`gpx-${one}`)])] }).element : null,
      h('p', { class: 'check field' }, h('label', {}, legs, w('legs'))));
  }

  const query = (more = {}) => new URLSearchParams(Object.entries({ ...asked, ...compass(), ...more }).filter(([name, value]) => value && !(name === 'legs' && value === 'no') && !(name === 'gpx_part' && type !== 'gpx'))).toString();
  const at = (answer, prefix, one) => (one[`${prefix}row`] !== null ? nameOf(answer.stops[one[`${prefix}row`] - 1], one[`${prefix}row`]) : w('km', { km: fixed(one[`${prefix}km`], 1) }));
  const leftover = (value) => (Math.abs(value) < 0.005 ? w('left-none') : w(value < 0 ? 'left-subtract' : 'left-add', { size: fixed(Math.abs(value)) }));

  function settings(answer) {
    const decimals = decimalsOf(answer.route.graduation_deg);
    if (answer.settings.length === 0) return h('p', { class: 'plainly' }, w(answer.route.circle === 'fixed' ? 'fixed' : 'no-setting'));
    return h('ol', { class: 'legs', id: 'settings' }, answer.settings.map((one, i) => h('li', { class: 'leg' },
      h('p', { class: 'leg-where' }, h('strong', {}, at(answer, 'from_', one)), h('span', {}, one.from_date)),
      h('div', {}, h('p', { class: 'leg-set' }, w(i === 0 ? 'set' : 'set-anew'), ' ', h('strong', {}, declinationText(one.set_to_deg, decimals))),
        h('p', { class: 'leg-more' }, w('turned', { turn: w(`turn-${one.turn}`), reads: one.reads_along_needle_text, wrong: one.reads_if_backwards_text })),
        h('p', { class: 'leg-more' }, w('at-most', { left: leftover(one.largest_leftover_deg) }))))));
  }

  function forAll(answer) {
    const one = answer.one_setting;
    if (!one) return null;
    const much = Math.abs(one.largest_leftover_deg) > answer.route.tolerance_deg + 1e-6;
    return h('section', { class: 'panel' }, h('h2', {}, w('one')),
      h('ol', { class: 'order-list' },
        order(w('set'), declinationText(one.set_to_deg, decimalsOf(answer.route.graduation_deg)), w('turned', { turn: w(`turn-${one.turn}`), reads: one.reads_along_needle_text, wrong: one.reads_if_backwards_text }), 'one-setting'),
        order(w('most-left'), leftover(one.largest_leftover_deg), w('most-at', { where: at(answer, 'most_left_at_', one), date: one.most_left_at_date }), 'one-left')),
      much ? h('p', { class: 'order-more' }, w('too-much', { tolerance: fixed(answer.route.tolerance_deg) })) : null);
  }

  function stopTable(answer) {
    const decimals = decimalsOf(answer.route.graduation_deg);
    return h('div', { class: 'scroll', tabindex: '0', role: 'region', 'aria-label': w('stops') }, h('table', { class: 'rows' },
      h('thead', {}, h('tr', {}, ['stop', 'day', 'along', 'declination', 'set-to', 'left', 'needle'].map((name) => h('th', { scope: 'col' }, w(name))))),
      h('tbody', {}, answer.stops.map((stop, i) => (stop.status === 'refused'
        ? h('tr', { class: 'row-refused' }, h('th', { scope: 'row' }, nameOf(stop, i + 1)), h('td', { colspan: '6' }, w('refused'), ' · ', h('span', { lang: 'en' }, stop.remark)))
        : h('tr', {}, h('th', { scope: 'row' }, nameOf(stop, i + 1)), h('td', { class: 'no-wrap' }, stop.date_used), h('td', {}, fixed(stop.km, 1)),
          h('td', { class: 'row-true' }, declinationText(stop.declination)),
          h('td', { class: 'no-wrap' }, stop.set_to === null ? '–' : declinationText(stop.set_to, decimals), stop.set_anew === 'yes' ? h('strong', {}, ` ${w('anew')}`) : null),
          h('td', {}, stop.leftover === null ? '–' : leftover(stop.leftover)), h('td', {}, w(`needle-${stop.needle}`))))))));
  }

  function show(answer) {
    const { route } = answer;
    const refused = answer.stops.map((stop, i) => [stop, i + 1]).filter(([stop]) => stop.status === 'refused');
    const zones = answer.needle_zones.map((zone) => h('li', {}, w(`zone-${zone.needle}`, { from: at(answer, 'from_', zone), to: at(answer, 'to_', zone) })));
    const plot = h('div', { class: 'profile-holder' });
    const stopName = (row) => nameOf(answer.stops[row - 1], row);
    replace(result,
      h('p', { class: 'plainly', role: 'status', id: 'done' }, w(route.refused ? 'done-refused' : 'done', { stops: route.stops - route.refused, refused: route.refused, km: fixed(route.length_km, 0), low: declinationText(route.declination_low_deg), high: declinationText(route.declination_high_deg) })),
      refused.length ? h('section', { class: 'problem', id: 'refused' }, h('h2', {}, w('refused-stops')), h('ul', {}, refused.map(([stop, row]) => h('li', {}, h('strong', {}, nameOf(stop, row)), ': ', h('span', { lang: 'en' }, stop.remark))))) : null,
      zones.length ? h('section', { class: 'panel warn' }, h('h2', {}, w('zones')), h('ul', {}, zones)) : null,
      h('section', { class: 'panel' }, h('h2', {}, w('where')), answer.settings.length === 1 ? h('p', {}, w('once')) : null, settings(answer)),
      forAll(answer),
      h('section', { class: 'panel' }, h('h2', {}, w('profile')), plot, h('p', { class: 'hint' }, w('profile-hint'))),
      h('h2', {}, w('stops')), stopTable(answer),
      h('div', { class: 'buttons' },
        h('a', { class: 'button main', href: '#/card', id: 'card', onclick: () => sheet.of({ type: TYPES[type], body: text, query: query() }) }, w('card')),
        save('csv', 'text/csv'), save('svg', 'image/svg+xml'),
        h('button', { type: 'button', class: 'button', onclick: () => download('route.json', 'application/json', JSON.stringify(answer, null, 2)) }, 'JSON')),
      h('details', { class: 'panel fold' }, h('summary', {}, w('notes')), h('ul', { lang: 'en' }, answer.notes.map((note) => h('li', {}, note.text ?? String(note))))),
      h('details', { class: 'panel fold' }, h('summary', {}, w('words')), h('pre', { class: 'report', lang: 'en', tabindex: '0' }, answer.instructions)),
      h('p', { class: 'provenance' }, w('sure', { sigma: fixed(route.declination_sigma_largest_deg), half: fixed(route.declination_95_largest_deg, 1), model: route.model })));
    const title = w('profile-title', { low: declinationText(route.declination_low_deg), high: declinationText(route.declination_high_deg), km: fixed(route.length_km, 0) });
    replace(plot, profile(answer, { width: plot.clientWidth || 340, title, stopName, along: w('along-axis', { km: fixed(route.length_km, 0) }) }));
  }
  const save = (ending, kind) => h('button', {
    type: 'button', class: 'button', id: `save-${ending}`, onclick: async () => {
      const answer = await ask('POST', `/v1/route?${query({ f: ending })}`, { body: text, headers: { 'Content-Type': TYPES[type] } });
      if (answer.ok) download(`route.${ending}`, kind, answer.body);
      else replace(result, problemBox(answer.problem));
    },
  }, w(`save-${ending}`));

  let number = 0;
  async function run() {
    const turn = ++number;
    if (!text.trim()) { replace(result, problemBox({ message: w('needs') })); return; }
    replace(result, h('p', { role: 'status' }, w('working')));
    const answer = await ask('POST', `/v1/route?${query({ f: 'json' })}`, { body: text, headers: { 'Content-Type': TYPES[type] } });
    if (turn !== number) return;
    if (answer.ok) show(answer.body); else replace(result, problemBox(answer.problem));
  }
  const take = (content) => {
    if (content === text) return;
    text = content;
    const now = content.trim() ? typeOf(content) : 'csv';
    if (now !== type) { type = now; showOptions(); }
    number += 1;
    replace(result);
  };
  const box = fileBox({ label: w('paste'), hint: w('paste-hint'), choose: w('choose'), accept: '.csv,.tsv,.txt,.gpx,.json,.geojson', take });
  // At once, so that a quick press of the button finds what was just typed.
  box.area.addEventListener('input', () => take(box.area.value));
  box.element.querySelector('.buttons').append(h('button', { type: 'button', class: 'button', id: 'example', onclick: () => box.put(EXAMPLE) }, w('example')));
  showOptions();
  main.append(h('p', { class: 'lead' }, w('intro')), box.element, options, h('p', { class: 'hint' }, w('compass', compass()), ' ', w('sent', { origin: location.host })),
    h('div', { class: 'buttons' }, h('button', { type: 'button', class: 'button main', id: 'run', onclick: run }, w('run'))), result);
  return () => { number += 1; };
}
