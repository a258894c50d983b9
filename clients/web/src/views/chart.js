// The world, or a part of it, with its isogonic lines at any date from 1590 to 2030, worked out on the device.
import { download, field, h, replace } from '../lib/dom.js';
import { declination, declinationText, fixed } from '../lib/format.js';
import { words } from '../lib/language.js';
import { call, today, watch } from '../lib/model.js';
import { colours, drawGround, drawLabels, drawLines, drawMark, drawNames, drawZones, unpack } from '../lib/isolines.js';
import { shores } from '../lib/shores.js';
import { here, remember, remembered } from '../lib/state.js';
import { problemBox } from '../lib/problem.js';
import { touch } from '../lib/touch.js';
import { turned, Window } from '../lib/window.js';
import table from '../words/chart.js';

const FIRST = 1590;
const LAST = 2030;
// The models that answer, and their joins.
const SPANS = [['gufm1', 1590, 1900], ['igrf14', 1900, 2025], ['wmm2025', 2025, 2030]];
const QUANTITIES = ['declination', 'declination_change', 'horizontal', 'inclination', 'declination_sigma', 'declination_95'];
const YEARS_A_SECOND = 14;
const FINE_FROM = 3;

// The chart as it was left, for as long as the tab lives.
const state = { year: 0, quantity: 'declination', view: new Window(), placed: false };
const thisYear = () => {
  const now = new Date();
  const begin = Date.UTC(now.getUTCFullYear(), 0, 1);
  return now.getUTCFullYear() + (now - begin) / (Date.UTC(now.getUTCFullYear() + 1, 0, 1) - begin);
};
const still = () => matchMedia('(prefers-reduced-motion: reduce)').matches;
/** As a lookup takes it: year 0 stands for today. */
const dateOf = (year) => (year === 0 ? 'today' : year.toFixed(Number.isInteger(year) ? 1 : 3));
const shownYear = (year) => Math.floor(year || thisYear());

// Styles are set as properties: the page allows none in its markup.
const grown = (element, by) => { element.style.flexGrow = String(by); return element; };
const moved = (element, part) => { element.style.left = `${part * 100}%`; return element; };

