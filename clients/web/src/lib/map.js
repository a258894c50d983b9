// A small map of the world: shores and graticule. A tap sets the place.
import { h } from './dom.js';
import { fixed } from './format.js';

const WIDTH = 720;
const HEIGHT = 360;
let shores;

async function loadShores() {
  shores ??= fetch(__COASTLINE__).then((response) => (response.ok ? response.json() : [])).catch(() => []);
  return shores;
}

/** @param options {label, said(text), place: {lat, lon} | undefined, take(text)} */
export function worldMap({ label, said, place, take }) {
  const mark = place ? { ...place } : { lat: 30, lon: 10 };
  const view = { lat: place?.lat ?? 20, lon: place?.lon ?? 0, zoom: 1 };
  const canvas = h('canvas', { width: WIDTH, height: HEIGHT, tabindex: '0', role: 'application', 'aria-label': label, class: 'world' });
  const status = h('p', { class: 'said', role: 'status' });
  let lines = [];
  const scale = () => (WIDTH / 360) * view.zoom;
  const clampView = () => {
    const half = 90 - 90 / view.zoom;
    view.lat = Math.max(-half, Math.min(half, view.zoom === 1 ? 0 : view.lat));
    const across = 180 - 180 / view.zoom;
    view.lon = Math.max(-across, Math.min(across, view.zoom === 1 ? 0 : view.lon));
  };
  const toScreen = (lon, lat) => [WIDTH / 2 + (lon - view.lon) * scale(), HEIGHT / 2 - (lat - view.lat) * scale()];
  const toWorld = (x, y) => ({ lon: view.lon + (x - WIDTH / 2) / scale(), lat: view.lat - (y - HEIGHT / 2) / scale() });

  function draw() {
    clampView();
    const style = getComputedStyle(canvas);
    const colour = (name) => style.getPropertyValue(name).trim();
    const pen = canvas.getContext('2d');
    pen.fillStyle = colour('--map-sea');
    pen.fillRect(0, 0, WIDTH, HEIGHT);
    pen.strokeStyle = colour('--map-grid');
    pen.lineWidth = 1;
    pen.beginPath();
    const step = view.zoom >= 8 ? 5 : view.zoom >= 3 ? 10 : 30;
    for (let lon = -180; lon <= 180; lon += step) { const [x] = toScreen(lon, 0); pen.moveTo(x, 0); pen.lineTo(x, HEIGHT); }
    for (let lat = -90; lat <= 90; lat += step) { const [, y] = toScreen(0, lat); pen.moveTo(0, y); pen.lineTo(WIDTH, y); }
    pen.stroke();
    pen.strokeStyle = colour('--map-shore');
    pen.lineWidth = 1.4;
    pen.beginPath();
    for (const ring of lines) ring.forEach(([lon, lat], i) => {
      const [x, y] = toScreen(lon, lat);
      if (i === 0) pen.moveTo(x, y); else pen.lineTo(x, y);
    });
    pen.stroke();
    const [x, y] = toScreen(mark.lon, mark.lat);
    pen.strokeStyle = colour('--needle');
    pen.lineWidth = 3;
    pen.beginPath();
    pen.arc(x, y, 9, 0, 7);
    pen.moveTo(x - 16, y); pen.lineTo(x + 16, y);
    pen.moveTo(x, y - 16); pen.lineTo(x, y + 16);
    pen.stroke();
  }
  const text = () => `${fixed(mark.lat, view.zoom >= 8 ? 2 : 1)} ${fixed(mark.lon, view.zoom >= 8 ? 2 : 1)}`;
  const settle = (taken) => {
    mark.lat = Math.max(-90, Math.min(90, mark.lat));
    mark.lon = ((mark.lon + 540) % 360) - 180;
    draw();
    status.textContent = said(text());
    if (taken) take(text());
  };
  canvas.addEventListener('click', (event) => {
    const box = canvas.getBoundingClientRect();
    Object.assign(mark, toWorld(((event.clientX - box.left) * WIDTH) / box.width, ((event.clientY - box.top) * HEIGHT) / box.height));
    settle(true);
  });
  canvas.addEventListener('keydown', (event) => {
    const step = (event.shiftKey ? 10 : 1) / Math.max(1, view.zoom / 4);
    const moves = { ArrowUp: [step, 0], ArrowDown: [-step, 0], ArrowLeft: [0, -step], ArrowRight: [0, step] };
    const move = moves[event.key];
    if (move) {
      mark.lat += move[0];
      mark.lon += move[1];
      settle(false);
    } else if (event.key === 'Enter' || event.key === ' ') {
      settle(true);
    } else {
      return;
    }
    event.preventDefault();
  });
  const zoom = (factor) => () => {
    view.zoom = Math.max(1, Math.min(32, view.zoom * factor));
    Object.assign(view, mark);
    draw();
  };
  loadShores().then((data) => { lines = data; draw(); });
  requestAnimationFrame(draw);
  return h('div', { class: 'map' }, canvas,
    h('div', { class: 'buttons' },
      h('button', { type: 'button', class: 'button', 'aria-label': '+', onclick: zoom(2) }, '+'),
      h('button', { type: 'button', class: 'button', 'aria-label': '−', onclick: zoom(0.5) }, '−')),
    status);
}
