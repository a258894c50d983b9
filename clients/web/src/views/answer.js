// Declination at a place and date, what to set, which way to turn, what to read along the needle.
import { field, h, replace } from '../lib/dom.js';
import { azimuth, declination, declinationText, decimalsOf, fixed } from '../lib/format.js';
import { words } from '../lib/language.js';
import { call, watch } from '../lib/model.js';
import { dial } from '../lib/dial.js';
import { norths } from '../lib/norths.js';
import { here, linkTo, remember } from '../lib/state.js';
import { preferences } from '../lib/preferences.js';
import { parameters, settle, whereForm } from '../lib/where.js';
import { sheet } from '../lib/sheet.js';
import { problemBox } from '../lib/problem.js';
import table from '../words/answer.js';

const compass = () => ({ graduation: '1', circle: 'azimuth', east_turn: 'clockwise', ...preferences.get('compass') });

function headline(answer, w) {
  const { size, side, signed } = declination(answer.declination_deg);
  const change = answer.declination_change_deg_per_year;
  const way = Math.abs(change) < 0.005 ? '0' : change < 0 ? 'W' : 'E';
  return h('section', { class: 'headline', 'aria-live': 'polite' },
    h('p', { class: 'kicker' }, w('declination')),
    h('p', { class: 'numeral', id: 'declination' },
      h('span', { class: 'numeral-size' }, size), ' ', side ? h('span', { class: 'numeral-side' }, side) : null, ' ',
      h('span', { class: 'numeral-signed' }, signed)),
    h('p', { class: 'plainly' }, w(`side-${side || 'none'}`)),
    h('ul', { class: 'facts' },
      h('li', {}, w('sigma', { size: fixed(answer.declination_sigma_deg) })),
      h('li', {}, w('sigma-95', { size: fixed(answer.declination_95_deg, 1) })),
      h('li', {}, w(`change-${way}`, { size: fixed(Math.abs(change)) }))),
    h('p', { class: `needle needle-${answer.needle}` }, h('strong', {}, w('needle')), ' ', w(`needle-${answer.needle}`)));
}

function orders(answer, w) {
  const decimals = decimalsOf(answer.graduation_deg);
  const size = (value) => fixed(Math.abs(value), Math.min(decimals + 2, 3));
  const steps = [];
  if (answer.circle === 'fixed') {
    const d = answer.declination_deg;
    steps.push(h('li', { class: 'order' }, h('span', { class: 'order-what' }, w('fixed')),
      h('strong', { class: 'order-value' }, w(d < 0 ? 'fixed-subtract' : 'fixed-add', { size: `${fixed(Math.abs(d))}°` }))));
  } else if (answer.set_to_deg === 0) {
    steps.push(h('li', { class: 'order' }, h('span', { class: 'order-what' }, w('set')), h('strong', { class: 'order-value' }, w('set-none'))));
  } else {
    steps.push(
      h('li', { class: 'order' }, h('span', { class: 'order-what' }, w('set')),
        h('strong', { class: 'order-value', id: 'set-to' }, declinationText(answer.set_to_deg, decimals))),
      h('li', { class: 'order' }, h('span', { class: 'order-what' }, w('turn')),
        h('strong', { class: 'order-value', id: 'turn' }, h('span', { 'aria-hidden': 'true' }, answer.turn === 'clockwise' ? '↻ ' : '↺ '), w(`turn-${answer.turn}`))),
      h('li', { class: 'order' }, h('span', { class: 'order-what' }, w('check')),
        h('strong', { class: 'order-value', id: 'reads' }, answer.reads_along_needle_text),
        h('span', { class: 'order-more' }, w('check-wrong', { wrong: answer.reads_if_backwards_text }))));
  }
  const notes = [];
  if (answer.circle !== 'fixed' && Number(size(answer.leftover_deg)) !== 0)
    notes.push(h('p', {}, w(answer.leftover_deg < 0 ? 'leftover-subtract' : 'leftover-add', { size: size(answer.leftover_deg) })));
  if (answer.until) notes.push(h('p', {}, w('period-leftover', { size: size(answer.largest_leftover_deg) })));
  return h('section', { class: 'orders' },
    h('div', { class: 'dial-holder' }, answer.circle === 'fixed' ? null
      : dial(answer, w('dial-title', { reads: answer.reads_along_needle_text }))),
    h('ol', { class: 'order-list' }, steps,
      h('li', { class: 'order order-until' },
        h('strong', { class: 'order-value', id: 'holds' }, answer.holds_until
          ? w(answer.holds_to_the_end_of_the_models ? 'holds-end' : 'holds', { date: answer.holds_until }) : w('holds-not')),
        answer.holds_until ? h('span', { class: 'order-more' }, w('holds-more')) : null)),
    h('div', { class: 'notes' }, notes));
}

