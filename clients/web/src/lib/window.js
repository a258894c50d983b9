// The part of the world that a canvas shows: plain longitude and latitude, true to scale along the middle once it is
// well zoomed in. Longitudes go on behind the antimeridian.

const LARGEST = 400;
const clamp = (value, low, high) => Math.max(low, Math.min(high, value));
const turned = (lon) => ((((lon + 180) % 360) + 360) % 360) - 180;

export class Window {
  constructor() {
    this.lon = 0;
    this.lat = 0;
    this.zoom = 1;
    this.width = 720;
    this.height = 360;
  }

  resize(width, height) {
    this.width = width;
    this.height = height;
    this.settle();
  }

  /** Pixels a degree of latitude. At zoom 1 the whole circle fits across. */
  get scale() { return (this.width / 360) * this.zoom; }

  /** A degree of longitude to one of latitude. */
  get shortened() {
    const near = clamp((this.degreesHigh - 60) / -40, 0, 1);
    return 1 + near * (Math.max(0.2, Math.cos((this.lat * Math.PI) / 180)) - 1);
  }

  get degreesWide() { return this.width / (this.scale * this.shortened); }

  get degreesHigh() { return this.height / this.scale; }

  /** The zoom at which the picture is filled from pole to pole. */
  get filled() { return Math.max(1, (this.height / 180) / (this.width / 360)); }

  settle() {
    this.zoom = clamp(this.zoom, 1, LARGEST);
    const most = 90 - this.degreesHigh / 2;
    this.lat = most <= 0 ? 0 : clamp(this.lat, -most, most);
    this.lon = turned(this.lon);
  }

  x(lon) { return this.width / 2 + (lon - this.lon) * this.scale * this.shortened; }

  y(lat) { return this.height / 2 - (lat - this.lat) * this.scale; }

  place(x, y) {
    return {
      lon: this.lon + (x - this.width / 2) / (this.scale * this.shortened),
      lat: clamp(this.lat - (y - this.height / 2) / this.scale, -90, 90),
    };
  }

  /** What lies under the finger stays there. */
  zoomAt(x, y, factor) {
    const before = this.place(x, y);
    this.zoom = clamp(this.zoom * factor, 1, LARGEST);
    const after = this.place(x, y);
    this.lon += before.lon - after.lon;
    this.lat += before.lat - after.lat;
    this.settle();
  }

  move(dx, dy) {
    this.lon -= dx / (this.scale * this.shortened);
    this.lat += dy / this.scale;
    this.settle();
  }

  /** The whole turns by which what lies in [-180, 180] must be shifted to be seen. */
  get turns() {
    const west = this.lon - this.degreesWide / 2;
    const east = this.lon + this.degreesWide / 2;
    return [-360, 0, 360].filter((turn) => 180 + turn > west && -180 + turn < east);
  }

  /** The window and a margin as a bbox of the service; empty where it is the world. */
  bbox(margin = 0.3) {
    const wide = this.degreesWide * (1 + 2 * margin);
    const high = this.degreesHigh * (1 + 2 * margin);
    if (wide >= 240) return '';
    const round = (value) => Math.round(value * 1e4) / 1e4;
    const west = turned(this.lon - wide / 2);
    let east = west + wide;
    if (east > 360) east -= 360;
    return [west, Math.max(-90, this.lat - high / 2), east, Math.min(90, this.lat + high / 2)].map(round).join(',');
  }
}

export { turned };
