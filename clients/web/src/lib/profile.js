// The declination along a way, drawn: the line, its 1-sigma band, the settings as steps, the stops.
import { s } from './dom.js';
import { declinationText, fixed } from './format.js';

const wrap = (value) => ((((value + 180) % 360) + 360) % 360) - 180;
const STEPS = [0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 45];

/** @param options {width in pixels, title, stopName(row), axis: {along}} */
export function profile(answer, { width, title, stopName, along }) {
  const wide = Math.max(320, Math.round(width));
  const height = wide < 500 ? 300 : 340;
  const frame = { left: 64, right: wide - 14, top: 18, bottom: height - 46 };
  // Round a pole the declination goes on beyond 180: the line is drawn without a leap.
  const first = answer.along[0].declination_deg;
  let before = first;
  const points = answer.along.map((one) => {
    before += wrap(one.declination_deg - before);
    return { ...one, d: before };
  });
  const near = (value, d) => d + wrap(value - d);
  const steps = answer.settings.map((one) => {
    const at = points.reduce((best, point) => (Math.abs(point.km - one.from_km) < Math.abs(best.km - one.from_km) ? point : best));
    return { from: one.from_km, to: one.to_km, d: near(one.set_to_deg, at.d) };
  });
  const low = Math.min(...points.map((p) => p.d - p.declination_sigma_deg), ...steps.map((one) => one.d));
  const high = Math.max(...points.map((p) => p.d + p.declination_sigma_deg), ...steps.map((one) => one.d));
  const margin = Math.max(0.3, (high - low) * 0.08);
  const length = Math.max(answer.route.length_km, 1e-6);
  const x = (km) => frame.left + (km / length) * (frame.right - frame.left);
  const y = (d) => frame.bottom - ((d - low + margin) / (high - low + 2 * margin)) * (frame.bottom - frame.top);
  const pair = (a, b) => `${fixed(a, 1)} ${fixed(b, 1)}`;
  const drawing = s('svg', { viewBox: `0 0 ${wide} ${height}`, width: wide, height, role: 'img', class: 'profile', 'aria-label': title }, s('title', {}, title));
  const step = STEPS.find((one) => (high - low + 2 * margin) / one <= 6) ?? 45;
  for (let k = Math.ceil((low - margin) / step); k * step <= high + margin; k += 1) {
    const d = k * step;
    const decimals = step < 0.1 ? 2 : step < 1 ? 1 : 0;
    const written = fixed(Math.abs(wrap(d)), decimals);
    drawing.append(s('line', { x1: frame.left, x2: frame.right, y1: y(d), y2: y(d), class: Math.abs(wrap(d)) < 1e-9 ? 'profile-zero' : 'profile-net' }),
      s('text', { x: frame.left - 8, y: y(d) + 5, 'text-anchor': 'end', class: 'profile-figure' }, `${written}°${Number(written) === 0 ? '' : wrap(d) > 0 ? ' E' : ' W'}`));
  }
  // Where the needle is weak, from sample to sample.
  points.forEach((point, i) => {
    if (point.needle === 'usable' || i === 0) return;
    drawing.append(s('rect', { x: x(points[i - 1].km), width: Math.max(1, x(point.km) - x(points[i - 1].km)), y: frame.top, height: frame.bottom - frame.top, class: `profile-${point.needle}` }));
  });
  const upper = points.map((p) => pair(x(p.km), y(p.d + p.declination_sigma_deg)));
  const lower = points.map((p) => pair(x(p.km), y(p.d - p.declination_sigma_deg))).reverse();
  drawing.append(s('path', { d: `M${[...upper, ...lower].join('L')}Z`, class: 'profile-band' }));
  steps.forEach((one, i) => {
    const next = steps[i + 1];
    drawing.append(s('path', { d: `M${pair(x(one.from), y(one.d))}H${fixed(x(next ? next.from : one.to), 1)}${next ? `V${fixed(y(next.d), 1)}` : ''}`, class: 'profile-set' }));
  });
  drawing.append(s('path', { d: `M${points.map((p) => pair(x(p.km), y(p.d))).join('L')}`, class: 'profile-line' }));
  // Names stand where there is room for them; every stop has its dot.
  let free = -Infinity;
  const stops = points.filter((p) => p.row !== null);
  stops.forEach((stop, i) => {
    drawing.append(s('circle', { cx: x(stop.km), cy: y(stop.d), r: 5, class: 'profile-stop' }, s('title', {}, `${stopName(stop.row)}: ${declinationText(stop.declination_deg)}`)));
    const name = stopName(stop.row);
    const size = name.length * 8;
    const last = i === stops.length - 1;
    const anchor = i === 0 ? 'start' : last ? 'end' : 'middle';
    const from = x(stop.km) - (anchor === 'start' ? 0 : anchor === 'end' ? size : size / 2);
    if (from < free + 10 || (!last && from + size > frame.right)) return;
    free = from + size;
    drawing.append(s('line', { x1: x(stop.km), x2: x(stop.km), y1: frame.bottom, y2: frame.bottom + 6, class: 'profile-net' }),
      s('text', { x: x(stop.km), y: frame.bottom + 22, 'text-anchor': anchor, class: 'profile-figure' }, name));
  });
  drawing.append(s('text', { x: frame.right, y: height - 6, 'text-anchor': 'end', class: 'profile-figure' }, along));
  return drawing;
}
