// Draws lines of equal declination and the like on a canvas: land, graticule, zones of a weak needle, lines, labels.
import { isEdge } from './shores.js';

function decode(numbers, scale, from) {
  const points = new Float32Array(numbers.length - from);
  let x = 0;
  let y = 0;
  for (let i = from; i < numbers.length; i += 2) {
    x += numbers[i];
    y += numbers[i + 1];
    points[i - from] = x / scale;
    points[i - from + 1] = y / scale;
  }
  return points;
}

/** The answer of the library's `chart` as coordinates. */
export function unpack(answer) {
  const { scale } = answer;
  const zone = (polygons) => polygons.map((rings) => rings.map((ring) => decode(ring, scale, 0)));
  return {
    ...answer,
    levels: answer.levels.map(({ level, text, lines }) => ({
      level, text, lines: lines.map((line) => ({ closed: line[0] === 1, points: decode(line, scale, 1) })),
    })),
    unusable: zone(answer.unusable),
    caution: zone(answer.caution),
  };
}

const TOKENS = ['sea', 'land', 'shore', 'grid', 'east', 'west', 'plain', 'zero', 'ink', 'hatch', 'mark'];
export function colours(element) {
  const style = getComputedStyle(element);
  return Object.fromEntries(TOKENS.map((name) => [name, style.getPropertyValue(`--chart-${name}`).trim()]));
}

function hatching(pen, colour, gap, width, crossed) {
  const tile = document.createElement('canvas');
  const ratio = Math.max(1, Math.round(devicePixelRatio || 1));
  const side = gap * ratio;
  tile.width = side;
  tile.height = side;
  const ink = tile.getContext('2d');
  ink.strokeStyle = colour;
  ink.lineWidth = width * ratio;
  ink.beginPath();
  for (const at of [-side, 0, side]) {
    ink.moveTo(at, side);
    ink.lineTo(at + side, 0);
    if (crossed) { ink.moveTo(at, 0); ink.lineTo(at + side, side); }
  }
  ink.stroke();
  const pattern = pen.createPattern(tile, 'repeat');
  pattern.setTransform(new DOMMatrix().scale(1 / ratio));
  return pattern;
}

// A ring or line of coordinates as a path, all copies that are seen.
function trace(pen, view, points, closed) {
  for (const turn of view.turns) {
    for (let i = 0; i < points.length; i += 2) {
      const x = view.x(points[i] + turn);
      const y = view.y(points[i + 1]);
      if (i === 0) pen.moveTo(x, y); else pen.lineTo(x, y);
    }
    if (closed) pen.closePath();
  }
}

const STEPS = [45, 30, 15, 10, 5, 2, 1, 0.5, 0.25, 0.1];
/** The land and the graticule: what does not move with the date. */
export function drawGround(pen, view, rings, colour) {
  pen.fillStyle = colour.sea;
  pen.fillRect(0, 0, view.width, view.height);
  const top = Math.max(0, view.y(90));
  const bottom = Math.min(view.height, view.y(-90));
  pen.save();
  pen.beginPath();
  pen.rect(0, top, view.width, bottom - top);
  pen.clip();
  pen.beginPath();
  for (const ring of rings) for (const turn of view.turns) {
    ring.forEach(([lon, lat], i) => { if (i === 0) pen.moveTo(view.x(lon + turn), view.y(lat)); else pen.lineTo(view.x(lon + turn), view.y(lat)); });
    pen.closePath();
  }
  pen.fillStyle = colour.land;
  pen.fill('evenodd');
  pen.beginPath();
  for (const ring of rings) for (const turn of view.turns) {
    ring.forEach((point, i) => {
      const before = ring[(i + ring.length - 1) % ring.length];
      if (isEdge(point, before)) return;
      if (i > 0 && !isEdge(before, ring[(i + ring.length - 2) % ring.length])) { pen.lineTo(view.x(point[0] + turn), view.y(point[1])); return; }
      pen.moveTo(view.x(before[0] + turn), view.y(before[1]));
      pen.lineTo(view.x(point[0] + turn), view.y(point[1]));
    });
  }
  pen.strokeStyle = colour.shore;
  pen.lineWidth = 0.9;
  pen.stroke();

  const step = STEPS.filter((one) => one * view.scale > 70).pop() ?? 45;
  const decimals = step < 1 ? (step === 0.25 ? 2 : 1) : 0;
  const shown = (value, sides) => {
    const size = `${Math.abs(value).toFixed(decimals)}°`;
    return Number(Math.abs(value).toFixed(4)) === 0 ? size : size + (value > 0 ? sides[0] : sides[1]);
  };
  pen.strokeStyle = colour.grid;
  pen.lineWidth = 0.8;
  pen.beginPath();
  const west = view.lon - view.degreesWide / 2;
  const names = [];
  for (let k = Math.ceil(west / step); k * step < west + view.degreesWide; k += 1) {
    const x = view.x(k * step);
    pen.moveTo(x, top);
    pen.lineTo(x, bottom);
    names.push([x, null, shown((((k * step + 180) % 360) + 360) % 360 - 180, 'EW')]);
  }
  const south = Math.max(-90, view.lat - view.degreesHigh / 2);
  const north = Math.min(90, view.lat + view.degreesHigh / 2);
  for (let k = Math.ceil(south / step); k * step <= north; k += 1) {
    const y = view.y(k * step);
    pen.moveTo(0, y);
    pen.lineTo(view.width, y);
    if (Math.abs(k * step) < 90) names.push([null, y, shown(k * step, 'NS')]);
  }
  pen.stroke();
  pen.restore();
  return { names, top, bottom };
}

