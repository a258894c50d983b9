// The place and date at hand, shared by all views. They live as long as the tab and never stand in an address.
const NAME = 'agonic-place';
const listeners = new Set();

function stored() {
  try {
    return JSON.parse(sessionStorage.getItem(NAME)) ?? {};
  } catch {
    return {};
  }
}

const state = { place: '', date: 'today', until: '', height_m: '', letters: '', date_order: '', crs: '', ...stored() };

export const here = {
  get: () => ({ ...state }),
  set(changes) {
    Object.assign(state, changes);
    try {
      sessionStorage.setItem(NAME, JSON.stringify(state));
    } catch { /* kept in memory */ }
    for (const listener of [...listeners]) listener({ ...state });
  },
  /** @returns what ends the listening */
  listen(listener) {
    listeners.add(listener);
    return () => listeners.delete(listener);
  },
};

/** A link that carries the place, made only when asked for. It stands behind the #, which no server is sent. */
export function linkTo(view, { place, date, until }) {
  const carried = new URLSearchParams(Object.entries({ place, date, until }).filter(([, value]) => value));
  return `${location.origin}/#/${view}?${carried}`;
}

/** Takes over what a link carried and takes it out of the address. */
export function takeLink() {
  const at = location.hash.indexOf('?');
  if (at < 0) return;
  const carried = new URLSearchParams(location.hash.slice(at + 1));
  const changes = {};
  for (const name of ['place', 'date', 'until']) if (carried.has(name)) changes[name] = carried.get(name).slice(0, 200);
  history.replaceState(null, '', location.pathname + location.hash.slice(0, at));
  if (Object.keys(changes).length > 0) here.set(changes);
}

let known;
/** Where the place at hand lies, once it was answered: for the map. */
export const remember = ({ lat_deg: lat, lon_deg: lon }) => { known = { lat, lon }; };
export const remembered = () => known;
