// A direction between the norths, to scale in angle: true north up.
import { s } from './dom.js';

const C = 150;
const at = (angle, radius) => [C + radius * Math.sin((angle * Math.PI) / 180), C - radius * Math.cos((angle * Math.PI) / 180)];

function arc(from, to, radius, kind) {
  const span = ((to - from) % 360 + 360) % 360;
  const [x1, y1] = at(from, radius);
  const [x2, y2] = at(from + span, radius);
  return s('path', { d: `M${x1} ${y1} A${radius} ${radius} 0 ${span > 180 ? 1 : 0} 1 ${x2} ${y2}`, class: `sight-arc sight-arc-${kind}` });
}

/** @param labels {title, north, magnetic, line} */
export function sightline({ azimuth_true: line, azimuth_magnetic: magnetic }, labels) {
  const needle = line - magnetic;
  const drawing = s('svg', { viewBox: '-26 0 352 300', role: 'img', class: 'sight', 'aria-label': labels.title }, s('title', {}, labels.title),
    s('circle', { cx: C, cy: C, r: 120, class: 'sight-ring' }));
  for (let angle = 0; angle < 360; angle += 10) {
    const [x1, y1] = at(angle, 120);
    const [x2, y2] = at(angle, angle % 90 === 0 ? 108 : 114);
    drawing.append(s('line', { x1, y1, x2, y2, class: 'tick' }));
  }
  const arm = (angle, radius, kind, label) => {
    const [x, y] = at(angle, radius);
    const [tx, ty] = at(angle, radius + 14);
    drawing.append(s('line', { x1: C, y1: C, x2: x, y2: y, class: `sight-arm sight-${kind}` }),
      s('text', { x: tx, y: ty, class: 'sight-label', 'text-anchor': 'middle', 'dominant-baseline': 'central' }, label));
  };
  drawing.append(arc(0, line, 62, 'true'), arc(needle, line, 46, 'magnetic'));
  arm(0, 120, 'true', labels.north);
  arm(needle, 96, 'needle', '');
  arm(line, 126, 'line', labels.line);
  return drawing;
}
