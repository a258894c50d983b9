// The circle as it looks once it is set, sighting along the needle: the needle stands upright, the circle is turned.
import { s } from './dom.js';
import { azimuth } from './format.js';

const CENTRE = 160;
const OUTSIDE = 166;
const at = (angle, radius) => {
  const turned = (angle * Math.PI) / 180;
  return [CENTRE + radius * Math.sin(turned), CENTRE - radius * Math.cos(turned)];
};
const line = (angle, from, to, properties) => {
  const [x1, y1] = at(angle, from);
  const [x2, y2] = at(angle, to);
  return s('line', { x1, y1, x2, y2, ...properties });
};
const quadrant = (figure) => (figure <= 90 ? figure : figure <= 180 ? 180 - figure : figure <= 270 ? figure - 180 : 360 - figure);

/**
 * @param answer of the setting; its east_turn tells which way the figures run: a circle that turns clockwise for east
 *   is read where the needle points, and its figures run against the clock
 * @param title what the drawing says, in words
 */
export function dial(answer, title) {
  const against = answer.east_turn !== 'counterclockwise';
  const quarters = answer.circle === 'quadrant';
  const turned = answer.circle === 'fixed' ? 0 : (answer.set_to_deg ?? 0) * (against ? 1 : -1);
  const where = (figure) => (against ? -figure : figure) + turned;
  const ring = s('g', { class: 'dial-ring' });
  for (let figure = 0; figure < 360; figure += 2) {
    const length = figure % 10 === 0 ? 14 : 7;
    ring.append(line(where(figure), 140 - length, 140, { class: figure % 10 === 0 ? 'tick tick-long' : 'tick' }));
  }
  const letters = { 0: 'N', 90: 'E', 180: 'S', 270: 'W' };
  for (let figure = 0; figure < 360; figure += 30) {
    const angle = where(figure);
    const letter = letters[figure];
    const [x, y] = at(angle, letter ? 104 : 112);
    ring.append(s('text', {
      x, y, class: letter ? 'dial-letter' : 'dial-figure', transform: `rotate(${angle} ${x} ${y})`,
      'text-anchor': 'middle', 'dominant-baseline': 'central',
    }, letter ?? String(quarters ? quadrant(figure) : figure)));
  }
  const drawing = s('svg', { viewBox: '-22 -22 364 364', role: 'img', class: 'dial', 'aria-label': title }, s('title', {}, title));
  drawing.append(
    s('circle', { cx: CENTRE, cy: CENTRE, r: 152, class: 'dial-body' }),
    s('circle', { cx: CENTRE, cy: CENTRE, r: 141, class: 'dial-face' }),
    ring,
    s('circle', { cx: CENTRE, cy: CENTRE, r: 84, class: 'dial-well' }),
  );
  // The way the circle went: from where its zero stood to where it stands.
  if (Math.abs(turned) >= 0.5) {
    const shown = Math.sign(turned) * Math.max(Math.abs(turned), 9);
    const [x1, y1] = at(0, OUTSIDE);
    const [x2, y2] = at(shown - Math.sign(shown) * 4, OUTSIDE);
    const head = [at(shown, OUTSIDE), at(shown - Math.sign(shown) * 7, OUTSIDE + 11), at(shown - Math.sign(shown) * 7, OUTSIDE - 11)];
    drawing.append(
      line(0, OUTSIDE - 9, OUTSIDE + 9, { class: 'dial-turn' }),
      s('path', { d: `M${x1} ${y1} A${OUTSIDE} ${OUTSIDE} 0 ${Math.abs(shown) > 184 ? 1 : 0} ${turned > 0 ? 1 : 0} ${x2} ${y2}`, class: 'dial-turn' }),
      s('polygon', { points: head.map((point) => point.join(',')).join(' '), class: 'dial-turn-head' }),
      line(where(0), 118, 152, { class: 'dial-zero' }),
    );
  }
  drawing.append(
    s('polygon', { points: `${CENTRE},34 ${CENTRE + 10},${CENTRE} ${CENTRE - 10},${CENTRE}`, class: 'dial-needle' }),
    s('polygon', { points: `${CENTRE},286 ${CENTRE + 10},${CENTRE} ${CENTRE - 10},${CENTRE}`, class: 'dial-tail' }),
    s('circle', { cx: CENTRE, cy: CENTRE, r: 7, class: 'dial-pin' }),
  );
  drawing.dataset.reads = azimuth(answer.reads_along_needle_deg ?? 0);
  return drawing;
}