export default function chartView(main) {
  const w = words(table);
  const { view } = state;
  let ended = false;
  let chart = null;
  let kept = { box: null, quantity: '', interval: '' };
  let rings = [];
  let moving = false;
  let mark = remembered() ?? null;

  // What is drawn.
  const canvas = h('canvas', { class: 'chart-canvas', id: 'chart', tabindex: '0', role: 'application', 'aria-label': w('canvas', { quantity: w(state.quantity) }), 'aria-describedby': 'chart-state' });
  const pen = canvas.getContext('2d');
  let colour = null;
  let ground = null;
  let groundFor = '';
  const paper = document.createElement('canvas');
  function draw() {
    if (ended || !view.width) return;
    const ratio = Math.min(3, devicePixelRatio || 1);
    colour = colours(canvas);
    const want = [view.lon, view.lat, view.zoom, view.width, view.height, ratio, colour.sea, colour.ink, rings.length].join();
    if (want !== groundFor) {
      paper.width = Math.round(view.width * ratio);
      paper.height = Math.round(view.height * ratio);
      const under = paper.getContext('2d');
      under.setTransform(ratio, 0, 0, ratio, 0, 0);
      ground = drawGround(under, view, rings, colour);
      groundFor = want;
    }
    if (canvas.width !== paper.width || canvas.height !== paper.height) {
      canvas.width = paper.width;
      canvas.height = paper.height;
    }
    pen.setTransform(1, 0, 0, 1, 0, 0);
    pen.drawImage(paper, 0, 0);
    pen.setTransform(ratio, 0, 0, ratio, 0, 0);
    pen.save();
    pen.beginPath();
    pen.rect(0, ground.top, view.width, ground.bottom - ground.top);
    pen.clip();
    const taken = [];
    if (chart) {
      drawZones(pen, view, chart, colour);
      drawLines(pen, view, chart, colour);
      drawLabels(pen, view, chart, colour, chart.quantity === 'declination' ? w('agonic-label') : '', taken);
    }
    drawNames(pen, view, ground, colour, taken);
    if (mark) drawMark(pen, view, mark, colour);
    pen.restore();
    canvas.style.touchAction = view.degreesHigh >= 179 ? 'pan-y' : 'none';
  }
  let wanted = false;
  function drawSoon() {
    if (wanted) return;
    wanted = true;
    requestAnimationFrame(() => { wanted = false; draw(); });
  }

  // What it is drawn from: one call at a time, always for what is wanted last.
  let asking = false;
  let again = false;
  async function ask() {
    if (asking) { again = true; return; }
    asking = true;
    do {
      again = false;
      const box = view.bbox();
      const parameters = { date: dateOf(state.year), quantity: state.quantity, ...(box ? { bbox: box } : {}) };
      // While the date moves the lines keep their interval, and the grid of the world may be coarser.
      if (kept.box === box && kept.quantity === state.quantity && kept.interval) parameters.interval = String(kept.interval);
      const rough = moving && !box;
      if (rough) parameters.step_deg = '3';
      let answer;
      try { answer = await call('chart', { parameters }); } catch (error) { answer = { problem: { message: error.message } }; }
      if (ended) return;
      if (answer.problem) {
        replace(problem, problemBox(answer.problem));
      } else {
        replace(problem);
        chart = unpack(answer);
        kept = { box, quantity: state.quantity, interval: answer.interval };
        canvas.dataset.year = String(answer.decimal_year);
        canvas.dataset.model = answer.model;
        canvas.dataset.lines = String(answer.levels.reduce((sum, { lines }) => sum + lines.length, 0));
        tell();
        draw();
      }
      if (rough && !moving) again = true;
    } while (again);
    asking = false;
    if (!moving) lookUp();
  }
  let settling;
  function viewChanged() {
    drawSoon();
    buttonsOfZoom();
    clearTimeout(settling);
    settling = setTimeout(ask, 140);
    shores(view.zoom > FINE_FROM ? 'fine' : 'coarse').then((found) => {
      if (ended || found === rings || found.length === 0) return;
      rings = found;
      groundFor = '';
      drawSoon();
    });
  }

  // The value at the mark.
  const value = h('section', { class: 'chart-value', id: 'chart-value', role: 'status', hidden: true });
  const placeText = () => { const d = view.zoom > 8 ? 3 : view.zoom > FINE_FROM ? 2 : 1; return `${fixed(mark.lat, d)} ${fixed(turned(mark.lon), d)}`; };
  let lookedUp = 0;
  async function lookUp() {
    if (!mark) return;
    const turn = ++lookedUp;
    const place = placeText();
    const answer = await call('declination', { parameters: { place, date: dateOf(state.year) } });
    if (ended || turn !== lookedUp) return;
    value.hidden = false;
    if (answer.problem) { replace(value, problemBox(answer.problem)); return; }
    const { size, side, signed } = declination(answer.declination_deg);
    const also = {
      declination: () => w('also-sigma', { sigma: fixed(answer.declination_sigma_deg), half: fixed(answer.declination_95_deg, 1) }),
      declination_change: () => w('also-change', { value: declinationText(answer.declination_change_deg_per_year, 3) }),
      horizontal: () => w('also-h', { value: Math.round(answer.horizontal_nt) }),
      inclination: () => w('also-i', { value: fixed(answer.inclination_deg, 1) }),
    };
    replace(value,
      h('p', { class: 'chart-value-number' }, h('strong', {}, size, side ? ` ${side}` : ''), ' ', h('span', {}, signed)),
      h('p', {}, w('at', { place, when: state.year ? String(Math.floor(state.year)) : w('today') }), ' · ',
        (also[state.quantity] ?? also.declination)(), ' · ', w(`needle-${answer.needle}`)),
      h('a', { class: 'button main', href: '#/answer', id: 'take', onclick: () => { remember(answer); here.set({ place, date: dateOf(state.year), until: '', letters: '', date_order: '' }); } }, w('take')));
  }
  async function setMark(place) {
    mark = { lat: Math.max(-90, Math.min(90, place.lat)), lon: turned(place.lon) };
    drawSoon();
    await lookUp();
    if (!ended) value.scrollIntoView({ block: 'nearest' });
  }

  // What is seen, in words.
  const stateLine = h('p', { class: 'chart-state', id: 'chart-state' });
  const problem = h('div', {});
  const notes = h('div', { class: 'chart-notes' });
  const numeral = h('span', { class: 'chart-year', 'aria-hidden': 'true' });
  const modelName = h('span', { class: 'chart-model' });
  const span = (range) => (range ? (fixed(range[0], 1) === fixed(range[1], 1) ? fixed(range[0], 1) : w('to', { low: fixed(range[0], 1), high: fixed(range[1], 1) })) : '');
  function tell() {
    const unit = state.quantity === 'horizontal' ? ' nT' : state.quantity === 'declination_change' ? w('a-year') : '°';
    stateLine.textContent = w('state', { lines: w(`lines-${state.quantity}`), interval: `${chart.interval}${unit}` });
    const seam = chart.neighbour ? h('p', { class: 'chart-seam' }, w('seam', { model: chart.model, neighbour: chart.neighbour, year: Math.round(chart.seam_year) })) : null;
    replace(notes, seam,
      chart.decimal_year < 1900 ? h('p', {}, w('early')) : null,
      chart.sigma_deg ? h('p', {}, w('sure', { sigma: span(chart.sigma_deg), half: span(chart.half_width_95_deg) })) : h('p', {}, w('nowhere')));
    showYear();
  }
  function showYear() {
    const year = shownYear(state.year);
    const at = state.year || thisYear();
    const model = (SPANS.find(([, from, to]) => at >= from && at < to) ?? SPANS[2])[0];
    numeral.textContent = state.year ? String(year) : w('today');
    modelName.textContent = w('by-model', { model });
    slider.value = String(year);
    slider.setAttribute('aria-valuetext', w('slider-at', { year: state.year ? String(year) : w('today'), model }));
    nowButton.setAttribute('aria-pressed', String(state.year === 0));
    canvas.setAttribute('aria-label', w('canvas', { quantity: w(state.quantity) }));
  }

  // The date.
  function goTo(year, { playing = false } = {}) {
    if (!playing) stop();
    state.year = year === 0 ? 0 : Math.max(FIRST, Math.min(LAST, year));
    showYear();
    ask();
  }
  let sliding;
  const slider = h('input', {
    type: 'range', class: 'chart-slider', id: 'year', min: String(FIRST), max: String(LAST), step: '1', 'aria-label': w('year'),
    oninput: () => {
      moving = true;
      clearTimeout(sliding);
      sliding = setTimeout(() => { moving = false; ask(); }, 250);
      goTo(Number(slider.value));
    },
    onkeydown: (event) => {
      const step = { PageUp: 25, PageDown: -25 }[event.key];
      if (!step) return;
      event.preventDefault();
      goTo(Math.round(shownYear(state.year) + step));
    },
  });
  const nowButton = h('button', { type: 'button', class: 'choice', id: 'now', 'aria-pressed': 'false', onclick: () => goTo(0) }, w('today'));
  let playing = null;
  const play = h('button', { type: 'button', class: 'button', id: 'play', onclick: () => (playing ? stop() : start()) });
  const showPlay = () => replace(play, h('span', { 'aria-hidden': 'true' }, playing ? '❚❚ ' : '► '), w(playing ? 'pause' : still() ? 'step' : 'play'));
  function stop() {
    if (!playing) return;
    playing();
    playing = null;
    moving = false;
    if (state.year) state.year = Math.floor(state.year);
    showPlay();
    ask();
  }
  function start() {
    if (!state.year || state.year >= LAST - 1) state.year = FIRST;
    moving = true;
    if (still()) {
      // Without motion: one picture after the other, each long enough to be looked at.
      const timer = setInterval(() => {
        if (state.year >= LAST) { stop(); return; }
        goTo(Math.min(LAST, Math.floor(state.year / 20) * 20 + 20), { playing: true });
      }, 2000);
      playing = () => clearInterval(timer);
    } else {
      let last = performance.now();
      let frame = 0;
      const tick = (now) => {
        const year = state.year + (Math.min(250, now - last) / 1000) * YEARS_A_SECOND;
        last = now;
        if (year >= LAST) { state.year = LAST; stop(); return; }
        if (!asking) goTo(year, { playing: true }); else state.year = year;
        frame = requestAnimationFrame(tick);
      };
      frame = requestAnimationFrame(tick);
      playing = () => cancelAnimationFrame(frame);
    }
    showPlay();
  }

  // The window.
  const zoomBy = (factor) => () => {
    const from = mark && factor > 1 ? [view.x(mark.lon), view.y(mark.lat)] : [];
    const inside = from.length && from[0] > 0 && from[0] < view.width && from[1] > 0 && from[1] < view.height;
    view.zoomAt(inside ? from[0] : view.width / 2, inside ? from[1] : view.height / 2, factor);
    viewChanged();
  };
  const button = (id, sign, label, action) => h('button', { type: 'button', class: 'button chart-button', id, 'aria-label': label, title: label, onclick: action }, h('span', { 'aria-hidden': 'true' }, sign));
  const nearer = button('nearer', '+', w('nearer'), zoomBy(2));
  const farther = button('farther', '−', w('farther'), zoomBy(0.5));
  const whole = button('whole', '◯', w('whole'), () => { view.zoom = 1; view.lat = 0; view.settle(); viewChanged(); });
  function buttonsOfZoom() {
    farther.disabled = view.zoom <= 1;
    whole.disabled = view.zoom <= 1;
  }
  const step = (dx, dy) => (event) => {
    const size = (event.shiftKey ? 10 : 1) * Math.min(1, 4 / view.zoom);
    setMark({ lat: (mark?.lat ?? view.lat) + dy * size, lon: (mark?.lon ?? view.lon) + dx * size });
    const [x, y] = [view.x(mark.lon), view.y(mark.lat)];
    if (x < 20 || x > view.width - 20 || y < 20 || y > view.height - 20) { view.lon = mark.lon; view.lat = mark.lat; view.settle(); viewChanged(); }
  };
  touch(canvas, {
    view, changed: viewChanged, tapped: ({ x, y }) => setMark(view.place(x, y)),
    keys: {
      ArrowUp: step(0, 1), ArrowDown: step(0, -1), ArrowLeft: step(-1, 0), ArrowRight: step(1, 0), '+': zoomBy(2), '-': zoomBy(0.5),
      Enter: () => document.getElementById('take')?.click(),
    },
  });
  const frame = h('div', { class: 'chart-frame' }, canvas, h('div', { class: 'chart-zoom' }, nearer, farther, whole));
  const sized = new ResizeObserver(() => {
    const { clientWidth, clientHeight } = canvas;
    if (!clientWidth || !clientHeight || (clientWidth === view.width && clientHeight === view.height && state.placed)) return;
    view.resize(clientWidth, clientHeight);
    if (!state.placed) {
      // First filled from pole to pole, about the place at hand.
      state.placed = true;
      view.zoom = view.filled;
      view.lon = mark?.lon ?? (view.filled > 1 ? -20 : 0);
      view.settle();
    }
    viewChanged();
  });
  sized.observe(canvas);

  // What goes out.
  const said = h('p', { class: 'said', role: 'status' });
  const fileName = (ending) => `${state.quantity}-${state.year ? Math.floor(state.year) : today()}.${ending}`;
  const fromService = (ending, type) => h('button', {
    type: 'button', class: 'button', id: `save-${ending}`, onclick: async () => {
      said.textContent = w('asking');
      const box = view.bbox(0);
      try {
        // In a body, so that a part of the world stands in no address.
        const response = await fetch('/v1/chart', {
          method: 'POST', cache: 'no-store', headers: { 'Content-Type': 'application/json', Accept: type },
          body: JSON.stringify({ date: dateOf(state.year), quantity: state.quantity, f: ending, ...(box ? { bbox: box } : {}) }),
        });
        if (!response.ok) { said.textContent = (await response.json()).detail ?? `${response.status}`; return; }
        download(fileName(ending), type, await response.blob());
        said.textContent = '';
      } catch { said.textContent = w('needs-service'); }
    },
  }, w(`save-${ending}`));
  const quantity = field(w('quantity'), {
    as: 'select', value: state.quantity, name: 'quantity', options: QUANTITIES.map((one) => [one, w(one)]),
    onchange: (event) => { state.quantity = event.target.value; showYear(); ask(); drawLegend(); },
  });
  const legend = h('ul', { class: 'chart-legend' });
  function drawLegend() {
    const sided = state.quantity === 'declination' || state.quantity === 'declination_change';
    const key = (kind, text) => h('li', {}, h('span', { class: `chart-key chart-key-${kind}`, 'aria-hidden': 'true' }), text);
    replace(legend, sided
      ? [key('zero', w(state.quantity === 'declination' ? 'key-zero' : 'key-zero-change')), key('east', w('key-east')), key('west', w('key-west'))]
      : [key('plain', w(`lines-${state.quantity}`))],
    key('caution', w('key-caution')), key('unusable', w('key-unusable')));
  }
  const bar = h('div', { class: 'chart-spans', 'aria-hidden': 'true' }, SPANS.map(([id, from, to]) =>
    grown(h('span', { class: `chart-span chart-span-${id}` }, to - from > 50 ? id : ''), to - from)));
  main.append(
    h('div', { class: 'chart-head' }, quantity.element, stateLine),
    problem, frame,
    h('section', { class: 'chart-time', 'aria-label': w('time') },
      h('p', { class: 'chart-when' }, numeral, modelName),
      slider, bar, h('div', { class: 'chart-ends', 'aria-hidden': 'true' }, [1590, 1700, 1800, 1900, 2030].map((year) => moved(h('span', {}, String(year)), (year - FIRST) / (LAST - FIRST)))),
      h('div', { class: 'buttons' }, play, nowButton)),
    value,
    legend, notes,
    h('details', { class: 'panel fold' }, h('summary', {}, w('models')), h('p', {}, w('models-more'))),
    h('section', { class: 'panel' }, h('h2', {}, w('save')), h('div', { class: 'buttons' }, fromService('svg', 'image/svg+xml'), fromService('png', 'image/png'),
      h('button', { type: 'button', class: 'button', id: 'save-seen', onclick: () => canvas.toBlob((blob) => blob && download(fileName('png'), 'image/png', blob)) }, w('save-seen'))), said, h('p', { class: 'hint' }, w('save-hint'))));

  drawLegend();
  showPlay();
  showYear();
  buttonsOfZoom();
  const stopWatch = watch((event) => { if (event === 'more') ask(); });
  const dark = matchMedia('(prefers-color-scheme: dark)');
  dark.addEventListener('change', drawSoon);
  ask();
  return () => {
    playing?.();
    ended = true;
    stopWatch();
    sized.disconnect();
    dark.removeEventListener('change', drawSoon);
    clearTimeout(settling);
    clearTimeout(sliding);
  };
}