function halo(pen, text, x, y, colour) {
  pen.lineJoin = 'round';
  pen.lineWidth = 4;
  pen.strokeStyle = colour.sea;
  pen.strokeText(text, x, y);
  pen.fillStyle = colour.ink;
  pen.fillText(text, x, y);
}

/** The figures of the graticule, along the left and the lower edge. */
export function drawNames(pen, view, { names, bottom }, colour, taken) {
  pen.font = '12px system-ui, sans-serif';
  pen.textAlign = 'left';
  pen.textBaseline = 'alphabetic';
  for (const [x, y, text] of names) {
    const at = x === null ? [4, y - 3] : [x + 3, bottom - 5];
    if (at[0] > view.width - 30 || at[1] < 14 || (x === null && at[1] > bottom - 16)) continue;
    const width = pen.measureText(text).width;
    if (taken.some((box) => box[0] < at[0] + width && box[2] > at[0] && box[1] < at[1] && box[3] > at[1] - 11)) continue;
    taken.push([at[0], at[1] - 11, at[0] + width, at[1]]);
    halo(pen, text, ...at, colour);
  }
}

export function drawZones(pen, view, chart, colour) {
  for (const [polygons, gap, width, crossed] of [[chart.caution, 11, 1, false], [chart.unusable, 8, 1.1, true]]) {
    pen.beginPath();
    for (const rings of polygons) for (const ring of rings) trace(pen, view, ring, true);
    pen.fillStyle = hatching(pen, colour.hatch, gap, width, crossed);
    pen.fill('evenodd');
  }
}

const SIDED = ['declination', 'declination_change'];
const styleOf = (quantity, level, colour) => {
  if (!SIDED.includes(quantity) || Math.abs(level) === 180) return [colour.plain, 1.3, []];
  if (level === 0) return [colour.zero, 3.4, []];
  return level > 0 ? [colour.east, 1.4, []] : [colour.west, 1.4, [6, 3.5]];
};

export function drawLines(pen, view, chart, colour) {
  pen.lineJoin = 'round';
  const draw = ({ lines }, [ink, width, dash]) => {
    pen.beginPath();
    for (const { points, closed } of lines) trace(pen, view, points, closed);
    if (width > 3) {
      pen.setLineDash([]);
      pen.strokeStyle = colour.sea;
      pen.lineWidth = width + 3;
      pen.stroke();
    }
    pen.strokeStyle = ink;
    pen.lineWidth = width;
    pen.setLineDash(dash);
    pen.stroke();
  };
  const zero = (one) => one.level === 0 && SIDED.includes(chart.quantity);
  for (const one of chart.levels) if (!zero(one)) draw(one, styleOf(chart.quantity, one.level, colour));
  for (const one of chart.levels) if (zero(one)) draw(one, styleOf(chart.quantity, 0, colour));
  pen.setLineDash([]);
}

