// Place and date, as every view that needs them asks: typed, tapped on the map, or the device's position on a tap.
import { debounce, field, h, replace } from './dom.js';
import { here, remembered } from './state.js';
import { words } from './language.js';
import { fixed } from './format.js';
import table from '../words/answer.js';

/** @param options {until: true} to ask for a period as well */
export function whereForm({ until = false } = {}) {
  const w = words(table);
  const now = here.get();
  const pending = {};
  const settleTyped = debounce(() => {
    here.set({ ...pending });
    for (const name of Object.keys(pending)) delete pending[name];
  });
  const type = (changes) => {
    Object.assign(pending, changes);
    settleTyped();
  };
  const place = field(w('place'), {
    value: now.place, name: 'place', inputmode: 'text', autocapitalize: 'off', enterkeyhint: 'go', class: 'big-input', placeholder: ' ',
    oninput: (event) => type({ place: event.target.value, letters: '' }),
  }, w('place-hint'));
  const date = field(w('date'), {
    value: now.date, name: 'date', oninput: (event) => type({ date: event.target.value, date_order: '' }),
  }, w('date-hint'));
  const last = until
    ? field(w('until'), { value: now.until, name: 'until', oninput: (event) => type({ until: event.target.value }) }, w('until-hint'))
    : null;
  const height = field(w('height'), { value: now.height_m, name: 'height_m', inputmode: 'numeric', placeholder: '0', oninput: (event) => type({ height_m: event.target.value }) });
  const grid = field(w('grid'), { value: now.crs, name: 'crs', placeholder: 'utm', oninput: (event) => type({ crs: event.target.value }) }, w('grid-hint'));
  const said = h('p', { class: 'said', role: 'status' });
  const take = (text) => {
    place.input.value = text;
    here.set({ place: text, letters: '' });
  };
  const position = h('button', {
    type: 'button', class: 'button', onclick: () => {
      const refused = () => { said.textContent = w('position-refused'); };
      if (!navigator.geolocation) return refused();
      said.textContent = w('position-asking');
      navigator.geolocation.getCurrentPosition(({ coords }) => {
        said.textContent = '';
        take(`${fixed(coords.latitude, 5)} ${fixed(coords.longitude, 5)}`);
      }, refused, { maximumAge: 60000, timeout: 20000 });
      return undefined;
    },
  }, w('position'));
  const chart = h('div', { class: 'map-holder', hidden: true });
  const open = h('button', {
    type: 'button', class: 'button', 'aria-expanded': 'false', onclick: async () => {
      chart.hidden = !chart.hidden;
      open.setAttribute('aria-expanded', String(!chart.hidden));
      if (chart.hidden) return;
      const { worldMap } = await import('./map.js');
      replace(chart, worldMap({ label: w('map-label'), said: (text) => w('map-at', { place: text }), place: remembered(), take }));
    },
  }, w('map'));
  const period = last ? h('details', { class: 'period', open: Boolean(now.until) }, h('summary', {}, w('period')), last.element) : null;
  const element = h('form', { class: 'where', onsubmit: (event) => event.preventDefault() },
    place.element, h('div', { class: 'buttons' }, position, open), said, chart, date.element, h('div', { class: 'folds' }, period,
    last ? h('details', { class: 'period', open: Boolean(now.height_m || now.crs) }, h('summary', {}, w('place-more')), height.element, grid.element) : null));
  return { element, place: place.input };
}

/** The parameters of a lookup as they stand. */
export function parameters({ place, date, height_m, letters, date_order, crs }) {
  return Object.fromEntries(Object.entries({ place, date, height_m, letters, date_order, crs }).filter(([, value]) => value));
}

/** Buttons that settle what has two meanings. */
export function settle(problem) {
  const options = problem.code === 'place-ambiguous' && /band/.test(problem.message) ? [['letters', 'band', 'S: 32-40° N'], ['letters', 'hemisphere', 'S: south']]
    : problem.code === 'place-ambiguous' ? [['letters', 'es', 'O = W'], ['letters', 'de', 'O = E']]
      : problem.code === 'date-ambiguous' ? [['date_order', 'dmy', 'dd.mm.yyyy'], ['date_order', 'mdy', 'mm/dd/yyyy'], ['date_order', 'ymd', 'yyyy-mm-dd']]
        : [];
  if (options.length === 0) return null;
  return h('div', { class: 'buttons' }, options.map(([name, value, label]) =>
    h('button', { type: 'button', class: 'button', onclick: () => here.set({ [name]: value }) }, label)));
}