function details(answer, w) {
  const lines = [h('p', {}, w('needle-more', {
    h: Math.round(answer.horizontal_nt), i: fixed(answer.inclination_deg, 1),
    tilt: answer.tilt_error_deg_per_deg >= 1e6 ? '∞' : fixed(answer.tilt_error_deg_per_deg, 1),
  }))];
  if (answer.convergence_deg !== null)
    lines.push(h('p', {}, w('grid-line', { grid: answer.grid, size: declinationText(answer.convergence_deg) })),
      h('p', { id: 'grid-magnetic' }, w('grid-magnetic', { size: declinationText(answer.grid_to_magnetic_deg) })));
  return h('section', { class: 'panel' },
    h('h2', {}, w('norths')), norths(answer, w), lines,
    h('p', { class: 'provenance' }, w('model-line', {
      model: answer.model, from: answer.model_valid_from, to: answer.model_valid_to, date: answer.date,
      place: `${fixed(answer.lat_deg, 4)} ${fixed(answer.lon_deg, 4)}`,
    })),
    h('details', {}, h('summary', {}, w('basis')), h('p', { lang: 'en' }, answer.sigma_basis)));
}

const notices = (answer, w) => (answer.warnings?.length
  ? h('section', { class: 'panel warn' }, h('h2', {}, w('notices')), h('ul', {}, answer.warnings.map((text) => h('li', { lang: 'en' }, text))))
  : null);

function compassForm(w, ask) {
  const now = compass();
  const keep = (name) => (event) => {
    preferences.set('compass', { ...compass(), [name]: event.target.value });
    ask();
  };
  return h('details', { class: 'panel fold' }, h('summary', {}, w('compass')),
    field(w('graduation'), { as: 'select', value: now.graduation, onchange: keep('graduation'), options: ['0.25', '0.5', '1', '2', '5'].map((g) => [g, `${g}°`]) }).element,
    field(w('circle'), { as: 'select', value: now.circle, onchange: keep('circle'), options: ['azimuth', 'quadrant', 'fixed'].map((c) => [c, w(`circle-${c}`)]) }).element,
    field(w('east-turn'), { as: 'select', value: now.east_turn, onchange: keep('east_turn'), options: ['clockwise', 'counterclockwise'].map((t) => [t, w(`turn-${t}`)]) }).element);
}

/** A grid that only the service knows is asked of it, in a body, so that the place stands in no address. */
async function askSetting(input) {
  const answer = await call('setting', input);
  if (answer.problem?.code !== 'grid-unknown') return answer;
  try {
    const response = await fetch('/v1/setting', {
      method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(input.parameters),
    });
    const told = await response.json();
    return response.ok ? told : { problem: told };
  } catch {
    return answer;
  }
}

export default function answerView(main) {
  const w = words(table);
  const result = h('div', { class: 'result', id: 'result' });
  let number = 0;
  let forced = '';
  async function ask() {
    const turn = ++number;
    const now = here.get();
    if (!now.place.trim()) {
      replace(result, h('section', { class: 'welcome' },
        dial({ circle: 'azimuth', east_turn: 'clockwise', set_to_deg: 0, reads_along_needle_deg: 0 }, w('place-first')),
        h('div', {}, h('p', { class: 'plainly' }, w('place-first')), h('p', {}, w('place-first-more')))));
      return;
    }
    const input = { parameters: { ...parameters(now), ...compass(), ...(now.until.trim() ? { until: now.until } : {}) } };
    if (forced === now.place) input.parameters.force_unusable = 'yes';
    let answer = await askSetting(input);
    let refused = null;
    if (answer.problem?.code === 'needle-unusable') {
      refused = answer.problem;
      answer = await call('declination', { parameters: parameters(now) });
    }
    if (turn !== number) return;
    if (answer.problem) {
      replace(result, problemBox(answer.problem, settle(answer.problem)));
      return;
    }
    remember(answer);
    const buttons = h('div', { class: 'buttons tail' },
      h('a', { class: 'button main', href: '#/card', id: 'card', onclick: () => sheet.of(null) }, w('card')),
      h('button', { type: 'button', class: 'button', onclick: () => print() }, w('print')),
      h('button', {
        type: 'button', class: 'button', onclick: async (event) => {
          const link = linkTo('answer', here.get());
          try { await navigator.clipboard.writeText(link); } catch { prompt('', link); }
          event.target.nextSibling.textContent = w('link-done');
        },
      }, w('link')), h('p', { class: 'said', role: 'status' }));
    replace(result, headline(answer, w),
      refused ? problemBox(refused, h('button', { type: 'button', class: 'button', onclick: () => { forced = now.place; ask(); } }, w('force'))) : orders(answer, w),
      notices(answer, w), details(answer, w), buttons);
  }
  const form = whereForm({ until: true });
  main.append(form.element, result, compassForm(w, ask));
  const stop = here.listen(ask);
  const stopWatch = watch((event) => { if (event === 'more') ask(); });
  ask();
  return () => {
    number += 1;
    stop();
    stopWatch();
  };
}