const NEIGHBOURHOOD = 170;

// Labels stand where lines cross a few fixed parallels and meridians, so that they glide with their line as the date
// moves and do not jump.
export function drawLabels(pen, view, chart, colour, zeroName, taken) {
  const down = [-0.32, 0.05, 0.36].map((part) => view.lat + part * Math.min(150, view.degreesHigh));
  const count = Math.max(2, Math.round(view.width / 230));
  const across = [...Array(count).keys()].map((i) => view.lon + ((i + 0.5) / count - 0.5) * view.degreesWide);
  const spots = [];
  const same = [];
  const size = chart.levels.length;
  chart.levels.forEach(({ level, text, lines }, rank) => {
    for (const { points } of lines) for (const turn of view.turns) {
      for (let i = 2; i < points.length; i += 2) {
        const [x0, y0, x1, y1] = [points[i - 2] + turn, points[i - 1], points[i] + turn, points[i + 1]];
        const cut = (from, to, at) => ((from < at) !== (to < at) ? (at - from) / (to - from) : -1);
        for (const [t, steep] of [...down.map((at) => [cut(y0, y1, at), true]), ...across.map((at) => [cut(x0, x1, at), false])]) {
          if (t < 0) continue;
          const dx = (x1 - x0) * view.shortened;
          const dy = y1 - y0;
          if (steep === (Math.abs(dx) > Math.abs(dy) * 1.5)) continue;
          spots.push({ x: view.x(x0 + t * (x1 - x0)), y: view.y(y0 + t * (y1 - y0)), angle: Math.atan2(-dy, dx), text: level === 0 && zeroName ? zeroName : text, first: level === 0 ? -1 : (rank * 7) % size });
        }
      }
    }
  });
  spots.sort((a, b) => a.first - b.first);
  pen.textAlign = 'center';
  pen.textBaseline = 'middle';
  for (const { x, y, angle, text, first } of spots) {
    pen.font = first < 0 ? '700 14px system-ui, sans-serif' : '600 13px system-ui, sans-serif';
    const width = pen.measureText(text).width;
    let turn = angle;
    if (turn > Math.PI / 2) turn -= Math.PI;
    if (turn < -Math.PI / 2) turn += Math.PI;
    const wide = Math.abs(Math.cos(turn)) * width + Math.abs(Math.sin(turn)) * 14;
    const high = Math.abs(Math.sin(turn)) * width + Math.abs(Math.cos(turn)) * 14;
    const box = [x - wide / 2 - 5, y - high / 2 - 4, x + wide / 2 + 5, y + high / 2 + 4];
    if (box[0] < 0 || box[2] > view.width || box[1] < 0 || box[3] > view.height) continue;
    if (taken.some((other) => other[0] < box[2] && other[2] > box[0] && other[1] < box[3] && other[3] > box[1])) continue;
    // One label in this neighbourhood is enough for a line.
    if (same.some(([other, ox, oy]) => other === text && Math.hypot(ox - x, oy - y) < NEIGHBOURHOOD)) continue;
    same.push([text, x, y]);
    taken.push(box);
    pen.save();
    pen.translate(x, y);
    pen.rotate(turn);
    halo(pen, text, 0, 0, colour);
    pen.restore();
  }
}

export function drawMark(pen, view, mark, colour) {
  for (const turn of [-360, 0, 360]) {
    const x = view.x(mark.lon + turn);
    const y = view.y(mark.lat);
    if (x < -20 || x > view.width + 20) continue;
    for (const [ink, width] of [[colour.sea, 6], [colour.mark, 3]]) {
      pen.strokeStyle = ink;
      pen.lineWidth = width;
      pen.beginPath();
      pen.arc(x, y, 9, 0, 7);
      for (const [dx, dy] of [[1, 0], [-1, 0], [0, 1], [0, -1]]) { pen.moveTo(x + dx * 9, y + dy * 9); pen.lineTo(x + dx * 17, y + dy * 17); }
      pen.stroke();
    }
  }
}
