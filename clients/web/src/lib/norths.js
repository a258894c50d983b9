// True, grid and magnetic north from one foot, each on its right side. Not to scale: small angles are opened so that
// they can be told apart, and their order is kept.
import { s } from './dom.js';

function opened(angle) {
  if (angle === null || Math.abs(angle) < 0.005) return 0;
  const size = Math.abs(angle);
  return Math.sign(angle) * Math.min(48, Math.max(size, 9));
}

export function norths(answer, w) {
  const magnetic = answer.declination_deg;
  const grid = answer.convergence_deg;
  const title = w('norths-title');
  const drawing = s('svg', { viewBox: '-50 -6 400 226', role: 'img', class: 'norths', 'aria-label': title }, s('title', {}, title));
  let toGrid = grid === null ? null : opened(grid);
  let toMagnetic = opened(magnetic);
  // Two that fall together are parted in their true order.
  if (toGrid !== null && Math.abs(toGrid - toMagnetic) < 16 && magnetic !== grid) {
    const side = Math.sign(magnetic - grid) || 1;
    if (Math.abs(magnetic) > Math.abs(grid)) toMagnetic = toGrid + side * 18;
    else toGrid = toMagnetic - side * 18;
  }
  const foot = [150, 204];
  const arm = (angle, length, kind, label) => {
    const turned = (angle * Math.PI) / 180;
    const x = foot[0] + length * Math.sin(turned);
    const y = foot[1] - length * Math.cos(turned);
    const group = s('g', { class: `north north-${kind}` }, s('line', { x1: foot[0], y1: foot[1], x2: x, y2: y }));
    if (kind === 'true') {
      const star = [...Array(10).keys()].map((i) => {
        const r = i % 2 ? 4 : 10;
        const a = (i * Math.PI) / 5;
        return `${x + r * Math.sin(a)},${y - 4 - r * Math.cos(a)}`;
      });
      group.append(s('polygon', { points: star.join(' ') }));
    } else if (kind === 'grid') {
      group.append(s('rect', { x: x - 6, y: y - 10, width: 12, height: 12, class: 'north-box' }));
    } else {
      const side = angle < 0 ? -1 : 1;
      group.append(s('polygon', { points: `0,-10 ${9 * side},10 0,6`, transform: `translate(${x} ${y}) rotate(${angle})` }));
    }
    const anchor = angle < -4 ? 'end' : angle > 4 ? 'start' : 'middle';
    group.append(s('text', { x: x + (angle < -4 ? -12 : angle > 4 ? 12 : 0), y: y - (anchor === 'middle' ? 20 : 6), 'text-anchor': anchor }, label));
    drawing.append(group);
  };
  arm(0, 160, 'true', w('north-true'));
  if (toGrid !== null) arm(toGrid, toGrid === 0 ? 108 : 118, 'grid', w('north-grid'));
  arm(toMagnetic, Math.abs(toMagnetic) < 4 ? 84 : 152, 'magnetic', w('north-magnetic'));
  return drawing;
}
