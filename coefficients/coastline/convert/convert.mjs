// Land outlines of Natural Earth (TopoJSON 1.0 in the npm package world-atlas) to ../coastline.txt; run once, by hand:
//   npm ci && npm run convert      then state the printed SHA-256 in ../about.txt
import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";

const unit = 0.01;  // degree: the whole numbers of the file

// TopoJSON: arcs are differences of whole numbers, scaled and shifted; a negative index is an arc turned round.
function ringsOf(name) {
  const topology = JSON.parse(readFileSync(new URL(`node_modules/world-atlas/${name}.json`, import.meta.url)));
  const { scale, translate } = topology.transform;
  const arcs = topology.arcs.map((arc) => {
    let x = 0, y = 0;
    return arc.map(([dx, dy]) => [(x += dx) * scale[0] + translate[0], (y += dy) * scale[1] + translate[1]]);
  });
  const ring = (indices) => {
    const points = [];
    for (const index of indices) {
      const arc = index < 0 ? arcs[~index].slice().reverse() : arcs[index];
      points.push(...(points.length ? arc.slice(1) : arc));
    }
    return points;
  };
  const rings = [];
  const walk = (geometry) => {
    if (geometry.type === "GeometryCollection") geometry.geometries.forEach(walk);
    else if (geometry.type === "Polygon") rings.push(...geometry.arcs.map(ring));
    else if (geometry.type === "MultiPolygon") geometry.arcs.forEach((polygon) => rings.push(...polygon.map(ring)));
    else throw new Error(`${name}: ${geometry.type} is no outline of land`);
  };
  Object.values(topology.objects).forEach(walk);
  return rings;
}

// The package joins land across the antimeridian and round the south pole: here it is cut there again, on 180 and along
// -90, so that every ring lies in one world. Cutting: Sutherland and Hodgman 1974, doi:10.1145/360767.360802.
function cutAtAntimeridian(points) {
  const open = points.slice(0, -1).map(([x, y]) => [x, y]);
  for (let i = 1; i < open.length; ++i) open[i][0] += 360 * Math.round((open[i - 1][0] - open[i][0]) / 360);
  const last = open.at(-1);
  const round = Math.round((last[0] - open[0][0]) / 360);  // it goes round a pole
  if (round !== 0) {
    if (open.some(([, y]) => y > 0)) throw new Error("a ring round the north pole");
    open.push([open[0][0] + 360 * round, open[0][1]], [open[0][0] + 360 * round, -90], [open[0][0], -90]);
  }
  const half = (ring, west) => {
    const keep = ([x]) => x >= west && x <= west + 360;
    const cut = (ring, at, inside) => ring.flatMap((b, i) => {
      const a = ring.at(i - 1);
      const t = (at - a[0]) / (b[0] - a[0]);
      const crossing = inside(a) !== inside(b) ? [[at, a[1] + t * (b[1] - a[1])]] : [];
      return inside(b) ? [...crossing, b] : crossing;
    });
    if (ring.every(keep)) return ring;
    return cut(cut(ring, west, ([x]) => x >= west), west + 360, ([x]) => x <= west + 360);
  };
  return [-540, -180, 180]
    .map((west) => half(open, west).map(([x, y]) => [x - west - 180, y]))
    .filter((ring) => ring.length > 2)
    .map((ring) => [...ring, ring[0]]);
}

// On the edge of the world in degrees: such points stay, for the outline is cut there and not coast.
const atEdge = ([x, y]) => Math.abs(x) > 180 - unit / 2 || y < -90 + unit / 2;

// Douglas and Peucker 1973, doi:10.3138/FM57-6770-U75U-7727, distances with longitudes shortened by the cosine of latitude.
function simplified(points, tolerance) {
  const keep = new Array(points.length).fill(false);
  const pinned = points.map((p, i) => i === 0 || i === points.length - 1 || atEdge(p));
  // A ring begins and ends at one point: the farthest one is kept too, so that there is a line to measure from.
  let far = 0;
  points.forEach((p, i) => {
    const away = (q) => Math.hypot(q[0] - points[0][0], q[1] - points[0][1]);
    if (away(p) > away(points[far])) far = i;
  });
  pinned[far] = true;
  const split = (from, to) => {
    const c = Math.cos((points[from][1] * Math.PI) / 180);
    const [ax, ay] = [points[from][0] * c, points[from][1]];
    const [bx, by] = [points[to][0] * c, points[to][1]];
    const long = Math.hypot(bx - ax, by - ay);
    let worst = -1, at = -1;
    for (let i = from + 1; i < to; ++i) {
      const [px, py] = [points[i][0] * c, points[i][1]];
      const t = long === 0 ? 0 : Math.max(0, Math.min(1, ((px - ax) * (bx - ax) + (py - ay) * (by - ay)) / long ** 2));
      const away = Math.hypot(px - ax - t * (bx - ax), py - ay - t * (by - ay));
      if (away > worst) [worst, at] = [away, i];
    }
    if (worst <= tolerance) return;
    keep[at] = true;
    split(from, at);
    split(at, to);
  };
  let last = 0;
  points.forEach((_, i) => {
    if (!pinned[i]) return;
    keep[i] = true;
    if (i > 0) split(last, i);
    last = i;
  });
  return points.filter((_, i) => keep[i]);
}

const size = (points) => {
  const xs = points.map((p) => p[0]), ys = points.map((p) => p[1]);
  return Math.max(Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys));
};

const out = [];
function write(name, scale, tolerance, smallest) {
  let rings = 0, count = 0;
  const lines = [];
  for (const points of ringsOf(name).flatMap(cutAtAntimeridian)) {
    if (size(points) < smallest) continue;
    const whole = simplified(points, tolerance).map(([x, y]) => [Math.round(x / unit), Math.round(y / unit)]);
    const different = whole.filter((p, i) => i === 0 || p[0] !== whole[i - 1][0] || p[1] !== whole[i - 1][1]);
    if (different.length < 4) continue;  // the last point is the first
    const steps = different.slice(0, -1).map((p, i) => (i === 0 ? p : [p[0] - different[i - 1][0], p[1] - different[i - 1][1]]));
    lines.push(steps.map((p) => p.join(" ")).join(" "));
    ++rings;
    count += steps.length;
  }
  out.push(`scale ${scale} ${rings}`, ...lines);
  console.log(`${name}: ${rings} rings, ${count} points`);
}
out.push("# Outlines of land, Natural Earth 4.1 (public domain). The layout is described in about.txt.");
write("land-110m", "110m", 0, 0);
write("land-50m", "50m", Number(process.argv[2] ?? 0.05), Number(process.argv[3] ?? 0.25));
out.push("end");
const text = out.join("\n") + "\n";
writeFileSync(new URL("../coastline.txt", import.meta.url), text);
console.log(`${text.length} bytes\nsha256: ${createHash("sha256").update(text).digest("hex")}`);
